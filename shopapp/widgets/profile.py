"""The cross-section drawn to scale with its sizes, the edge that the tool works named beside it."""

from __future__ import annotations

from dataclasses import replace

from shopapp.areas import Area
from shopapp.presenters.pieces import Profile
from shopapp.sizes import CLOSE_MM
from shopapp.widgets.outline import Placing
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.size_lines import ROW_MM, column_px, level_size, upright_size

THINNEST_MM, POINTER_MM, LEAST_MM = 0.8, 2.6, 6.0
NAME = "worked edge"


def draw_profile(sheet: Sheet, profile: Profile, area: Area) -> None:
    """Walls filled, as thick as they are but never too thin to be seen; a pointer with a name at each worked
    edge, the free edge of the flange in the plane of the curve; sizes below, above and at the left. Where the
    words at the sides would leave no room for it, the section goes before them."""
    name, rest = NAME, _room(sheet, profile, NAME, area)
    if rest.width < LEAST_MM * sheet.px:
        profile = replace(profile, sizes=tuple(size for size in profile.sizes if size.side != "left"))
        name, rest = "", _room(sheet, profile, "", area)
    corners = [c for y0, z0, y1, z1 in profile.rectangles for c in ((y0, z0), (y1, z1))]
    place = Placing(corners, rest)
    for box in profile.rectangles:
        _fill(sheet, "rule", box, place)
    for box in profile.worked:
        _fill(sheet, "go", box, place)
        x, y = place((box[2], (box[1] + box[3]) / 2))
        sheet.picture("ink", "before", x + sheet.px * (0.5 + POINTER_MM / 2), y, sheet.px * POINTER_MM)
        sheet.text("ink", name, x + sheet.px * (1.5 + POINTER_MM), y, CLOSE_MM, 0.0)
    _sizes(sheet, profile, place, area)


def _room(sheet: Sheet, profile: Profile, name: str, area: Area) -> Area:
    """What the name of the edge, its pointer and the sizes leave."""
    rest = area.inset(sheet.px)
    rest.right((sheet.measure(name, CLOSE_MM) if name else 0.0) + sheet.px * (POINTER_MM + 2))
    for size in profile.sizes:
        if size.side == "below":
            rest.bottom(sheet.px * ROW_MM)
        elif size.side == "above":
            rest.top(sheet.px * ROW_MM)
        else:
            rest.left(column_px(sheet, size.text))
    return rest


def _sizes(sheet: Sheet, profile: Profile, place: Placing, area: Area) -> None:
    """Each size close to the section, on its side."""
    ys = [y for y0, _, y1, _ in profile.rectangles for y in (y0, y1)]
    zs = [z for _, z0, _, z1 in profile.rectangles for z in (z0, z1)]
    (left, bottom), (_, top) = place((min(ys), min(zs))), place((max(ys), max(zs)))
    high = sheet.px * ROW_MM
    for size in profile.sizes:
        if size.side == "left":
            (_, y0), (_, y1) = place((0.0, size.low_mm)), place((0.0, size.high_mm))
            wide = column_px(sheet, size.text)
            upright_size(sheet, y0, y1, Area(left - wide, area.y, wide, area.height), size.text)
            continue
        above = size.side == "above"
        (x0, _), (x1, _) = place((size.low_mm, 0.0)), place((size.high_mm, 0.0))
        row = Area(area.x, top if above else bottom - high, area.width, high)
        level_size(sheet, x0, x1, row, size.text, above=above)


def _fill(sheet: Sheet, role: str, box: tuple[float, float, float, float], place: Placing) -> None:
    (x0, y0), (x1, y1) = place((box[0], box[1])), place((box[2], box[3]))
    wide, high = (max(0.0, sheet.px * THINNEST_MM - extent) / 2 for extent in (x1 - x0, y1 - y0))
    sheet.box(role, x0 - wide, y0 - high, x1 + wide, y1 + high)
