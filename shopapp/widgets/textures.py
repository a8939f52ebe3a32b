"""Text as white textures, kept so that the same words are never drawn twice; widgets tint them."""

from __future__ import annotations

from collections import OrderedDict
from functools import lru_cache
from typing import Any

from kivy.core.text import Label as CoreLabel

from shopapp.sizes import LINE_OF_EM

KEPT = 300
UNITS = ("mm", "mm/s", "s", "min", "%", "°", "°C", "thou", "MPa", "GPa", "kg/m³")
"""Words that stay on the line of the number before them, where the two fit"""

_textures: OrderedDict[tuple[Any, ...], Any] = OrderedDict()


@lru_cache(maxsize=20000)
def extent(text: str, size_px: float, bold: bool = False) -> float:
    """Width in pixels of text on one line."""
    return float(_label(size_px, bold).get_extents(text)[0])


@lru_cache(maxsize=2000)
def wrapped(text: str, width_px: float, size_px: float, bold: bool = False) -> tuple[str, ...]:
    """The lines of a text that is broken between words to stay within a width.

    A word that is wider by itself is broken where it must.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        words = _kept_together(paragraph.split(" "), width_px, size_px, bold)
        for word in _pieces(words, width_px, size_px, bold):
            longer = f"{line} {word}" if line else word
            if line and extent(longer, size_px, bold) > width_px:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return tuple(lines)


def _kept_together(words: list[str], width_px: float, size_px: float, bold: bool) -> list[str]:
    """The words, a number with its unit and its band as one where they fit into the width."""
    out: list[str] = []
    for word in words:
        after_number = bool(out) and out[-1][-1:].isdigit()
        band = bool(out) and (word == "±" or out[-1].endswith("±"))
        belongs = band or (after_number and word.rstrip(".,;:)") in UNITS)
        if belongs and extent(f"{out[-1]} {word}", size_px, bold) <= width_px:
            out[-1] = f"{out[-1]} {word}"
        else:
            out.append(word)
    return out


def broken(text: str, width_px: float, size_px: float, bold: bool = False) -> bool:
    """Whether a word of the text is wider than the width, and has to be broken."""
    return any(extent(word, size_px, bold) > width_px for word in text.split())


def _pieces(words: list[str], width_px: float, size_px: float, bold: bool) -> list[str]:
    """The words, each no wider than the width."""
    out: list[str] = []
    for word in words:
        while len(word) > 1 and extent(word, size_px, bold) > width_px:
            fit = next(
                n
                for n in range(len(word) - 1, 0, -1)
                if n == 1 or extent(word[:n], size_px, bold) <= width_px
            )
            out.append(word[:fit])
            word = word[fit:]
        out.append(word)
    return out


def lines_size(lines: tuple[str, ...], size_px: float, bold: bool = False) -> tuple[float, float]:
    """Width and height in pixels of lines set under each other."""
    return max(extent(line, size_px, bold) for line in lines), len(lines) * size_px * LINE_OF_EM


def texture(lines: tuple[str, ...], size_px: float, bold: bool = False, align: str = "left") -> Any:
    """White texture of these lines."""
    key = (lines, round(size_px, 2), bold, align)
    found = _textures.get(key)
    if found is None:
        label = _label(size_px, bold, "\n".join(lines), align)
        label.refresh()
        found = _textures[key] = label.texture
        if len(_textures) > KEPT:
            _textures.popitem(last=False)
    else:
        _textures.move_to_end(key)
    return found


def forget() -> None:
    """Drop every texture: the drawing context was lost (resume) and they are empty."""
    _textures.clear()


def _label(size_px: float, bold: bool, text: str = "", align: str = "left") -> Any:
    return CoreLabel(text=text, font_size=size_px, font_name="Roboto", bold=bold, halign=align)
