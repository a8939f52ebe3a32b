"""A sheet that a drawing is set down on: coloured shapes and text, sorted by colour. No kivy here.

Lengths are pixels, x to the right, y upwards.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field

from shopapp.widgets.icons import ICONS

Measure = Callable[[str, float], float]
"""Width in pixels of a text whose capitals have a height in mm"""


@dataclass(frozen=True)
class Lettering:
    """A piece of text: left end and middle of its height in pixels, height of capitals in mm."""

    text: str
    x: float
    y: float
    capital_mm: float


@dataclass
class Sheet:
    """px : pixels a millimetre; measure : width of text; corners : role to x, y in turn, three corners
    a triangle; letters : role to texts."""

    px: float
    measure: Measure
    corners: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    letters: dict[str, list[Lettering]] = field(default_factory=lambda: defaultdict(list))

    def box(self, role: str, x0: float, y0: float, x1: float, y1: float) -> None:
        """A filled rectangle between two corners."""
        self.corners[role] += (x0, y0, x1, y0, x1, y1, x0, y0, x1, y1, x0, y1)

    def frame(self, role: str, x0: float, y0: float, x1: float, y1: float, width: float) -> None:
        """A rectangle's outline, its width inside."""
        self.box(role, x0, y0, x1, y0 + width)
        self.box(role, x0, y1 - width, x1, y1)
        self.box(role, x0, y0 + width, x0 + width, y1 - width)
        self.box(role, x1 - width, y0 + width, x1, y1 - width)

    def level(self, role: str, x0: float, x1: float, y: float, width: float) -> None:
        """A level line, its width half above and half below."""
        self.box(role, x0, y - width / 2, x1, y + width / 2)

    def upright(self, role: str, x: float, y0: float, y1: float, width: float) -> None:
        """An upright line."""
        self.box(role, x - width / 2, y0, x + width / 2, y1)

    def slanted(self, role: str, x0: float, y0: float, x1: float, y1: float, width: float) -> None:
        """A line between any two points; nothing where they coincide."""
        run, rise = x1 - x0, y1 - y0
        length = (run * run + rise * rise) ** 0.5
        if length == 0:
            return
        across, up = -rise / length * width / 2, run / length * width / 2
        a, b = (x0 + across, y0 + up), (x0 - across, y0 - up)
        c, d = (x1 - across, y1 - up), (x1 + across, y1 + up)
        self.corners[role] += (*a, *b, *c, *a, *c, *d)

    def picture(self, role: str, name: str, x: float, y: float, side: float) -> None:
        """One of the pictures, centred at a point."""
        left, bottom = x - side / 2, y - side / 2
        corners = self.corners[role]
        for triangle in ICONS[name]:
            for i in (0, 2, 4):
                corners += (left + triangle[i] * side, bottom + triangle[i + 1] * side)

    def text(self, role: str, text: str, x: float, y: float, capital_mm: float, align: float = 0.5) -> None:
        """Text on one line; x at its left end (align 0), middle (0.5) or right end (1), y at mid-height."""
        self.letters[role].append(Lettering(text, x - align * self.measure(text, capital_mm), y, capital_mm))
