"""Keys set out in a grid, in pages; the main key is always at the bottom right. No kivy here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

MORE = "more"


@dataclass(frozen=True)
class Cell:
    """Where a key lies: row from the top, column, columns and rows that it spans. key : index, or MORE."""

    key: int | str
    row: int
    column: int
    span: int
    high: int = 1


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
    main_high: int = 1,
    pinned: Sequence[int] = (),
    placed: Mapping[int, tuple[int, int]] | None = None,
) -> list[list[Cell]]:
    """Pages of cells.

    spans : columns that each key wants; main : index of the key at the bottom right of every page, with its
    span and height; pinned : keys that are on every page; placed : keys with a (row, column) of their own,
    on the first page. A cell named MORE is on every page as soon as there is more than one.
    Raises ValueError when a page has no room for a single key.
    """
    placed = placed or {}
    others = [i for i in range(len(spans)) if i != main and i not in pinned and i not in placed]
    first = [Cell(key, row, column, 1) for key, (row, column) in placed.items()]
    fixed: list[Cell] = []
    if main is not None:
        span = min(main_span, columns)
        fixed.append(Cell(main, rows - main_high, columns - span, span, main_high))
    free, most = _free_slots(columns, rows, [*first, *fixed]), _widest(columns, rows, fixed)
    cells = _place([*pinned, *others], spans, free, most, in_order=True)
    if len(cells) < len(pinned) + len(others):
        cells = _place([*pinned, *others], spans, free, most)
    if len(cells) == len(pinned) + len(others):
        whole = [*first, *fixed, *cells]
        most = columns if main is None else min(main_span, columns)
        return [whole if placed or main_high > 1 else _spread(whole, columns, most)]
    fixed += _place(pinned, spans, free, most)
    fixed.append(_more(_free_slots(columns, rows, [*first, *fixed])))
    return _pages(others, spans, columns, rows, first, fixed)


Slots = list[list[int]]
"""Free columns of each row, from the left"""


def _free_slots(columns: int, rows: int, fixed: Sequence[Cell]) -> Slots:
    taken = {(c.row + r, c.column + k) for c in fixed for k in range(c.span) for r in range(c.high)}
    return [[c for c in range(columns) if (r, c) not in taken] for r in range(rows)]


def _widest(columns: int, rows: int, fixed: Sequence[Cell]) -> int:
    """Columns of the widest row that a page has free beside what is fixed."""
    return max(len(row) for row in _free_slots(columns, rows, fixed))


def _place(
    keys: Sequence[int], spans: Sequence[int], free: Slots, most: int, in_order: bool = False
) -> list[Cell]:
    """Cells for those of the keys that fit. most : span that a wider key is cut down to.

    in_order : no key goes back into a row above the one before it, whatever room that leaves
    """
    left = [list(row) for row in free]
    cells: list[Cell] = []
    from_row = 0
    for key in keys:
        wide = min(spans[key], most)
        rows = range(from_row, len(left))
        row = next((r for r in rows if wide and len(left[r]) >= wide), None)
        if row is not None:
            cells.append(Cell(key, row, left[row][0], wide))
            del left[row][:wide]
            from_row = row if in_order else 0
    return cells


def _more(free: Slots) -> Cell:
    """The cell of the key that leads to the others: the last of the last row that has room."""
    r = max((i for i, row in enumerate(free) if row), default=-1)
    if r < 0:
        raise ValueError("no room for the key that leads to the others")
    return Cell(MORE, r, free[r][-1], 1)


def _pages(
    others: list[int], spans: Sequence[int], columns: int, rows: int, first: list[Cell], fixed: list[Cell]
) -> list[list[Cell]]:
    """Keys dealt out to pages beside those that are fixed; the first page has its own besides."""
    pages: list[list[Cell]] = []
    waiting, own, most = list(others), first, _widest(columns, rows, fixed)
    while waiting:
        cells = _place(waiting, spans, _free_slots(columns, rows, [*own, *fixed]), most)
        if not cells and not own:
            raise ValueError("no key fits beside the main one and the pinned ones")
        pages.append([*own, *fixed, *cells])
        shown = {cell.key for cell in cells}
        waiting, own = [key for key in waiting if key not in shown], []
    return pages


def _spread(cells: list[Cell], columns: int, most: int) -> list[Cell]:
    """Share out the columns that are left over at the end of a row among its keys, from the left.

    most : span that no key grows beyond, so that the main one stays the largest
    """
    out: list[Cell] = []
    for row in sorted({c.row for c in cells}):
        in_row = sorted((c for c in cells if c.row == row), key=lambda c: c.column)
        held = [c for c in in_row if c.column + c.span == columns]
        free = [c for c in in_row if c not in held] if held else in_row
        end = held[0].column if held else columns
        spare = end - sum(c.span for c in free)
        column = 0
        for i, cell in enumerate(free):
            wider = cell.span + spare // len(free) + (1 if i < spare % len(free) else 0)
            wider = max(cell.span, min(wider, most))
            out.append(Cell(cell.key, row, column, wider))
            column += wider
        out += held
    return out
