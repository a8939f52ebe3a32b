"""The worked flange with the gripping halves of the tool over it, to scale. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.presenters.views import ToolDrawing
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.outline import Placing
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.size_lines import ROW_MM, column_px, level_size, upright_size

EDGE_MM, FRAME_MM, ARROWS_MM, APART, OPEN = 1.2, 0.4, 4.5, 0.4, 1.4
"""Widths of lines, side of the arrows; least space beside a patch as a share of its length; depth that is
drawn of a flange that is not known, as a share of the patch's"""


def draw_tool(sheet: Sheet, drawing: ToolDrawing, area: Area) -> None:
    """The free edge on top, bold; a patch for each action with its two halves, arrows with the action's name
    above; sizes below the first patch, at its left and, of the flange, at the right."""
    rest = area.all_of_it()
    words, below = rest.top(sheet.px * line_mm(CLOSE_MM)), rest.bottom(sheet.px * ROW_MM)
    depth, patch = drawing.flange_mm or OPEN * drawing.patch_depth_mm, drawing.patch_length_mm
    left = rest.left(column_px(sheet, drawing.depth_text))
    right = rest.right(column_px(sheet, drawing.flange_text))
    count, deep = len(drawing.arrows), max(depth, drawing.patch_depth_mm)
    long = max(count * patch * (1.0 + 2.0 * APART), deep * rest.width / rest.height)
    place = Placing([(0.0, 0.0), (long, -deep)], rest)
    each, words_of = long / count, words.grid(count, 1, sheet.px)
    (x0, top), (x1, heel) = place((0.0, 0.0)), place((long, -depth))
    sheet.box("band", x0, heel, x1, top)
    if drawing.flange_mm is not None:
        sheet.level("rule", x0, x1, heel, sheet.px * FRAME_MM)
        upright_size(sheet, heel, top, _beside(right, x1, right.width), drawing.flange_text, right=True)
    for i, (arrows, word) in enumerate(drawing.arrows):
        start = place(((i + 0.5) * each - 0.5 * patch, -drawing.patch_depth_mm))
        end = place(((i + 0.5) * each + 0.5 * patch, 0.0))
        _halves(sheet, drawing, start, end)
        _named(sheet, arrows, word, (start[0] + end[0]) / 2, words_of[i])
        if i == 0:
            level_size(sheet, start[0], end[0], _under(below, min(heel, start[1])), drawing.length_text)
            upright_size(sheet, start[1], top, _beside(left, x0 - left.width, left.width), drawing.depth_text)
    sheet.level("go", x0, x1, top, sheet.px * EDGE_MM)


def _beside(column: Area, x: float, width: float) -> Area:
    return Area(x, column.y, width, column.height)


def _under(row: Area, y: float) -> Area:
    return Area(row.x, y - row.height, row.width, row.height)


def _halves(sheet: Sheet, drawing: ToolDrawing, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Both gripping halves, the metal between them free."""
    share = 0.5 * (1.0 - min(drawing.free_mm / drawing.patch_length_mm, 1.0))
    grip = share * (end[0] - start[0])
    for x0, x1 in ((start[0], start[0] + grip), (end[0] - grip, end[0])):
        sheet.box("rule", x0, start[1], x1, end[1])
    sheet.frame("ink", *start, *end, sheet.px * FRAME_MM)


def _named(sheet: Sheet, arrows: str, word: str, middle: float, row: Area) -> None:
    """Arrows and the name of the action over its patch, inside the row."""
    side = sheet.px * ARROWS_MM
    wide = side + sheet.px + sheet.measure(word, CLOSE_MM)
    x = min(max(middle - wide / 2, row.x), row.x + row.width - wide)
    y = row.y + row.height / 2
    sheet.picture("ink", arrows, x + side / 2, y, side)
    sheet.text("ink", word, x + side + sheet.px, y, CLOSE_MM, 0.0)
