"""Charts of individuals and of their moving ranges, one above the other. No kivy here."""

from __future__ import annotations

import itertools
from math import ceil

from shopapp.areas import Area
from shopapp.presenters.views import ChartDrawing, ChartPanel
from shopapp.sizes import ARM_MM, CLOSE_MM, line_mm
from shopapp.widgets.sheet import Sheet

UPPER_SHARE, MOST_NAMED = 0.62, 0.42
LINE_MM, LIMIT_MM, BOLD_MM, AXIS_MM = 0.8, 0.5, 1.0, 0.4
ROOMY_MM = 20.0
"""Height of a panel from which its title is for reading at arm's length"""
DOT_MM, SIGNAL_MM = 2.6, 4.6


def draw_chart(sheet: Sheet, drawing: ChartDrawing, area: Area) -> None:
    """Numbers of the parts under both; lines named at their right ends."""
    rest = area.all_of_it()
    row = sheet.px * line_mm(CLOSE_MM)
    below = rest.bottom(row)
    lines = [line for panel in (drawing.values, drawing.ranges) for line in panel.lines]
    wide = max((sheet.measure(line.text, CLOSE_MM) for line in lines), default=0.0)
    short = wide > MOST_NAMED * area.width
    if short:
        wide = max(sheet.measure(line.number, CLOSE_MM) for line in lines)
    names = rest.right(wide, sheet.px * 1.5)
    across = _Across(rest.x + sheet.px * 3, rest.width - sheet.px * 6, len(drawing.names))
    upper = rest.top(rest.height * (UPPER_SHARE if drawing.ranges.values else 1.0), sheet.px)
    for panel, place in ((drawing.values, upper), (drawing.ranges, rest)):
        if panel.values:
            _panel(sheet, panel, place, names, across, short)
    _numbers(sheet, drawing.names, below, across)


class _Across:
    """Where the parts stand side by side."""

    def __init__(self, x: float, width: float, count: int) -> None:
        self.step = width / max(count - 1, 1)
        self._x = x if count > 1 else x + width / 2
        self.last = count - 1

    def __call__(self, i: float) -> float:
        return self._x + i * self.step


def _panel(sheet: Sheet, panel: ChartPanel, area: Area, names: Area, across: _Across, short: bool) -> None:
    """Title, lines with their names, the values as a line with marks; those with a signal large."""
    place = area.all_of_it()
    capital_mm = ARM_MM if area.height >= sheet.px * ROOMY_MM else CLOSE_MM
    head = place.top(sheet.px * line_mm(capital_mm))
    sheet.text("ink", panel.title, place.x, head.y + head.height / 2, capital_mm, 0.0)
    low, high = panel.ends
    per = place.height / (high - low)

    def up(value: float) -> float:
        return place.y + per * (value - low)

    left, right = place.x, place.x + place.width
    ends = [across(i) for i in panel.stretch]
    held = (
        max(left, ends[0] if panel.stretch[0] else left),
        right if ends[1] >= across(across.last) else ends[1],
    )
    sheet.level("rule", left, right, place.y, sheet.px * AXIS_MM)
    for x in held:
        if left < x < right:
            sheet.upright("rule", x, place.y, place.y + place.height, sheet.px * LIMIT_MM)
    for line in panel.lines:
        role, bold = ("over", BOLD_MM) if line.bold else ("quiet", LIMIT_MM)
        x0, x1 = (left, right) if line.bold else held
        sheet.level(role, x0, x1, up(line.value), sheet.px * bold)
    beside = Area(names.x, area.y, names.width, area.height)
    _names(sheet, panel, [up(line.value) for line in panel.lines], beside, short)
    points = [(across(i), up(value)) for i, value in zip(panel.at, panel.values, strict=True)]
    for a, b in itertools.pairwise(points):
        sheet.slanted("go", *a, *b, sheet.px * LINE_MM)
    half = sheet.px * DOT_MM / 2
    for i, (x, y) in enumerate(points):
        if i in panel.signals:
            sheet.picture("over", "over", x, y, sheet.px * SIGNAL_MM)
        else:
            sheet.box("go", x - half, y - half, x + half, y + half)
    title_ends = place.x + sheet.measure(panel.title, capital_mm)
    for i, text in panel.named:
        _beside(sheet, text, *points[i], area, title_ends, place.y + place.height)


def _beside(
    sheet: Sheet, text: str, x: float, y: float, area: Area, title_ends: float, below_title: float
) -> None:
    """A number above its mark, inside the panel and clear of its title."""
    half = sheet.measure(text, CLOSE_MM) / 2
    row = sheet.px * line_mm(CLOSE_MM)
    x = min(max(x, area.x + half), area.x + area.width - half)
    above = y + sheet.px * SIGNAL_MM / 2 + row / 2
    top = area.y + area.height if x - half > title_ends else below_title
    y = above if above + row / 2 <= top else y - sheet.px * SIGNAL_MM / 2 - row / 2
    sheet.box("ground", x - half, y - row / 2.6, x + half, y + row / 2.6)
    sheet.text("ink", text, x, y, CLOSE_MM)


def _names(sheet: Sheet, panel: ChartPanel, heights: list[float], names: Area, short: bool) -> None:
    """Beside the ends of their lines, moved apart where they would lie over each other. names : their room"""
    row = sheet.px * line_mm(CLOSE_MM)
    lines = sorted(zip(heights, panel.lines, strict=True), key=lambda one: one[0])
    places = apart([y for y, _ in lines], row, names.y + names.height - row / 2)
    for y, (_, line) in zip(places, lines, strict=True):
        role = "over" if line.bold else "ink"
        sheet.text(role, line.number if short else line.text, names.x, y, CLOSE_MM, 0.0)


def apart(heights: list[float], row: float, top: float) -> list[float]:
    """Rising heights moved apart to a row at least, upwards, then down again from the top."""
    places = list(itertools.accumulate(heights, lambda below, y: max(y, below + row)))
    down = itertools.accumulate(places[::-1], lambda above, y: min(y, above - row), initial=top + row)
    return list(down)[:0:-1]


def _numbers(sheet: Sheet, names: tuple[str, ...], area: Area, across: _Across) -> None:
    """As many as have room."""
    wide = max(sheet.measure(name, CLOSE_MM) for name in names) + sheet.px * 2
    every = max(1, ceil(wide / across.step)) if across.step else 1
    for i in range(0, len(names), every):
        sheet.text("quiet", names[i], across(i), area.y + area.height / 2, CLOSE_MM)
