"""Sheet as lines to scale: metal as thick as it is, the worked edge bold, sizes beside it. No kivy here."""

from __future__ import annotations

import itertools

from shopapp.areas import Area
from shopapp.presenters.pieces import Point
from shopapp.presenters.views import LineDrawing
from shopapp.widgets.outline import Placing
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.size_lines import ROW_MM, column_px, level_size, upright_size

THINNEST_MM, WORKED_MM, THIN_MM = 0.8, 1.6, 0.3


def draw_lines(sheet: Sheet, drawing: LineDrawing, area: Area) -> None:
    """The metal, thin lines over it, the worked edge on top; sizes below and at the left."""
    rest = area.inset(sheet.px)
    for size in drawing.sizes:
        if size.side == "below":
            rest.bottom(sheet.px * ROW_MM)
        else:
            rest.left(column_px(sheet, size.text))
    everything = [p for line in (*drawing.metal, *drawing.thin, *drawing.worked) for p in line]
    place = Placing(everything, rest)
    wide = max(drawing.thickness_mm * place.scale, sheet.px * THINNEST_MM)
    for role, width, lines in (
        ("rule", wide, drawing.metal),
        ("rule", sheet.px * THIN_MM, drawing.thin),
        ("go", max(wide, sheet.px * WORKED_MM), drawing.worked),
    ):
        for line in lines:
            for (x0, y0), (x1, y1) in itertools.pairwise(map(place, line)):
                sheet.slanted(role, x0, y0, x1, y1, width)
    _sizes(sheet, drawing, place, area, everything)


def _sizes(sheet: Sheet, drawing: LineDrawing, place: Placing, area: Area, everything: list[Point]) -> None:
    left, bottom = place((min(x for x, _ in everything), min(y for _, y in everything)))
    for size in drawing.sizes:
        if size.side == "below":
            (x0, _), (x1, _) = place((size.low_mm, 0.0)), place((size.high_mm, 0.0))
            high = sheet.px * ROW_MM
            level_size(sheet, x0, x1, Area(area.x, bottom - high, area.width, high), size.text)
        else:
            (_, y0), (_, y1) = place((0.0, size.low_mm)), place((0.0, size.high_mm))
            column = column_px(sheet, size.text)
            upright_size(sheet, y0, y1, Area(left - column, area.y, column, area.height), size.text)
