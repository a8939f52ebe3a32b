"""Where the stations of a strip lie: a cell each, a window where they do not all fit. No kivy here."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Cells:
    """first : station of the first cell; edges : (count + 1,) left edges in px and the last right edge."""

    first: int
    edges: tuple[float, ...]

    @property
    def count(self) -> int:
        """How many stations are shown."""
        return len(self.edges) - 1

    @property
    def stations(self) -> range:
        """Stations shown, from 0."""
        return range(self.first, self.first + self.count)

    def span(self, station: int) -> tuple[float, float]:
        """Left and right edge of a station's cell."""
        i = station - self.first
        return self.edges[i], self.edges[i + 1]

    def middle(self, station: int) -> float:
        """Middle of a station's cell."""
        left, right = self.span(station)
        return 0.5 * (left + right)

    def at(self, x: float) -> int:
        """Station whose cell lies at x; the nearest one outside of the strip."""
        for i in range(self.count):
            if x < self.edges[i + 1]:
                return self.first + i
        return self.first + self.count - 1

    def pitch(self) -> float:
        """Width of the narrowest cell."""
        return min(right - left for left, right in zip(self.edges, self.edges[1:], strict=False))


def cells_for(
    stations: int, x0: float, x1: float, narrowest: float, focus: int | None = None, grown: float = 1.0
) -> Cells:
    """Cells between x0 and x1 for as many stations as fit, the focus amid them.

    narrowest : least width of a cell in px; grown : how much wider the cell of the focus is
    """
    width = x1 - x0
    extra = grown - 1.0 if focus is not None else 0.0
    count = min(stations, max(1, int(width / narrowest - extra + 1e-6)))
    middle = 0 if focus is None else focus
    first = min(max(0, middle - count // 2), stations - count)
    one = width / (count + extra)
    edges = [x0]
    for station in range(first, first + count):
        edges.append(edges[-1] + one * (grown if station == focus else 1.0))
    return Cells(first, tuple(edges))


def x_along(cells: Cells, position_mm: tuple[float, ...], length_mm: float, at_mm: float) -> float | None:
    """Where a place along the edge lies on the screen, or None when it is not in the window.

    Between the middles of two stations the way is divided evenly; the ends belong to the outer cells.
    """
    places = [0.0, *position_mm, length_mm]
    for i in range(len(places) - 1):
        if at_mm > places[i + 1] and i + 2 < len(places):
            continue
        left = _edge_or_middle(cells, i - 1, len(position_mm))
        right = _edge_or_middle(cells, i, len(position_mm))
        if left is None or right is None:
            return None
        share = (at_mm - places[i]) / (places[i + 1] - places[i]) if places[i + 1] > places[i] else 0.0
        return left + share * (right - left)
    return None


def _edge_or_middle(cells: Cells, station: int, stations: int) -> float | None:
    """Middle of a station; the outer edge for -1 and for one past the last; None outside of the window."""
    if station == -1:
        return cells.edges[0] if cells.first == 0 else None
    if station == stations:
        return cells.edges[-1] if cells.first + cells.count == stations else None
    return cells.middle(station) if station in cells.stations else None
