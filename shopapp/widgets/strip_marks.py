"""Readings and deviations of a strip: tolerance, expected band, marks with their numbers. No kivy here."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.areas import Area
from shopapp.presenters.pieces import PLAIN, TODO, Mark, Strip
from shopapp.sizes import CLOSE_MM, COUNTS_MM, line_mm
from shopapp.widgets.cells import Cells
from shopapp.widgets.sheet import Sheet

MARK_MM, STEM_MM, LINE_MM, BOLD_LINE_MM, HEADROOM = 3.2, 1.0, 0.3, 0.7, 1.1
LIMITS_APART = 1.3
"""Lines of text between the numbers of the limits, from which each is written"""
EXPECTED_MM, EXPECTED_EDGE = 0.5, "rule"
"""Width and colour of the lines that show an expected value and its band"""

Box = tuple[float, float, float, float]
"""Left, bottom, right, top in pixels"""


@dataclass(frozen=True)
class Heights:
    """The height axis: pixels of zero and pixels a millimetre of gap."""

    zero: float
    scale: float

    def y(self, value_mm: float) -> float:
        """Where a value lies."""
        return self.zero + value_mm * self.scale


def heights_of(strip: Strip, cells: Cells, area: Area, px: float) -> Heights:
    """The axis that puts everything drawn into the area, with room for numbers above and below."""
    low, high = drawn_range(strip, cells.stations)
    room = px * (line_mm(CLOSE_MM) + MARK_MM / 2)
    big = strip.current is not None and strip.marks[strip.current].value_mm is not None
    top = px * (line_mm(COUNTS_MM if big else CLOSE_MM) + MARK_MM / 2)
    hanging = any((strip.marks[i].value_mm or 0.0) < 0 for i in cells.stations)
    bottom = area.y + (room if hanging else px)
    scale = max(0.0, area.y + area.height - top - bottom) / (high - low)
    return Heights(bottom - low * scale, scale)


def drawn_range(strip: Strip, stations: range) -> tuple[float, float]:
    """Lowest and highest of what is drawn at these stations; the strip's own range where nothing is."""
    marks = (strip.marks[i].value_mm for i in stations)
    bands = (at[i] for at in (strip.low_mm, strip.high_mm, strip.expected_mm) if at for i in stations)
    drawn = [value for value in (*marks, *bands) if value is not None]
    values = [0.0, *(HEADROOM * limit for limit in strip.tolerance_mm), *drawn]
    low, high = min(values), max(values)
    return (low, high) if high > low else strip.range_mm


def draw_ground(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights, gutter: Area) -> None:
    """Tolerance as a band with its numbers, and the line of the template."""
    x0, x1 = cells.edges[0], cells.edges[-1]
    low, high = (heights.y(limit) for limit in strip.tolerance_mm)
    sheet.box("panel", x0, low, x1, high)
    for y in (low, high):
        sheet.level("rule", x0, x1, y, sheet.px * LINE_MM)
    _draw_limits(sheet, strip, (low, high), heights, gutter)
    sheet.level("ink", x0, x1, heights.zero, sheet.px * BOLD_LINE_MM)


def _draw_limits(sheet: Sheet, strip: Strip, at: tuple[float, float], heights: Heights, gutter: Area) -> None:
    """Numbers of the tolerance beside its lines; one for both where the lines are too close."""
    right, line = gutter.x + gutter.width - sheet.px, sheet.px * LIMITS_APART * line_mm(CLOSE_MM)
    if gutter.width <= 0:
        return
    low, high = strip.tolerance_mm
    if low < 0 and at[1] - at[0] < line:
        sheet.text("quiet", f"±{strip.limit_text}", right, heights.zero, CLOSE_MM, 1.0)
        return
    for limit, y in zip((low, high), at, strict=True):
        if limit:
            sign = "−" if limit < 0 else ("+" if low < 0 else "")
            sheet.text("quiet", f"{sign}{strip.limit_text}", right, y, CLOSE_MM, 1.0)
    if at[1] - heights.zero > line:
        sheet.text("quiet", "0", right, heights.zero, CLOSE_MM, 1.0)


