"""Planned passes as the operator gets them."""

from __future__ import annotations

from math import nan

import numpy as np
from numpy.typing import NDArray

from core.advice import Pass
from core.plan.caution import Risk
from core.plan.choose import best_plan
from core.plan.feed import feed_zones
from core.plan.outlook import Outlook
from core.plan.play import Step
from core.plan.prospect import draw_readings, expected_gap, widths
from core.readings.offering import offer

Array = NDArray[np.float64]


def planned_passes(outlook: Outlook, mounted: str | None, quick: bool = False) -> tuple[Pass, ...]:
    """The passes that finish the part, next first.

    mounted : action of the tool that is on, None before the first pass; quick : without the chance of
    overshoot, by rule of thumb.
    """
    steps = best_plan(outlook, mounted, quick).steps
    return tuple(_as_pass(step, next_one=not quick and k == 0) for k, step in enumerate(steps))


def _as_pass(step: Step, next_one: bool) -> Pass:
    """What a pass brings; exactly for the one that comes next, linearly for those after it."""
    goal = step.after.goal
    job = goal.job
    counts = step.strokes.astype(np.int64)
    spread = widths(goal, draw_readings(step.after))
    gap, deviation, risk = expected_gap(step.after), goal.deviation(step.after.work), nan
    if next_one:
        then = offer(job.part, job.template, step.after.work)
        gap, deviation = then.widest_mm, job.part.linearise(step.after.work, then.seat).deviation_mm
        risk = Risk(step.before, step.action).of(step.bite, step.strokes)
    return Pass(
        action=step.action,
        bite=step.bite,
        strokes=counts,
        expected_gap_mm=gap,
        expected_gap_sd_mm=float(spread.std()),
        expected_deviation_mm=deviation,
        overshoot_risk=risk,
        feed=feed_zones(job.part.sites, job.tool, counts),
    )
