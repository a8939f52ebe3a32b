"""Strokes of a strip: whole numbers, zones of equal count bracketed with their feed. No kivy here."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from shopapp.areas import Area
from shopapp.presenters.pieces import Bracket, Strip
from shopapp.sizes import ARM_MM, CLOSE_MM, line_mm
from shopapp.widgets.cells import Cells
from shopapp.widgets.sheet import Measure, Sheet
from shopapp.widgets.strip_limits import LIMITS_MM

BRACKET_MM, LINE_MM, EDGE_MM, BAR_SHARE, CHANGE_MM = 2.0, 0.5, 1.4, 0.6, 2.4
STROKE_MM, OVER_BARS_MM, BARS_AT_LEAST_MM = 9.0, 46.0, 12.0
"""Height of a bar for one stroke at most, of all that is not bars, of bars with their numbers at least"""

FOLD_MM = 5.0
"""Side of the sign of strokes that fold, at the foot of their bar"""

BIG_APART_MM, APART_MM, CELLS_APART_MM = 1.8, 0.6, 1.0
"""Least space between large numbers, between small ones, and between those where a window is chosen"""

ZERO_FROM_MM = 5.0
"""Pitch from which a station without strokes says 0; closer ones leave it blank"""

FEED_MM = 6.8
"""Height of a row of feeds at arm's length: digits have nothing below their line"""

Number = tuple[str, float, int, float]
"""Text, middle in pixels, count that it tells, height of capitals in mm"""

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
    room = int((rest.height - sheet.px * BARS_AT_LEAST_MM) / (sheet.px * FEED_MM) + 1e-6)
    rows = [rest.top(sheet.px * FEED_MM) for _ in FEED_ROWS[: max(room, 0)]] if fed else []
    for (caption, _), row in zip(FEED_ROWS, rows, strict=False):
        sheet.text("quiet", caption, right, row.y + row.height / 2, CLOSE_MM, 1.0)
    for bracket in strip.brackets:
        span = _span(bracket, cells)
        if span is None:
            continue
        _draw_bracket(sheet, *span, line)
        wide = span[1] - span[0]
        for (_, name), row in zip(FEED_ROWS, rows, strict=False):
            text = getattr(bracket, name)
            sizes = ((ARM_MM, BIG_APART_MM), (CLOSE_MM, 0.0))
            fitting = (mm for mm, apart in sizes if sheet.measure(text, mm) + apart * sheet.px <= wide)
            if capital_mm := next(fitting, 0.0):
                sheet.text("ink", text, sum(span) / 2, row.y + row.height / 2, capital_mm)


def _draw_bracket(sheet: Sheet, left: float, right: float, line: Area) -> None:
    inset, width = 0.4 * sheet.px, LINE_MM * sheet.px
    top = line.y + line.height - width
    sheet.level("ink", left + inset, right - inset, top, width)
    sheet.upright("ink", left + inset + width / 2, line.y, top, width)
    sheet.upright("ink", right - inset - width / 2, line.y, top, width)


def _draw_bars(sheet: Sheet, strip: Strip, cells: Cells, rest: Area) -> None:
    """Bars as high as their count, the number above each in large letters; where those do not fit, one above
    each run of equal counts, or small ones."""
    floor = rest.y + sheet.px * EDGE_MM
    room = rest.height - sheet.px * (EDGE_MM + ROW_MM + 1 + (CHANGE_MM if strip.before else 0))
    most = max(1, *strip.strokes)
    for station in cells.stations:
        count = strip.strokes[station]
        left, end = cells.span(station)
        high = max(0.0, room * count / most)
        inset = 0.5 * (1 - BAR_SHARE) * (end - left)
        sheet.box("rule", left + inset, floor, end - inset, floor + high)
        fold = strip.folds[station] if strip.folds and count else ""
        if fold and high > (side := min(end - left - 2 * inset, FOLD_MM * sheet.px)):
            sheet.picture("ink", fold, (left + end) / 2, floor + 0.5 * side, 0.9 * side)
        if changed(strip, station):  # above its number, large or small
            which = "up" if count > strip.before[station] else "down"
            above = floor + high + sheet.px * ((ROW_MM + 0.6 + ARM_MM) / 2 + 0.4 + CHANGE_MM / 2)
            sheet.picture("todo", which, (left + end) / 2, above, sheet.px * CHANGE_MM)
    for text, x, count, capital_mm in _numbers(sheet, strip, cells):
        y = floor + room * count / most + sheet.px * (ROW_MM + 0.6) / 2
        sheet.text("ink" if count else "quiet", text, x, y, capital_mm)


def _numbers(sheet: Sheet, strip: Strip, cells: Cells) -> list[Number]:
    """Where counts are written, and how large: at each station, else large ones amid each run of equal
    counts that has room, "2 each", and small ones at the stations of the others."""
    shown = [s for s in cells.stations if _told(sheet, strip, cells, s)]
    if _wide(sheet, strip, cells.stations, ARM_MM) + BIG_APART_MM * sheet.px <= cells.pitch():
        return [(str(strip.strokes[s]), cells.middle(s), strip.strokes[s], ARM_MM) for s in shown]
    runs = [list(run) for _, run in groupby(cells.stations, lambda station: strip.strokes[station])]
    out: list[Number] = []
    for i, run in enumerate(runs):
        count, (left, right) = strip.strokes[run[0]], (cells.span(run[0])[0], cells.span(run[-1])[1])
        alone = all(len(beside) > 1 for beside in runs[max(0, i - 1) : i + 2] if beside is not run)
        room = right - left - sheet.px * (APART_MM if alone else BIG_APART_MM)
        texts = (f"{count} each", str(count)) if len(run) > 1 else (str(count),)
        text = next((text for text in texts if count and sheet.measure(text, ARM_MM) <= room), "")
        if text:
            out.append((text, (left + right) / 2, count, ARM_MM))
        elif _wide(sheet, strip, run, CLOSE_MM) + APART_MM * sheet.px <= cells.pitch():
            out += [(str(count), cells.middle(s), count, CLOSE_MM) for s in run if s in shown]
    return out


def _told(sheet: Sheet, strip: Strip, cells: Cells, station: int) -> bool:
    """Whether a station says its count; one without strokes only where there is room."""
    return bool(strip.strokes[station] or cells.pitch() >= ZERO_FROM_MM * sheet.px or changed(strip, station))


def narrowest(strip: Strip, px: float, measure: Measure) -> float:
    """Least width of a cell in pixels in which every count is told, by stations or by runs."""
    least = 0.0
    for count, run in groupby(strip.strokes):
        large, small = (measure(str(count), capital_mm) for capital_mm in (ARM_MM, CLOSE_MM))
        least = max(least, min(small + CELLS_APART_MM * px, (large + BIG_APART_MM * px) / len(list(run))))
    return least


def changed(strip: Strip, station: int) -> bool:
    """Whether the count differs from what was planned before the last reading."""
    return bool(strip.before) and strip.before[station] != strip.strokes[station]


def _wide(sheet: Sheet, strip: Strip, stations: Iterable[int], capital_mm: float) -> float:
    return max(sheet.measure(str(strip.strokes[s]), capital_mm) for s in stations)


def _span(bracket: Bracket, cells: Cells) -> tuple[float, float] | None:
    """Left and right edge of what the window shows of a zone."""
    first, last = max(bracket.first, cells.stations[0]), min(bracket.last, cells.stations[-1])
    if first > last:
        return None
    return cells.span(first)[0], cells.span(last)[1]