def draw_expected(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights) -> None:
    """The expected value of each station as a dash, its band as a frame around it."""
    width = EXPECTED_MM * sheet.px
    for station in cells.stations:
        low, high, expected = (
            _at(values, station) for values in (strip.low_mm, strip.high_mm, strip.expected_mm)
        )
        left, right = cells.span(station)
        inset = 0.12 * (right - left)
        if low is not None and high is not None:
            box = left + inset, heights.y(low), right - inset, heights.y(high)
            sheet.box("band", *box)
            sheet.frame(EXPECTED_EDGE, *box, min(width, (box[3] - box[1]) / 2, (box[2] - box[0]) / 4))
        if expected is not None:
            sheet.level(EXPECTED_EDGE, left + inset, right - inset, heights.y(expected), width)


def draw_marks(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights) -> None:
    """A shape and a stem for each value, diamond and question mark for a suspect one."""
    side = min(MARK_MM * sheet.px, 0.9 * cells.pitch())
    for station in cells.stations:
        mark = strip.marks[station]
        if mark.value_mm is None:
            continue
        x, y = cells.middle(station), heights.y(mark.value_mm)
        role = shape_of(mark)
        sheet.upright(role, x, min(heights.zero, y), max(heights.zero, y), min(STEM_MM * sheet.px, side / 2))
        sheet.picture(role, role, x, y, side * (1.3 if mark.suspect else 1.0))


def shape_of(mark: Mark) -> str:
    """State whose shape and colour a mark wears; one without a state of its own is still to do."""
    if mark.suspect or mark.state == PLAIN:
        return TODO
    return mark.state


def draw_numbers(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights, top: float) -> list[Box]:
    """Numbers beside the marks as far as they fit: the one asked for, suspects, the widest, the rest. The one
    asked for is large where that keeps it under the top, in pixels.

    The answer is where they stand.
    """
    taken: list[Box] = []
    for station in _by_weight(strip, cells):
        mark = strip.marks[station]
        text = mark.text + (" ?" if mark.suspect else "")
        if not text:
            continue
        big = station == strip.current and mark.value_mm is not None
        capital_mm = COUNTS_MM if big and _fits(sheet, text, cells, station) else CLOSE_MM
        left, width, y = _number_at(sheet, strip, cells, heights, station, text, capital_mm)
        if capital_mm > CLOSE_MM and y + capital_mm * sheet.px / 2 > top:
            capital_mm = CLOSE_MM
            left, width, y = _number_at(sheet, strip, cells, heights, station, text, capital_mm)
        if any(left < box[2] + sheet.px and left + width > box[0] - sheet.px for box in taken):
            continue
        half = capital_mm * sheet.px / 2
        taken.append((left, y - half, left + width, y + half))
        sheet.text(shape_of(mark), text, left, y, capital_mm, 0.0)
    return taken


def _number_at(
    sheet: Sheet, strip: Strip, cells: Cells, heights: Heights, station: int, text: str, capital_mm: float
) -> tuple[float, float, float]:
    """Left, width and middle height of a number."""
    width = sheet.measure(text, capital_mm)
    left = min(max(cells.middle(station) - width / 2, cells.edges[0]), cells.edges[-1] - width)
    covered = _stations_under(cells, left, width)
    return left, width, _number_y(sheet, strip, heights, covered, station, capital_mm)


