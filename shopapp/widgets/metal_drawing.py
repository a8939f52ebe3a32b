"""How a metal hardens as it is stretched, over axes with their units; or its strengths alone."""

from __future__ import annotations

import itertools
from math import ceil

from shopapp.areas import Area
from shopapp.presenters.views import CurveDrawing, StrengthDrawing
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.sheet import Sheet

CURVE_MM, AXIS_MM, TICK_MM, MARK_MM, BOLD_MM, BAR_MM = 1.0, 0.4, 1.4, 0.5, 1.0, 3.5
SIDE, UP = "%", "MPa"
HIDES, MOST_SHARE = 1.5, 0.6
"""lines of text over those of its marks that a plot is high at least, to hold their words; share of the width
of a lower one that their words may take beside it"""
AXES = "MPa, natural strain"


def draw_curve(sheet: Sheet, drawing: CurveDrawing, area: Area) -> None:
    """Stress upwards in MPa, strain along in %; marks as upright lines, their words beside them under the
    curve."""
    row = sheet.px * line_mm(CLOSE_MM)
    plot = area.all_of_it()
    plot.bottom(row)
    head = plot.top(row)
    plot.left(max(sheet.measure(f"{t:g}", CLOSE_MM) for t in drawing.stress_ticks) + sheet.px * (TICK_MM + 1))
    plot.right(sheet.measure(f"00 {SIDE}", CLOSE_MM) / 2)
    beside = _label_column(sheet, drawing, plot, row)
    sheet.text("quiet", AXES, plot.x + sheet.px, head.y + row / 2, CLOSE_MM, 0.0)
    across, up = plot.width / drawing.ends[0], plot.height / drawing.ends[1]
    _stress_axis(sheet, plot, drawing.stress_ticks, up)
    _strain_axis(sheet, plot, [(100 * tick, across * tick) for tick in drawing.strain_ticks], SIDE)
    points = [(plot.x + across * e, plot.y + up * s) for e, s in drawing.curve]
    for a, b in itertools.pairwise(points):
        sheet.slanted("go", *a, *b, sheet.px * CURVE_MM)
    for i, mark in enumerate(drawing.marks):
        x = plot.x + across * mark.strain
        sheet.upright("ink", x, plot.y, plot.y + plot.height, sheet.px * (BOLD_MM if mark.bold else MARK_MM))
        if beside is None:
            _label(sheet, mark.text, x, plot.y + row * (0.6 + i), plot)
        else:
            sheet.text("ink", mark.text, beside.x, beside.y + row * (0.6 + i), CLOSE_MM, 0.0)


def _label_column(sheet: Sheet, drawing: CurveDrawing, plot: Area, row: float) -> Area | None:
    """A column for the marks' words where the plot is so low that they would hide its curve; else None."""
    wide = max((sheet.measure(mark.text, CLOSE_MM) for mark in drawing.marks), default=0.0)
    if plot.height >= row * (len(drawing.marks) + HIDES) or wide > MOST_SHARE * plot.width:
        return None
    return plot.right(wide, sheet.px * TICK_MM)


def _label(sheet: Sheet, text: str, x: float, y: float, plot: Area) -> None:
    """A mark's words beside its line, at the left where the right has no room; nothing shows behind them."""
    wide, half = sheet.measure(text, CLOSE_MM), sheet.px * line_mm(CLOSE_MM) / 2.3
    left = x + wide + sheet.px > plot.x + plot.width
    start = x - sheet.px - wide if left else x + sheet.px
    sheet.box("ground", start, y - half, start + wide, y + half)
    sheet.text("ink", text, start, y, CLOSE_MM, 0.0)


def draw_strengths(sheet: Sheet, drawing: StrengthDrawing, area: Area) -> None:
    """A bar for each strength, from its low to its high end, over an axis in MPa."""
    row = sheet.px * line_mm(CLOSE_MM)
    plot = area.all_of_it()
    plot.bottom(row)
    plot.left(max(sheet.measure(name, CLOSE_MM) for name, _, _ in drawing.bars) + sheet.px * 2)
    plot.right(sheet.measure(f"000 {UP}", CLOSE_MM) / 2)
    across = plot.width / drawing.end
    _strain_axis(sheet, plot, [(tick, across * tick) for tick in drawing.ticks], UP)
    places = plot.grid(1, len(drawing.bars), sheet.px)
    for (name, low, high), place in zip(drawing.bars, places, strict=True):
        middle, half = place.y + place.height / 2, sheet.px * BAR_MM / 2
        least = sheet.px * BOLD_MM
        x0, x1 = plot.x + across * low, plot.x + across * high
        sheet.box("go", x0 - least / 2, middle - half, max(x1, x0 + least / 2), middle + half)
        sheet.text("ink", name, plot.x - sheet.px * 2, middle, CLOSE_MM, 1.0)


def _stress_axis(sheet: Sheet, plot: Area, ticks: tuple[float, ...], up: float) -> None:
    """Numbers at as many of the ticks as are a line apart; 0 stands at the other axis."""
    sheet.upright("ink", plot.x, plot.y, plot.y + plot.height, sheet.px * AXIS_MM)
    every = ceil(sheet.px * line_mm(CLOSE_MM) / (up * ticks[1]))
    for tick in ticks[every::every]:
        y = plot.y + up * tick
        sheet.level("ink", plot.x - sheet.px * TICK_MM, plot.x, y, sheet.px * AXIS_MM)
        sheet.text("quiet", f"{tick:g}", plot.x - sheet.px * (TICK_MM + 0.6), y, CLOSE_MM, 1.0)


def _strain_axis(sheet: Sheet, plot: Area, ticks: list[tuple[float, float]], unit: str) -> None:
    """ticks : number and how far along. Numbers at as many as have room; the last one has the unit."""
    sheet.level("ink", plot.x, plot.x + plot.width, plot.y, sheet.px * AXIS_MM)
    y = plot.y - sheet.px * line_mm(CLOSE_MM) / 2 - sheet.px * 0.4
    wide = max(sheet.measure(f"{number:g} {unit}", CLOSE_MM) for number, _ in ticks)
    every = ceil((wide + sheet.px) / ticks[1][1])
    shown = ticks[::every]
    for number, along in shown:
        x = plot.x + along
        sheet.upright("ink", x, plot.y - sheet.px * TICK_MM / 2, plot.y, sheet.px * AXIS_MM)
        last = number == shown[-1][0]
        sheet.text("quiet", f"{number:g} {unit}" if last else f"{number:g}", x, y, CLOSE_MM)
