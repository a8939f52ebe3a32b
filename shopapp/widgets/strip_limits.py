"""How much of the metal's limits each station uses: shaded bars under the worked edge. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.presenters.pieces import Strip
from shopapp.sizes import CLOSE_MM
from shopapp.widgets.cells import Cells
from shopapp.widgets.sheet import Sheet

LIMITS_MM, LINE_MM, FULL = 5.0, 0.3, 0.995
NAME = "% limit"
WORTH_MM = 30.0  # of height left for the strokes, below which the row is left out


def draw_limits(sheet: Sheet, strip: Strip, cells: Cells, row: Area, gutter: Area) -> None:
    """A bar a station as high as the share that is used; the line over it is the limit, and a station that
    is at it carries a diamond."""
    px = sheet.px
    floor, top = row.y + px, row.y + row.height - px
    sheet.text("quiet", NAME, gutter.x + gutter.width - px, (floor + top) / 2, CLOSE_MM, 1.0)
    for station in cells.stations:
        left, right = cells.span(station)
        inset = min(0.15 * (right - left), px)
        share = min(max(strip.used[station], 0.0), 1.0)
        sheet.box("rule", left + inset, floor, right - inset, floor + share * (top - floor))
        if share >= FULL:
            side = min(top - floor, 0.9 * (right - left))
            sheet.picture("todo", "todo", cells.middle(station), (floor + top) / 2, side)
    for y in (floor, top):
        sheet.level("rule", cells.edges[0], cells.edges[-1], y, px * LINE_MM)
