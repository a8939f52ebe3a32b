"""The strip as a whole: which stations fit, what is drawn where. No kivy here.

Everywhere the same: the worked edge from left to right, a cell a station, station numbers below; where
not all stations fit, a line of all of them lies under it with the window marked.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.areas import Area
from shopapp.presenters.pieces import Strip
from shopapp.sizes import CLOSE_MM, KEY_MM, line_mm
from shopapp.widgets.cells import Cells, cells_for
from shopapp.widgets.sheet import Measure, Sheet
from shopapp.widgets.strip_limits import (
    BARS_MM,
    NAME,
    NAMED_FROM_MM,
    NAMES_MM,
    PLAIN_FROM_MM,
    SHOWN_FROM_MM,
    draw_limit_bars,
    draw_limit_names,
)
from shopapp.widgets.strip_marks import (
    draw_expected,
    draw_ground,
    draw_limit_inside,
    draw_marks,
    draw_numbers,
    drawn_range,
    heights_of,
    shape_of,
)
from shopapp.widgets.strip_strokes import draw_strokes, narrowest

CURRENT_GROWN, GUTTER_MM, OVERVIEW_MM, ROW_MM = 1.3, 13.0, 9.0, line_mm(CLOSE_MM)
LOW_STRIP_MM, LOW_OVERVIEW_MM, LANE_MM = 34.0, 6.0, 4.5
MARKS_MM, NARROW_MM, ARROWS_MM = 2.4, 80.0, 8.0
"""Least width of a cell that shows a mark; a strip narrower than the second
gives up its gutter while stations are chosen; what the arrows take of the line above"""


@dataclass(frozen=True)
class Plan:
    """cells : of the window; overview : of all stations, None where all are in the window, and its top;
    asked : stations are chosen by touch."""

    cells: Cells
    overview: Cells | None
    overview_top: float
    asked: bool = False


def plan_strip(
    strip: Strip, area: Area, px: float, measure: Measure, asked: bool = False, centre: int | None = None
) -> Plan:
    """Choose the window. asked : stations are chosen by touch, so cells are as wide as keys;
    centre : station amid the window (none: the current one)."""
    widest = measure(NAME if strip.used else "mm/s", CLOSE_MM) + px
    gutter = 0.0 if asked and area.width < NARROW_MM * px else max(GUTTER_MM * px, widest)
    x0, x1 = area.x + gutter, area.x + area.width - px
    least = px * KEY_MM if asked else _narrowest(strip, px, measure)
    focus = strip.current if strip.current is not None else centre
    if focus is None and strip.brackets:
        focus = strip.brackets[0].first
    grown = CURRENT_GROWN if asked and strip.current is not None else 1.0
    stations = len(strip.names)
    cells = cells_for(stations, x0, x1, least, focus, grown)
    if cells.count == stations:
        return Plan(cells, None, area.y, asked)
    overview = cells_for(stations, x0, x1, 0.01)
    high_mm = OVERVIEW_MM if area.height > LOW_STRIP_MM * px else LOW_OVERVIEW_MM
    return Plan(cells, overview, area.y + px * high_mm, asked)


def _narrowest(strip: Strip, px: float, measure: Measure) -> float:
    """Least width of a cell that shows what the strip holds, not counting numbers beside marks."""
    if not strip.strokes:
        return MARKS_MM * px
    return max(MARKS_MM * px, narrowest(strip, px, measure))


def draw_strip(
    sheet: Sheet, strip: Strip, area: Area, plan: Plan, captioned: bool = True, lane: bool = False
) -> None:
    """Set the whole strip down on a sheet. captioned : what its height is stands above it;
    lane : a way for the running marker is kept free under the edge, see :func:`lane_of`."""
    px = sheet.px
    rest = area.all_of_it()
    gutter = rest.left(plan.cells.edges[0] - area.x)
    if plan.overview is not None:
        _draw_overview(sheet, strip, plan, rest.bottom(plan.overview_top - rest.y, px))
    fed = any(bracket.feed for bracket in strip.brackets)
    if strip.limits and not lane and rest.height > (ROW_MM + (NAMED_FROM_MM if fed else PLAIN_FROM_MM)) * px:
        draw_limit_names(sheet, strip, plan.cells, rest.bottom(NAMES_MM * px))
    names = rest.bottom(ROW_MM * px)
    _draw_names(sheet, strip, plan.cells, names)
    if lane:
        rest.bottom(LANE_MM * px)
    if strip.used and rest.height > SHOWN_FROM_MM * px:
        draw_limit_bars(sheet, strip, plan.cells, rest.bottom(BARS_MM * px), gutter)
    looked_at = rest.y
    if captioned and (strip.scale_text or strip.arrows):
        _draw_scale(sheet, strip, area, rest)
    if strip.strokes:
        draw_strokes(sheet, strip, plan.cells, rest, gutter)
    elif strip.marks:
        heights = heights_of(strip, plan.cells, rest, px)
        draw_ground(sheet, strip, plan.cells, heights, gutter)
        draw_expected(sheet, strip, plan.cells, heights)
        draw_marks(sheet, strip, plan.cells, heights)
        taken = draw_numbers(sheet, strip, plan.cells, heights, rest.y + rest.height)
        if gutter.width <= 0:
            draw_limit_inside(sheet, strip, plan.cells, heights, taken)
    if strip.current in plan.cells.stations:
        whole = plan.asked or not strip.strokes
        _draw_current(sheet, strip, plan, (names.y, rest.y + rest.height if whole else looked_at), whole)


def _draw_current(sheet: Sheet, strip: Strip, plan: Plan, between: tuple[float, float], whole: bool) -> None:
    """A frame about the station that is asked for, never narrower than its number. whole : all of its cell"""
    station, px = strip.current or 0, sheet.px
    left, right = plan.cells.span(station)
    wanted = sheet.measure(strip.names[station], CLOSE_MM) + 2 * px
    more = 0.0 if whole else max(0.0, (wanted - (right - left)) / 2)
    sheet.frame("ink", left - more, between[0], right + more, between[1], (0.8 if whole else 0.5) * px)


def lane_of(plan: Plan, px: float) -> tuple[float, float]:
    """Bottom and top of the marker's way, between the station numbers and the edge."""
    bottom = plan.overview_top + (ROW_MM + (1.0 if plan.overview is not None else 0.0)) * px
    return bottom, bottom + LANE_MM * px


