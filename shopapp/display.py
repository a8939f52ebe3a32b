"""Settings: who works, bright or dim shop, and the screen's real size by a ruler. No kivy here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import core
from shopapp.palette import BRIGHT, PALETTES
from shopapp.presenters import mistakes
from shopapp.presenters.pieces import Header, Key
from shopapp.presenters.who import NOBODY, working
from shopapp.sizes import MM_PER_INCH, RULER_MM, dpi_from_ruler

PALETTE, DPI = "screen_palette", "screen_dpi"
"""Names in the shop's settings"""

LONGEST = 8
TEXT = f"Hold a ruler to the line: {RULER_MM:g} mm. If it is not, type what it measures."


@dataclass(frozen=True)
class DisplayView:
    """who : works, in a few words; ruler_mm : length of the line as the program believes; entry : what it
    measures, as typed."""

    header: Header
    who: str
    text: str
    ruler_mm: float
    entry: str
    keys: tuple[Key, ...]
    complaint: str = ""
    busy: str = ""
    go: str = ""


class DisplayPresenter:
    """Keys: who, palette:NAME, digit:C, erase, enter, bench. use : told palette and density."""

    def __init__(self, settings: Any, dpi: float, use: Callable[[str, float], None]) -> None:
        self._settings, self._use = settings, use
        self._dpi = dpi
        self._entry = ""
        self._complaint = ""
        self.palette = str(settings.get(PALETTE, BRIGHT.name))

    def view(self, go: str = "") -> DisplayView:
        """What to show."""
        palettes = (Key(f"palette:{n}", n.capitalize(), chosen=n == self.palette) for n in PALETTES)
        digits = tuple(Key(f"digit:{c}", c) for c in ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0", "."))
        enter = Key("enter", "Set", main=True, enabled=bool(self._entry), why="type it first")
        return DisplayView(
            Header("Settings", unit="", back="bench"),
            working(self._settings) or NOBODY,
            TEXT,
            RULER_MM,
            self._entry,
            (*palettes, *digits, Key("erase", "", enabled=bool(self._entry)), enter),
            self._complaint,
            go=go,
        )

    def press(self, name: str) -> DisplayView:
        """A key was touched."""
        verb, _, rest = name.partition(":")
        self._complaint = ""
        if verb == "palette":
            self.palette = rest
            self._keep(PALETTE, rest)
        elif verb == "digit":
            self._entry = (self._entry + rest)[:LONGEST]
        elif verb == "erase":
            self._entry = self._entry[:-1]
        elif verb == "enter":
            self._measured()
        return self.view(verb if verb in ("bench", "who") else "")

    def typed(self, text: str) -> DisplayView:
        """Characters from a keyboard."""
        for letter in text:
            self.press({"\n": "enter", "\b": "erase"}.get(letter, f"digit:{letter}"))
        return self.view()

    def _measured(self) -> None:
        """The line's real length gives the real density."""
        try:
            real_mm = core.parse_length_mm(self._entry, "ruler", "mm")
            dpi = dpi_from_ruler(RULER_MM * self._dpi / MM_PER_INCH, real_mm)
        except ValueError as error:
            self._complaint = mistakes.sentence(error)
            return
        self._dpi, self._entry = dpi, ""
        self._keep(DPI, dpi)

    def _keep(self, name: str, value: Any) -> None:
        try:
            self._settings.set(name, value)
        except core.StoreError as error:
            self._complaint = mistakes.not_written(error)
        self._use(self.palette, self._dpi)
