"""Rectangles that are cut up into places for widgets. No kivy here.

An :class:`Area` shrinks as pieces are cut from its sides; what is left is the rest.
"""

from __future__ import annotations

from dataclasses import dataclass

WIDE, LOW, TALL = "wide", "low", "tall"
"""Shapes of screen: landscape with room for two columns, landscape with room for one, portrait"""

WIDE_FROM_MM = (180.0, 110.0)


@dataclass
class Area:
    """A rectangle, y upwards, in any one unit."""

    x: float
    y: float
    width: float
    height: float

    def top(self, height: float, gap: float = 0.0) -> Area:
        """Cut this much from the top, and a gap under it."""
        height = min(height, self.height)
        cut = Area(self.x, self.y + self.height - height, self.width, height)
        self.height = max(0.0, self.height - height - gap)
        return cut

    def bottom(self, height: float, gap: float = 0.0) -> Area:
        """Cut this much from the bottom, and a gap above it."""
        height = min(height, self.height)
        cut = Area(self.x, self.y, self.width, height)
        taken = min(self.height, height + gap)
        self.y += taken
        self.height -= taken
        return cut

    def left(self, width: float, gap: float = 0.0) -> Area:
        """Cut this much from the left, and a gap beside it."""
        width = min(width, self.width)
        cut = Area(self.x, self.y, width, self.height)
        taken = min(self.width, width + gap)
        self.x += taken
        self.width -= taken
        return cut

    def right(self, width: float, gap: float = 0.0) -> Area:
        """Cut this much from the right, and a gap beside it."""
        width = min(width, self.width)
        cut = Area(self.x + self.width - width, self.y, width, self.height)
        self.width = max(0.0, self.width - width - gap)
        return cut

    def inset(self, margin: float) -> Area:
        """The same rectangle with a margin taken off on all sides."""
        return Area(self.x + margin, self.y + margin, self.width - 2 * margin, self.height - 2 * margin)

    def grid(self, columns: int, rows: int, gap: float) -> list[Area]:
        """Equal cells, row by row from the top left."""
        wide = (self.width - gap * (columns - 1)) / columns
        high = (self.height - gap * (rows - 1)) / rows
        return [
            Area(self.x + c * (wide + gap), self.y + self.height - (r + 1) * high - r * gap, wide, high)
            for r in range(rows)
            for c in range(columns)
        ]

    def all_of_it(self) -> Area:
        """A copy that can be cut without touching this one."""
        return Area(self.x, self.y, self.width, self.height)


def shape_of(width_mm: float, height_mm: float) -> str:
    """Which of the three shapes a screen of this size has."""
    if height_mm > width_mm:
        return TALL
    wide_mm, high_mm = WIDE_FROM_MM
    return WIDE if width_mm >= wide_mm and height_mm >= high_mm else LOW


def fitting(extent: float, one: float, gap: float) -> int:
    """How many pieces of this size, with gaps between, fit into an extent."""
    return max(1, int((extent + gap + 1e-6) // (one + gap)))
