"""Keys set out in a grid: pages where they do not all fit, the main key always at the bottom right. No kivy here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MORE = "more"


@dataclass(frozen=True)
class Cell:
    """Where a key lies: row from the top, column, and how many columns it spans. key : index, or MORE."""

    key: int | str
    row: int
    column: int
    span: int


def rows_needed(spans: Sequence[int], columns: int, main_span: int = 0) -> int:
    """Rows that hold keys of these widths on one page, the main one (0: none) among them."""
    row, column = 0, 0
    for span in spans:
        wide = min(span, columns)
        if column + wide > columns:
            row, column = row + 1, 0
        column += wide
    used = row + (1 if column else 0)
    if not main_span:
        return used
    if main_span >= columns or used == 0 or (column > 0 and column + main_span > columns):
        return used + 1
    return used


def arrange(
    spans: Sequence[int],
    columns: int,
    rows: int,
    main: int | None = None,
    main_span: int = 0,
    pinned: Sequence[int] = (),
    placed: Mapping[int, tuple[int, int]] | None = None,
) -> list[list[Cell]]:
    """Pages of cells. spans : columns that each key wants; main : index of the key at the bottom right of every
    page, with its span; pinned : keys that are on every page; placed : keys with a (row, column) of their own.

    A cell named MORE is on every page as soon as there is more than one.
    """
    placed = placed or {}
    others = [i for i in range(len(spans)) if i != main and i not in pinned and i not in placed]
    fixed = [Cell(key, row, column, 1) for key, (row, column) in placed.items()]
    if main is not None:
        fixed.append(Cell(main, rows - 1, columns - min(main_span, columns), min(main_span, columns)))
    free = _free_slots(columns, rows, fixed)
    kept = _place(list(pinned), spans, free) or ([], free)
    everything = _place(others, spans, kept[1])
    if everything is not None:
        return [_whole(fixed + kept[0] + everything[0], columns)]
    return _pages(others, spans, fixed + kept[0], kept[1])


Slots = list[list[int]]
"""Free columns of each row, from the left"""


def _free_slots(columns: int, rows: int, fixed: Sequence[Cell]) -> Slots:
    taken = {(c.row, c.column + k) for c in fixed for k in range(c.span)}
    return [[c for c in range(columns) if (r, c) not in taken] for r in range(rows)]


def _place(keys: list[int], spans: Sequence[int], free: Slots) -> tuple[list[Cell], Slots] | None:
    """Cells for all the keys, in order, and what is left; None when they do not fit."""
    left = [list(row) for row in free]
    cells: list[Cell] = []
    for key in keys:
        cell = _next(key, spans[key], left)
        if cell is None:
            return None
        cells.append(cell)
    return cells, left


def _next(key: int, span: int, left: Slots) -> Cell | None:
    """Take the first row with enough free columns beside each other; a wide key may have to be narrower."""
    most = max((len(row) for row in left), default=0)
    wide = min(span, most)
    for r, row in enumerate(left):
        if wide and len(row) >= wide:
            column = row[0]
            del row[:wide]
            return Cell(key, r, column, wide)
    return None


def _pages(others: list[int], spans: Sequence[int], kept: list[Cell], free: Slots) -> list[list[Cell]]:
    """Keys dealt out to pages, each with a MORE cell at the end of the last row that has room."""
    left = [list(row) for row in free]
    r = max(i for i, row in enumerate(left) if row)
    more = Cell(MORE, r, left[r].pop(), 1)
    pages: list[list[Cell]] = []
    waiting = list(others)
    while waiting:
        room = [list(row) for row in left]
        page = [*kept, more]
        while waiting:
            cell = _next(waiting[0], spans[waiting[0]], room)
            if cell is None:
                break
            page.append(cell)
            waiting.pop(0)
        if len(page) == len(kept) + 1:
            raise ValueError("no key fits beside the main one and the pinned ones")
        pages.append(page)
    return pages


def _whole(cells: list[Cell], columns: int) -> list[Cell]:
    """Widen the last key of each row to the end of the row, so that no hole is left."""
    out: list[Cell] = []
    for cell in cells:
        after = [c.column for c in cells if c.row == cell.row and c.column > cell.column]
        end = min(after, default=columns)
        ends_row = not after or min(after) > cell.column + cell.span
        out.append(Cell(cell.key, cell.row, cell.column, end - cell.column) if ends_row else cell)
    return out
