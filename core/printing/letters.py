"""Letters of any language on paper: by the first font that has them, by their number where none has."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Any
from unicodedata import normalize

BODY, OTHER = "body", "other"
_BLANKS = re.compile(r"[^\S\u00a0]+")  # but those that hold words together
_UNIT = re.compile(r"(\d) (mm|min|%|±|strokes)(?!\w)")  # a number is not parted from its unit


@dataclass(frozen=True)
class Fonts:
    """Names of TrueType files: regular and bold of one face, and another that has more letters."""

    regular: str
    bold: str
    other: str


class Letters:
    """Sets texts in a document of fpdf2, which reads the fonts itself; the third only when it is needed."""

    def __init__(self, document: Any, fonts: Fonts) -> None:
        self._document, self._fonts = document, fonts
        document.add_font(BODY, "", fonts.regular)
        document.add_font(BODY, "B", fonts.bold)
        self._known = frozenset(document.fonts[BODY].cmap) & frozenset(document.fonts[BODY + "B"].cmap)
        self._others: frozenset[int] | None = None
        self._widths: dict[tuple[str, bool], float] = {}

    def width_mm(self, text: str, points: float, bold: bool = False) -> float:
        """How wide a text is."""
        key = text, bold
        if key not in self._widths:
            wide = 0.0
            for font, run in self._runs(text):
                self._set(font, 10.0, bold)
                wide += self._document.get_string_width(run)
            self._widths[key] = wide
        return self._widths[key] * points / 10.0

    def put(self, x: float, y: float, text: str, points: float, bold: bool = False) -> None:
        """A text with the left end of its base line there, mm from the upper left corner of the page."""
        for font, run in self._runs(text):
            self._set(font, points, bold)
            self._document.text(x, y, run)
            x += self._document.get_string_width(run)

    def wrapped(self, text: str, points: float, width_mm: float, bold: bool = False) -> list[str]:
        """Lines no wider than this; a word that is wider is broken. At least one line."""
        lines = [""]
        for word in _UNIT.sub("\\1\u00a0\\2", _BLANKS.sub(" ", text.strip())).split(" "):
            longer = f"{lines[-1]} {word}" if lines[-1] else word
            if self.width_mm(longer, points, bold) <= width_mm:
                lines[-1] = longer
                continue
            lines += [word] if lines[-1] else []
            lines[-1] = word
            while self.width_mm(lines[-1], points, bold) > width_mm and len(lines[-1]) > 1:
                lines[-1:] = self._broken(lines[-1], points, width_mm, bold)
        return lines

    def _broken(self, word: str, points: float, width_mm: float, bold: bool) -> list[str]:
        fits = max(1, int(len(word) * width_mm / self.width_mm(word, points, bold)))
        while fits > 1 and self.width_mm(word[:fits], points, bold) > width_mm:
            fits -= 1
        return [word[:fits], word[fits:]]

    def _runs(self, text: str) -> Iterator[tuple[str, str]]:
        """Stretches of one font. A letter that neither font has is told by its number, "[U+5B57]"."""
        told = "".join(self._letter(c) for c in normalize("NFC", text))
        for known, run in groupby(told, lambda c: ord(c) in self._known):
            yield (BODY if known else OTHER), "".join(run)

    def _letter(self, letter: str) -> str:
        code = ord(letter)
        if code in self._known or code in self._more():
            return letter
        return " " if letter.isspace() else f"[U+{code:04X}]"

    def _more(self) -> frozenset[int]:
        if self._others is None:
            self._document.add_font(OTHER, "", self._fonts.other)
            self._others = frozenset(self._document.fonts[OTHER].cmap)
        return self._others

    def _set(self, font: str, points: float, bold: bool) -> None:
        self._document.set_font(font, "B" if bold and font == BODY else "", points)
