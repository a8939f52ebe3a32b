"""How much of the metal's limits each station uses: bars under the worked edge, named. No kivy here."""

from __future__ import annotations

from shopapp.areas import Area
from shopapp.presenters.pieces import LimitRun, Strip
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.cells import Cells
from shopapp.widgets.sheet import Sheet

BARS_MM, LINE_MM, FULL = 4.0, 0.3, 0.995
NAMES_MM, BRACKET_MM, APART_MM, UNDER_MM = line_mm(CLOSE_MM), 0.9, 1.5, 0.4
LIMITS_MM = BARS_MM + NAMES_MM
NAME = "% limit"
NAMED_FROM_MM, PLAIN_FROM_MM, SHOWN_FROM_MM = 29.5, 24.0, 16.5
"""Height left above the station numbers from which the limits are named, the same where no zone has a feed,
and from which bars are drawn"""

Taken = list[tuple[float, float]]


def draw_limit_bars(sheet: Sheet, strip: Strip, cells: Cells, row: Area, gutter: Area) -> None:
    """A bar a station as high as the share that is used; the line over it is the limit. A station that is at
    it carries a diamond, one that is beyond it a triangle."""
    px = sheet.px
    floor, top = row.y + 0.5 * px, row.y + row.height - 0.5 * px
    if gutter.width > 0:
        sheet.text("quiet", NAME, gutter.x + gutter.width - px, (floor + top) / 2, CLOSE_MM, 1.0)
    over = strip.over
    for station in cells.stations:
        left, right = cells.span(station)
        inset = min(0.15 * (right - left), px)
        share = min(max(strip.used[station], 0.0), 1.0)
        role = "over" if station in over else "rule"
        sheet.box(role, left + inset, floor, right - inset, floor + share * (top - floor))
        if share >= FULL:
            _draw_shape(sheet, station in over, cells.middle(station), 0.9 * (right - left), floor, top)
    for y in (floor, top):
        sheet.level("rule", cells.edges[0], cells.edges[-1], y, px * LINE_MM)


def _draw_shape(sheet: Sheet, over: bool, x: float, wide: float, floor: float, top: float) -> None:
    """On the full bar a shape of its own, in the ground's colour where the bar has the state's."""
    side = min(top - floor, wide)
    sheet.picture("ground" if over else "todo", "over" if over else "todo", x, (floor + top) / 2, side)


def draw_limit_names(sheet: Sheet, strip: Strip, cells: Cells, row: Area) -> None:
    """A bracket a run of stations with the name of the limit that is nearest there: those that are gone
    beyond first, then the longest; a name that finds no room is read by touch."""
    line = row.all_of_it().top(BRACKET_MM * sheet.px)
    middle, taken = row.y + row.height / 2 - UNDER_MM * sheet.px, []
    for run in sorted(strip.limits, key=lambda run: (not run.over, run.first - run.last)):
        first, last = max(run.first, cells.stations[0]), min(run.last, cells.stations[-1])
        if first > last:
            continue
        span, role = (cells.span(first)[0], cells.span(last)[1]), "over" if run.over else "ink"
        _draw_bracket(sheet, role, *span, line)
        _draw_name(sheet, run, role, span, middle, _bounds(run, strip, cells), taken)


def _bounds(run: LimitRun, strip: Strip, cells: Cells) -> tuple[float, float]:
    """How far the name of a run may go beyond it: to the next bracket, for there it is that one's; what is
    gone beyond is told all the same."""
    if run.over:
        return cells.edges[0], cells.edges[-1]
    before = (other.last + 1 for other in strip.limits if other.last < run.first)
    after = (other.first for other in strip.limits if other.first > run.last)
    first, end = cells.stations[0], cells.stations[-1] + 1
    ends = max((first, *before)), min((end, *after))
    return cells.edges[max(ends[0] - first, 0)], cells.edges[min(ends[1], end) - first]


def _draw_bracket(sheet: Sheet, role: str, left: float, right: float, line: Area) -> None:
    """Open towards the stations."""
    inset, width = 0.4 * sheet.px, LINE_MM * sheet.px
    sheet.level(role, left + inset, right - inset, line.y + width / 2, width)
    for x in (left + inset + width / 2, right - inset - width / 2):
        sheet.upright(role, x, line.y, line.y + line.height, width)


def _draw_name(
    sheet: Sheet,
    run: LimitRun,
    role: str,
    span: tuple[float, float],
    y: float,
    most: tuple[float, float],
    taken: Taken,
) -> None:
    """The longest wording that fits its run beside what is written, amid it if it can be; where none does
    the shortest over its ends, within the most that it may, if nothing is written there."""
    for text in run.texts:
        width = sheet.measure(text, CLOSE_MM)
        beyond = width / 2 if text == run.texts[-1] else 0.0
        bounds = max(span[0] - beyond, most[0]), min(span[1] + beyond, most[1])
        left = _room(width, sum(span) / 2, bounds, taken, APART_MM * sheet.px)
        if left is not None:
            taken.append((left, left + width))
            sheet.text(role, text, left, y, CLOSE_MM, 0.0)
            return


def _room(
    width: float, middle: float, bounds: tuple[float, float], taken: Taken, apart: float
) -> float | None:
    """Left end of a free place so wide between the bounds, the nearest to a middle; None where none is."""
    low, high = bounds[0], bounds[1] - width
    beside = [x for a, b in taken for x in (b + apart, a - apart - width)]
    lefts = [x for x in (min(max(middle - width / 2, low), high), *beside) if low <= x <= high]
    free = [x for x in lefts if all(x + width + apart <= a or x >= b + apart for a, b in taken)]
    return min(free, key=lambda x: abs(x + width / 2 - middle), default=None)
