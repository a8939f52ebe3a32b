"""Figures of a drawing: pieces end to end, joined where their ends meet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array
from core.linefiles.pieces import Piece

MEETS = 1e-6  # how far ends that meet may be apart, as a share of the size of the drawing
MOST_PIECES = 20_000


@dataclass(frozen=True)
class Figure:
    """Pieces end to end. label : what it is in the drawing, "polyline on layer CUT"; group : only figures of
    one group are joined"""

    pieces: tuple[Piece, ...]
    label: str
    group: str = ""

    @property
    def place(self) -> int:
        """Line of the file where it begins."""
        return self.pieces[0].place

    @property
    def length(self) -> float:
        """Along it."""
        return float(sum(piece.length for piece in self.pieces))

    @property
    def start(self) -> Array:
        """(2,) its first point."""
        return self.pieces[0].start

    @property
    def end(self) -> Array:
        """(2,) its last point."""
        return self.pieces[-1].end

    def backwards(self) -> Figure:
        """The same from its other end."""
        return Figure(tuple(p.backwards() for p in self.pieces[::-1]), self.label, self.group)

    def scaled(self, factor: float) -> Figure:
        """The same in a unit of which ``factor`` go into the present one."""
        return Figure(tuple(p.scaled(factor) for p in self.pieces), self.label, self.group)

    def outline(self) -> Array:
        """(k, 2) points along it, some on every piece."""
        shares = np.linspace(0.0, 1.0, 9)
        return np.concatenate([piece.at(shares) for piece in self.pieces])


def extent(figures: Iterable[Figure]) -> tuple[float, float]:
    """Width and height of all of them together."""
    wide, high = np.ptp(np.concatenate([figure.outline() for figure in figures]), axis=0)
    return float(wide), float(high)


def joined(figures: Iterable[Figure]) -> list[Figure]:
    """Figures with those of one group joined whose ends meet. Where more than two meet nothing is joined.

    A figure made of several begins at the end that lies farther left.
    """
    todo = list(figures)
    if not todo:
        return []
    near = max(MEETS * max(extent(todo)), 1e-12)
    ends = _Ends(todo, near)
    out, done = [], set()
    for i in range(len(todo)):
        if i not in done:
            row = list(ends.row_through(i))
            done |= {k for k, _ in row}
            out.append(_one([todo[k] if ahead else todo[k].backwards() for k, ahead in row]))
    return out


def _one(row: list[Figure]) -> Figure:
    if len(row) == 1:
        return row[0]
    if tuple(row[-1].end) < tuple(row[0].start):
        row = [figure.backwards() for figure in row[::-1]]
    label = f"{len(row)} pieces, {row[0].label} first"
    return Figure(tuple(piece for figure in row for piece in figure.pieces), label, row[0].group)


class _Ends:
    """Which end of which figure meets which; ends are (number of the figure, 0 for its start or 1)."""

    def __init__(self, figures: list[Figure], near: float) -> None:
        self._near = near
        self._at = {(i, e): p for i, f in enumerate(figures) for e, p in enumerate((f.start, f.end))}
        self._group = [figure.group for figure in figures]
        self._cells: dict[tuple[int, int], list[tuple[int, int]]] = {}
        for end, point in self._at.items():
            self._cells.setdefault(self._cell(point), []).append(end)

    def row_through(self, first: int) -> Iterator[tuple[int, bool]]:
        """Figures in a row that the first one is part of, each with whether it is walked ahead."""
        before, seen = [], {first}
        for i, ahead in self._onwards(first, 0, seen):
            before.append((i, not ahead))
        yield from before[::-1]
        yield first, True
        yield from self._onwards(first, 1, seen)

    def _onwards(self, i: int, end: int, seen: set[int]) -> Iterator[tuple[int, bool]]:
        while True:
            other = self._other((i, end))
            if other is None or other[0] in seen:
                return
            i, met = other
            seen.add(i)
            end = 1 - met
            yield i, met == 0

    def _other(self, end: tuple[int, int]) -> tuple[int, int] | None:
        """The one other end that meets this one."""
        x, y = self._cell(self._at[end])
        beside = [
            other
            for dx in (-1, 0, 1)
            for dy in (-1, 0, 1)
            for other in self._cells.get((x + dx, y + dy), ())
            if other != end and self._meets(end, other)
        ]
        return beside[0] if len(beside) == 1 else None

    def _meets(self, one: tuple[int, int], other: tuple[int, int]) -> bool:
        apart = float(np.max(np.abs(self._at[one] - self._at[other])))
        return apart <= self._near and self._group[one[0]] == self._group[other[0]]

    def _cell(self, point: Array) -> tuple[int, int]:
        x, y = np.floor(point / self._near)
        return int(x), int(y)
