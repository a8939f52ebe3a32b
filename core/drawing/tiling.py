"""A drawing cut into sheets of paper that are joined again by their register marks."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError

Array = NDArray[np.float64]
# Sheets by name: width and height upright, mm (ISO 216).
SHEETS: dict[str, tuple[float, float]] = {"A4": (210.0, 297.0), "A3": (297.0, 420.0)}
MARGIN_MM = 10.0  # that a printer leaves blank (common practice, no source)
OVERLAP_MM = 5.0  # of the drawing that a sheet shows beyond its own field
FOOT_MM = 16.0  # for the check scale and the name
MOST_SHEETS = 500


@dataclass(frozen=True)
class Tile:
    """One sheet; row and column from 0, the top row first; lower left corner of its field on the drawing."""

    row: int
    column: int
    low_mm: tuple[float, float]

    @property
    def name(self) -> str:
        """Row and column as they are written on it, from 1."""
        return f"{self.row + 1}-{self.column + 1}"


@dataclass(frozen=True)
class Tiling:
    """page_mm : of the sheet as it is used; field_mm : of the drawing on each, without the overlap; tiles :
    those that show something, row by row"""

    page_mm: tuple[float, float]
    field_mm: tuple[float, float]
    rows: int
    columns: int
    tiles: tuple[Tile, ...]

    @property
    def corner_mm(self) -> tuple[float, float]:
        """Upper left corner of the field on the page, from the page's upper left."""
        return MARGIN_MM + OVERLAP_MM, MARGIN_MM + OVERLAP_MM


def tiled(outline: Array, sheet: str) -> Tiling:
    """The fewest sheets, upright or lying, that hold a closed outline (m, 2) with its lower left corner at 0.

    Sheets that lie outside of it are left out. Raises InputError, ``sheet``, for more than ``MOST_SHEETS``.
    """
    if sheet not in SHEETS:
        raise InputError("sheet", sheet, f"one of {', '.join(SHEETS)} is wanted")
    width, height = SHEETS[sheet]
    counts = {page: _counts(outline, page) for page in ((width, height), (height, width))}
    fewest = min(rows * columns for rows, columns in counts.values())
    if fewest > MOST_SHEETS:
        wanted = f"a larger sheet, or svg or dxf, is wanted: {fewest} sheets are more than {MOST_SHEETS}"
        raise InputError("sheet", sheet, wanted)
    either = [_on_pages(outline, page) for page in counts]
    return min(either, key=lambda tiling: len(tiling.tiles))


def _counts(outline: Array, page_mm: tuple[float, float]) -> tuple[int, int]:
    width, height = np.max(outline, axis=0)
    field = _field(page_mm)
    return ceil(height / field[1] - 1e-9), ceil(width / field[0] - 1e-9)


def _field(page_mm: tuple[float, float]) -> tuple[float, float]:
    round_mm = 2.0 * (MARGIN_MM + OVERLAP_MM)
    return page_mm[0] - round_mm, page_mm[1] - round_mm - FOOT_MM


def _on_pages(outline: Array, page_mm: tuple[float, float]) -> Tiling:
    """The outline lies in the middle of the grid."""
    (rows, columns), field = _counts(outline, page_mm), _field(page_mm)
    width, height = np.max(outline, axis=0)
    left, top = 0.5 * (width - columns * field[0]), 0.5 * (height + rows * field[1])
    grid = [
        Tile(row, column, (left + column * field[0], top - (row + 1) * field[1]))
        for row in range(rows)
        for column in range(columns)
    ]
    return Tiling(page_mm, field, rows, columns, tuple(tile for tile in grid if _meets(outline, tile, field)))


def _meets(outline: Array, tile: Tile, field: tuple[float, float]) -> bool:
    """Whether a closed outline crosses a field, or holds it wholly."""
    low = np.array(tile.low_mm)
    high = low + field
    return _crosses(outline, low, high) or _holds(outline, 0.5 * (low + high))


def _crosses(outline: Array, low: Array, high: Array) -> bool:
    """Whether a side of the outline has a point in the box: its stretches between the box's lines overlap."""
    start, way = outline, np.roll(outline, -1, axis=0) - outline
    flat = way == 0.0
    step = np.where(flat, 1.0, way)
    one, two = (low - start) / step, (high - start) / step
    inside = (low <= start) & (start <= high)
    enter = np.where(flat, np.where(inside, -np.inf, np.inf), np.minimum(one, two))
    leave = np.where(flat, np.where(inside, np.inf, -np.inf), np.maximum(one, two))
    first, last = np.maximum(enter.max(axis=1), 0.0), np.minimum(leave.min(axis=1), 1.0)
    return bool(np.any(first <= last))


def _holds(outline: Array, point: Array) -> bool:
    """Whether a point lies inside: an odd number of sides is crossed on the way to the right."""
    one, two = outline, np.roll(outline, -1, axis=0)
    across = (one[:, 1] > point[1]) != (two[:, 1] > point[1])
    rise = np.where(across, two[:, 1] - one[:, 1], 1.0)
    x = one[:, 0] + (point[1] - one[:, 1]) / rise * (two[:, 0] - one[:, 0])
    return bool(np.count_nonzero(across & (x > point[0])) % 2)
