"""Charts of a set as drawings: individuals with their limits, moving ranges, signals marked."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import core
from shopapp.presenters import wording
from shopapp.presenters.picture_views import ChartDrawing, ChartLine, ChartPanel

MARGIN = 0.12
"""share of the height that stays free above and below"""


def gap_chart(summary: core.SetSummary, tolerance_mm: float) -> ChartDrawing | None:
    """Final gaps in mm, with the tolerance; None where there are none."""
    number = wording.limit_digits(tolerance_mm)
    limit = ChartLine(tolerance_mm, f"tolerance {number}", number, bold=True)
    return _drawing(summary, summary.gaps, "Final gap, mm", 1.0, "{:.2f}", (limit,), least=0.0)


def response_chart(summary: core.SetSummary) -> ChartDrawing | None:
    """Responses in per cent of the first guess; None where there are none."""
    return _drawing(summary, summary.responses, "Answer, %", 100.0, "{:.0f}", ())


def _drawing(
    summary: core.SetSummary,
    charted: core.SetChart,
    title: str,
    scale: float,
    form: str,
    also: tuple[ChartLine, ...],
    least: float | None = None,
) -> ChartDrawing | None:
    """scale : of the values as shown; form : of a number; also : further lines; least : that a value
    can be"""
    if not charted.values:
        return None
    values = tuple(scale * value for value in charted.values)
    ranges = tuple(abs(b - a) for a, b in pairwise(values))
    lines, range_lines = _lines(charted, scale, form, least)
    stretch = _stretch(charted, len(summary.parts))
    signals = () if charted.chart is None else charted.chart.signals
    broken = sorted({one.at + charted.first for one in signals if one.test})
    wide = tuple(one.at + charted.first - 1 for one in signals if not one.test)
    ends_alone = () if lines else (values.index(min(values)), values.index(max(values)))
    shown = {*broken, len(values) - 1, *ends_alone}
    named = tuple((i, form.format(values[i])) for i in sorted(shown))
    ends, range_ends = _ends(values, (*lines, *also), least), _ends(ranges, range_lines, 0.0)
    return ChartDrawing(
        tuple(str(i + 1) for i in range(len(summary.parts))),
        ChartPanel(title, values, charted.at, (*lines, *also), tuple(broken), ends, stretch, named),
        ChartPanel("Moving range", ranges, charted.at[1:], range_lines, wide, range_ends, stretch),
    )


def _lines(
    charted: core.SetChart, scale: float, form: str, least: float | None
) -> tuple[tuple[ChartLine, ...], tuple[ChartLine, ...]]:
    """Limits and means of both panels, named."""
    chart = charted.chart
    if chart is None:
        return (), ()
    shown = [("upper limit", chart.upper), ("mean", chart.centre)]
    shown += [("lower limit", chart.lower)] if least is None or scale * chart.lower > least else []
    tops = [("limit", chart.range_upper), ("mean", chart.range_centre)]
    upper, lower = (
        tuple(_line(name, form.format(scale * value), scale * value) for name, value in some)
        for some in (shown, tops)
    )
    return upper, lower


def _line(name: str, number: str, value: float) -> ChartLine:
    return ChartLine(value, f"{name} {number}", number)


def _stretch(charted: core.SetChart, parts: int) -> tuple[float, float]:
    """Places between which the limits hold, half-way between parts, or an end of the chart."""
    first = charted.at[charted.first] - 0.5 if charted.first else 0.0
    end = charted.at[charted.end - 1] + 0.5 if charted.end < len(charted.at) else parts - 1.0
    return first, end


def _ends(values: Iterable[float], lines: Iterable[ChartLine], least: float | None) -> tuple[float, float]:
    """Ends of the axis: all that is drawn, with a margin; from the least that can be where that is given."""
    found = [*values, *(line.value for line in lines)] or [0.0]
    low, high = min(found), max(found)
    room = MARGIN * ((high - low) or abs(high) or 1.0)
    return (low - room if least is None else least), high + room
