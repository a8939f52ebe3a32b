"""Strokes of a strip: whole numbers, zones of equal count bracketed with their feed. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.presenters.pieces import Bracket, Strip
from shopapp.sizes import ARM_MM, CLOSE_MM, line_mm
from shopapp.widgets.cells import Cells
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.strip_limits import LIMITS_MM

BRACKET_MM, LINE_MM, EDGE_MM, BAR_SHARE, CHANGE_MM = 2.0, 0.5, 1.4, 0.6, 2.4
STROKE_MM, OVER_BARS_MM, BARS_AT_LEAST_MM = 9.0, 46.0, 12.0
"""Height of a bar for one stroke at most, of all that is not bars, of bars with their numbers at least"""

FOLD_MM = 5.0
"""Side of the sign of strokes that fold, at the foot of their bar"""

BIG_APART_MM = 1.8
"""Least space between large numbers"""

ZERO_FROM_MM = 5.0
"""Pitch from which a station without strokes says 0; closer ones leave it blank"""

ROW_MM = line_mm(CLOSE_MM)
FEED_ROWS = (("mm/s", "mm_per_s"), ("s", "s"))


def highest(strip: Strip) -> float:
    """Height in mm beyond which the drawing gains nothing: bars of a stroke or two are no towers."""
    return STROKE_MM * max(strip.strokes) + OVER_BARS_MM + (LIMITS_MM if strip.used else 0.0)


def draw_strokes(sheet: Sheet, strip: Strip, cells: Cells, area: Area, gutter: Area) -> None:
    """From the top: brackets, count of each zone with its feed; then a bar a station on the worked edge."""
    rest = area.all_of_it()
    if strip.brackets:
        _draw_zones(sheet, strip, cells, rest, gutter)
    sheet.level("ink", cells.edges[0], cells.edges[-1], rest.y + sheet.px * EDGE_MM / 2, sheet.px * EDGE_MM)
    _draw_bars(sheet, strip, cells, rest)


def _draw_zones(sheet: Sheet, strip: Strip, cells: Cells, rest: Area, gutter: Area) -> None:
    right = gutter.x + gutter.width - sheet.px
    line = rest.top(sheet.px * BRACKET_MM)
    fed = any(getattr(b, name) for b in strip.brackets for _, name in FEED_ROWS)
    room = int((rest.height - sheet.px * BARS_AT_LEAST_MM) / (sheet.px * ROW_MM) + 1e-6)
    rows = [rest.top(sheet.px * ROW_MM) for _ in FEED_ROWS[: max(room, 0)]] if fed else []
    for (caption, _), row in zip(FEED_ROWS, rows, strict=False):
        sheet.text("quiet", caption, right, row.y + row.height / 2, CLOSE_MM, 1.0)
    for bracket in strip.brackets:
        span = _span(bracket, cells)
        if span is None:
            continue
        _draw_bracket(sheet, *span, line)
        for (_, name), row in zip(FEED_ROWS, rows, strict=False):
            text = getattr(bracket, name)
            if sheet.measure(text, CLOSE_MM) <= span[1] - span[0]:
                middle = (span[0] + span[1]) / 2
                sheet.text("ink", text, middle, row.y + row.height / 2, CLOSE_MM)


def _draw_bracket(sheet: Sheet, left: float, right: float, line: Area) -> None:
    inset, width = 0.4 * sheet.px, LINE_MM * sheet.px
    top = line.y + line.height - width
    sheet.level("ink", left + inset, right - inset, top, width)
    sheet.upright("ink", left + inset + width / 2, line.y, top, width)
    sheet.upright("ink", right - inset - width / 2, line.y, top, width)


def _draw_bars(sheet: Sheet, strip: Strip, cells: Cells, rest: Area) -> None:
    """Bars as high as their count, the number above each as far as it fits."""
    floor = rest.y + sheet.px * EDGE_MM
    room = rest.height - sheet.px * (EDGE_MM + ROW_MM + 1 + (CHANGE_MM if strip.before else 0))
    most = max(1, *strip.strokes)
    capital_mm = ARM_MM if _widest(sheet, strip, cells, ARM_MM) <= cells.pitch() else CLOSE_MM
    numbers = _widest(sheet, strip, cells, CLOSE_MM) <= cells.pitch()
    for station in cells.stations:
        count = strip.strokes[station]
        left, end = cells.span(station)
        high = max(0.0, room * count / most)
        inset = 0.5 * (1 - BAR_SHARE) * (end - left)
        sheet.box("rule", left + inset, floor, end - inset, floor + high)
        fold = strip.folds[station] if strip.folds and count else ""
        if fold and high > (side := min(end - left - 2 * inset, FOLD_MM * sheet.px)):
            sheet.picture("ink", fold, (left + end) / 2, floor + 0.5 * side, 0.9 * side)
        if numbers and (count or cells.pitch() >= ZERO_FROM_MM * sheet.px or changed(strip, station)):
            y = floor + high + sheet.px * (ROW_MM + 0.6) / 2
            _draw_count(sheet, strip, station, cells.middle(station), y, capital_mm)


def _draw_count(sheet: Sheet, strip: Strip, station: int, x: float, y: float, capital_mm: float) -> None:
    """The count; where it differs from what was planned before, an arrow up or down above it."""
    count = strip.strokes[station]
    sheet.text("ink" if count else "quiet", str(count), x, y, capital_mm)
    if changed(strip, station):
        above = y + sheet.px * (capital_mm / 2 + 0.4 + CHANGE_MM / 2)
        sheet.picture(
            "todo", "up" if count > strip.before[station] else "down", x, above, sheet.px * CHANGE_MM
        )


def changed(strip: Strip, station: int) -> bool:
    """Whether the count differs from what was planned before the last reading."""
    return bool(strip.before) and strip.before[station] != strip.strokes[station]


def _widest(sheet: Sheet, strip: Strip, cells: Cells, capital_mm: float) -> float:
    return (
        max(sheet.measure(str(strip.strokes[s]), capital_mm) for s in cells.stations)
        + (BIG_APART_MM if capital_mm > CLOSE_MM else 0.6) * sheet.px
    )


def _span(bracket: Bracket, cells: Cells) -> tuple[float, float] | None:
    """Left and right edge of what the window shows of a zone."""
    first, last = max(bracket.first, cells.stations[0]), min(bracket.last, cells.stations[-1])
    if first > last:
        return None
    return cells.span(first)[0], cells.span(last)[1]