def _draw_scale(sheet: Sheet, strip: Strip, area: Area, rest: Area) -> None:
    row = rest.top(ROW_MM * sheet.px)
    room = area.width - (ARROWS_MM * sheet.px if strip.arrows else 0.0)
    texts = (text for text in (strip.scale_text, strip.scale_short) if text)
    told = next((text for text in texts if sheet.measure(text, CLOSE_MM) <= room), "")
    if told:
        sheet.text("quiet", told, area.x, row.y + row.height / 2, CLOSE_MM, 0.0)
    if strip.arrows:
        sheet.picture(
            "ink", strip.arrows, area.x + area.width - 4 * sheet.px, row.y + row.height / 2, 6 * sheet.px
        )


def _draw_names(sheet: Sheet, strip: Strip, cells: Cells, row: Area) -> None:
    """Station numbers: all of them where they fit, else round ones and the two at the ends."""
    y = row.y + row.height / 2
    widest = max(sheet.measure(strip.names[s], CLOSE_MM) for s in cells.stations) + sheet.px
    every = next(step for step in (1, 2, 5, 10, 20, 50, 100, 1000) if step * cells.pitch() >= widest)
    for station in cells.stations:
        if station == strip.current or (station + 1) % every == 0:
            role = "ink" if station == strip.current else "quiet"
            if role == "ink" or every == 1 or not _beside(station, strip.current, every):
                sheet.text(role, strip.names[station], cells.middle(station), y, CLOSE_MM)


def _beside(station: int, current: int | None, every: int) -> bool:
    return current is not None and station != current and abs(station - current) < every


def _draw_overview(sheet: Sheet, strip: Strip, plan: Plan, row: Area) -> None:
    """All stations as thin ticks in the shape's colour or as high as their count; the window framed."""
    cells = plan.overview
    assert cells is not None
    low, high = drawn_range(strip, cells.stations) if strip.marks else strip.range_mm
    most = max((1, *strip.strokes))
    room = row.height - 2 * sheet.px
    zero = row.y + sheet.px + (0.0 if strip.strokes else room * -low / (high - low))
    sheet.level("rule", cells.edges[0], cells.edges[-1], zero, 0.3 * sheet.px)
    width = max(1.0, 0.7 * cells.pitch())
    for station in cells.stations:
        x = cells.middle(station)
        if strip.strokes:
            role = "over" if station in strip.over else "rule"
            sheet.upright(role, x, zero, zero + room * strip.strokes[station] / most, width)
            continue
        mark = strip.marks[station] if strip.marks else None
        if mark is None or mark.value_mm is None:
            sheet.upright("rule", x, zero - 0.4 * sheet.px, zero + 0.4 * sheet.px, width)
            continue
        y = zero + room * mark.value_mm / (high - low)
        tip = 0.5 * sheet.px
        sheet.upright(shape_of(mark), x, min(zero, y) - tip, max(zero, y) + tip, width)
    left, right = cells.span(plan.cells.stations[0])[0], cells.span(plan.cells.stations[-1])[1]
    sheet.frame("ink", left, row.y, right, row.y + row.height, 0.5 * sheet.px)