def draw_limit_inside(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights, taken: list[Box]) -> None:
    """The number of the tolerance at its line, as short as it is written, where there is no room beside the
    strip: in the first corner, right or left, above or below the line, that no number and no mark is in, and
    no band that is expected; else on a patch of ground over such a band."""
    text = strip.limit_text.rstrip("0").rstrip(".") if "." in strip.limit_text else strip.limit_text
    width, high = sheet.measure(text, CLOSE_MM), sheet.px * CLOSE_MM
    away = high / 2 + sheet.px * 0.8
    line = heights.y(strip.tolerance_mm[1])
    lowest = heights.y(min(0.0, strip.tolerance_mm[0])) + high / 2
    levels = [y for y in (line + away, line - away) if y > lowest]
    corners = [(x, y) for y in levels for x in (cells.edges[-1] - width, cells.edges[0])]
    boxes = [(x, y - high / 2, x + width, y + high / 2) for x, y in corners]
    marks, bands = [*taken, *_marks_in(sheet, strip, cells, heights)], _bands_in(strip, cells, heights)
    free = [box for box in boxes if not any(_cover(box, other) for other in marks)]
    if not free:
        return
    clear = [box for box in free if not any(_cover(box, other) for other in bands)]
    place = (clear or free)[0]
    if not clear:
        sheet.box("ground", *place)
    sheet.text("quiet", text, place[0], (place[1] + place[3]) / 2, CLOSE_MM, 0.0)


def _bands_in(strip: Strip, cells: Cells, heights: Heights) -> list[Box]:
    ends = [(cells.span(i), _at(strip.low_mm, i), _at(strip.high_mm, i)) for i in cells.stations]
    return [
        (left, heights.y(low), right, heights.y(high))
        for (left, right), low, high in ends
        if low is not None and high is not None
    ]


def _marks_in(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights) -> list[Box]:
    half = MARK_MM * sheet.px / 2
    ends = [(cells.middle(i), strip.marks[i].value_mm) for i in cells.stations]
    known = [(x, heights.y(value)) for x, value in ends if value is not None]
    return [(x - half, min(heights.zero, y - half), x + half, max(heights.zero, y + half)) for x, y in known]


def _cover(one: Box, other: Box) -> bool:
    return one[0] < other[2] and one[2] > other[0] and one[1] < other[3] and one[3] > other[1]


def _stations_under(cells: Cells, left: float, width: float) -> range:
    """Stations whose marks a number of this width would cover."""
    return range(cells.at(left), cells.at(left + width) + 1)


def _number_y(
    sheet: Sheet, strip: Strip, heights: Heights, covered: range, station: int, capital_mm: float
) -> float:
    """Above what stands under the number, below what hangs over it, above the line where there is no mark."""
    away = sheet.px * (MARK_MM / 2 + 0.6 + capital_mm / 2)
    own = strip.marks[station].value_mm
    near = [0.0, *(mark.value_mm for mark in (strip.marks[i] for i in covered) if mark.value_mm is not None)]
    below = own is not None and own < 0
    y = heights.y(min(near)) - away if below else heights.y(max(near)) + away
    way, clear = (-1 if below else 1), sheet.px * (capital_mm / 2 + 0.8)
    for line in sorted(_lines_at(strip, heights, covered), key=lambda line: way * line):
        if abs(y - line) < clear:  # no line runs through the number
            y = line + way * clear
    return y


def _lines_at(strip: Strip, heights: Heights, stations: range) -> list[float]:
    """Where lines run at these stations: the tolerance, the expected values with their bands."""
    known = (_at(v, i) for v in (strip.low_mm, strip.expected_mm, strip.high_mm) for i in stations)
    return [heights.y(value) for value in (*strip.tolerance_mm, *known) if value is not None]


def _fits(sheet: Sheet, text: str, cells: Cells, station: int) -> bool:
    left, right = cells.span(station)
    return sheet.measure(text, COUNTS_MM) <= right - left


def _by_weight(strip: Strip, cells: Cells) -> list[int]:
    def weight(station: int) -> tuple[bool, bool, float]:
        mark = strip.marks[station]
        return station == strip.current, mark.suspect, abs(mark.value_mm or 0.0)

    return sorted(cells.stations, key=weight, reverse=True)


def _at(values: tuple[float | None, ...], station: int) -> float | None:
    return values[station] if values else None
