"""Readings and deviations of a strip: tolerance, expected band, marks with their numbers. No kivy here."""

from __future__ import annotations

from dataclasses import dataclass

from shopapp.areas import Area
from shopapp.presenters.pieces import PLAIN, TODO, Mark, Strip
from shopapp.sizes import CLOSE_MM, COUNTS_MM, line_mm
from shopapp.widgets.cells import Cells
from shopapp.widgets.sheet import Sheet

MARK_MM, STEM_MM, LINE_MM, BOLD_LINE_MM = 3.2, 1.0, 0.3, 0.7


@dataclass(frozen=True)
class Heights:
    """The height axis: pixels of zero and pixels a millimetre of gap."""

    zero: float
    scale: float

    def y(self, value_mm: float) -> float:
        """Where a value lies."""
        return self.zero + value_mm * self.scale


def heights_of(strip: Strip, area: Area, px: float) -> Heights:
    """The axis that puts the strip's range into the area, with room for numbers above and below."""
    low, high = strip.range_mm
    room = px * (line_mm(CLOSE_MM) + MARK_MM / 2)
    bottom = area.y + (room if low < 0 else px)
    scale = max(0.0, area.y + area.height - room - bottom) / (high - low)
    return Heights(bottom - low * scale, scale)


def draw_ground(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights, gutter: Area) -> None:
    """Tolerance as a band with its numbers, and the line of the template."""
    x0, x1 = cells.edges[0], cells.edges[-1]
    low, high = (heights.y(limit) for limit in strip.tolerance_mm)
    sheet.box("panel", x0, low, x1, high)
    right = gutter.x + gutter.width - sheet.px
    for limit, y in zip(strip.tolerance_mm, (low, high), strict=True):
        sheet.level("rule", x0, x1, y, sheet.px * LINE_MM)
        if limit:
            sign = "−" if limit < 0 else ("+" if strip.tolerance_mm[0] < 0 else "")
            sheet.text("quiet", f"{sign}{abs(limit):.2f}", right, y, CLOSE_MM, 1.0)
    if min(abs(high - heights.zero), abs(low - heights.zero) or 1e9) > sheet.px * line_mm(CLOSE_MM):
        sheet.text("quiet", "0", right, heights.zero, CLOSE_MM, 1.0)
    sheet.level("ink", x0, x1, heights.zero, sheet.px * BOLD_LINE_MM)


def draw_expected(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights) -> None:
    """The expected value of each station as a dash, its band behind it."""
    for station in cells.stations:
        low, high, expected = (
            _at(values, station) for values in (strip.low_mm, strip.high_mm, strip.expected_mm)
        )
        left, right = cells.span(station)
        inset = 0.12 * (right - left)
        if low is not None and high is not None:
            sheet.box("band", left + inset, heights.y(low), right - inset, heights.y(high))
        if expected is not None:
            sheet.level("rule", left + inset, right - inset, heights.y(expected), sheet.px * LINE_MM)


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


def draw_numbers(sheet: Sheet, strip: Strip, cells: Cells, heights: Heights) -> None:
    """Numbers beside the marks: the one asked for first, then suspects, then the widest, as far as they fit."""
    taken: list[tuple[float, float]] = []
    for station in _by_weight(strip, cells):
        mark = strip.marks[station]
        text = mark.text + (" ?" if mark.suspect else "")
        if not text:
            continue
        big = station == strip.current and mark.value_mm is not None
        capital_mm = COUNTS_MM if big and _fits(sheet, text, cells, station) else CLOSE_MM
        width = sheet.measure(text, capital_mm)
        x = cells.middle(station)
        left = min(max(x - width / 2, cells.edges[0]), cells.edges[-1] - width)
        if any(left < end and left + width > start for start, end in taken):
            continue
        taken.append((left - sheet.px, left + width + sheet.px))
        sheet.text(shape_of(mark), text, left, _number_y(sheet, mark, heights, capital_mm), capital_mm, 0.0)


def _number_y(sheet: Sheet, mark: Mark, heights: Heights, capital_mm: float) -> float:
    """Above a mark that stands up, below one that hangs down, above the line where there is none."""
    away = sheet.px * (MARK_MM / 2 + 0.6 + capital_mm / 2)
    if mark.value_mm is None:
        return heights.zero + away
    y = heights.y(mark.value_mm)
    return y - away if mark.value_mm < 0 else y + away


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
