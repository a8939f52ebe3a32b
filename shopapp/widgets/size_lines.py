"""A size beside a drawing: a thin line from end to end, ticks at the ends, its number. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.sheet import Sheet

LINE_MM, TICK_MM = 0.3, 2.0
ROW_MM = line_mm(CLOSE_MM) + 1.6
"""height that a level size takes with its number"""


def level_size(
    sheet: Sheet, x0: float, x1: float, row: Area, text: str, above: bool = False, role: str = "ink"
) -> None:
    """Level size in a row, its line along the side next to the drawing, its number inside the row.

    above : the row lies above the drawing
    """
    y = row.y + sheet.px if above else row.y + row.height - sheet.px
    _line(sheet, role, (x0, y), (x1, y))
    half = sheet.measure(text, CLOSE_MM) / 2
    x = min(max((x0 + x1) / 2, row.x + half), row.x + row.width - half)
    away = sheet.px * (0.6 + line_mm(CLOSE_MM) / 2)
    sheet.text(role, text, x, y + away if above else y - away, CLOSE_MM)


def column_px(sheet: Sheet, text: str) -> float:
    """Width in pixels of the column that an upright size takes."""
    return sheet.measure(text, CLOSE_MM) + sheet.px * 3


def upright_size(
    sheet: Sheet, y0: float, y1: float, column: Area, text: str, right: bool = False, role: str = "ink"
) -> None:
    """Upright size in a column, its line along the side next to the drawing. right : of the drawing"""
    x = column.x + sheet.px if right else column.x + column.width - sheet.px
    _line(sheet, role, (x, y0), (x, y1))
    half = sheet.px * line_mm(CLOSE_MM) / 2
    y = min(max((y0 + y1) / 2, column.y + half), column.y + column.height - half)
    beside = sheet.px * 1.2
    sheet.text(role, text, x + beside if right else x - beside, y, CLOSE_MM, 0.0 if right else 1.0)


def _line(sheet: Sheet, role: str, start: tuple[float, float], end: tuple[float, float]) -> None:
    wide, tick = sheet.px * LINE_MM, sheet.px * TICK_MM / 2
    sheet.slanted(role, *start, *end, wide)
    level = start[1] == end[1]
    for x, y in (start, end):
        if level:
            sheet.upright(role, x, y - tick, y + tick, wide)
        else:
            sheet.level(role, x - tick, x + tick, y, wide)
