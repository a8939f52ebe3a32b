"""A set of parts as lines of text for the terminal."""

from __future__ import annotations

from math import isfinite

import core
from shopapp.presenters import wording


def set_lines(summary: core.SetSummary) -> list[str]:
    """A line a part, the limits of both charts, what they say, what the next part starts from."""
    parts = zip(summary.parts, summary.response, summary.outlook.steps, strict=True)
    return [
        *(_part(i, part, response, step.change) for i, (part, response, step) in enumerate(parts, 1)),
        *_limits("final gap, mm", summary.gaps, 1.0, 2),
        *_limits("response, %", summary.responses, 100.0, 0),
        *(f"  {sentence}" for sentence in summary.sentences),
    ]


def _part(number: int, part: core.PartDone, response: float, change: str) -> str:
    work = f"{wording.count(len(part.passes), 'pass')}, {wording.count(part.strokes, 'stroke')}"
    minutes = f", {wording.minutes(part.minutes)}" if isfinite(part.minutes) else ""
    gap = wording.band(part.gap_mm, part.gap_sd_mm)
    told = f"response {100 * response:.0f} %" if isfinite(response) else "response not known yet"
    state = "" if part.finished else ", not finished"
    coil = {"announced": ", new coil", "noticed": ", new coil?"}.get(change, "")
    return f"{number}  {part.name}: {work}{minutes}, widest gap {gap}, {told}{state}{coil}"


def _limits(name: str, charted: core.SetChart, scale: float, decimals: int) -> list[str]:
    chart = charted.chart
    if chart is None:
        return []
    low, middle, high = (f"{scale * v:.{decimals}f}" for v in (chart.lower, chart.centre, chart.upper))
    ranges = f"{scale * chart.range_centre:.{decimals}f}, limit {scale * chart.range_upper:.{decimals}f}"
    return [f"  {name}: mean {middle}, limits {low} to {high}; moving range: mean {ranges}"]
