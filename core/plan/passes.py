"""Planned passes as the operator gets them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.advice import Pass
from core.plan.choose import Step, best_plan, draw_readings, overshoot_risk, widths
from core.plan.feed import feed_zones
from core.plan.outlook import Outlook
from core.readings.offering import offer

Array = NDArray[np.float64]


def planned_passes(outlook: Outlook, mounted: str | None, risk: float) -> tuple[Pass, ...]:
    """The passes that finish the part, next first.

    mounted : action of the tool that is on, None before the first pass; risk : accepted
    chance that a pass overshoots.
    """
    return tuple(_as_pass(step) for step in best_plan(outlook, mounted, risk).steps)


def _as_pass(step: Step) -> Pass:
    job = step.after.goal.job
    counts = step.strokes.astype(np.int64)
    then = offer(job.part, job.template, step.after.work)
    spread = widths(step.after.goal, draw_readings(step.after))
    return Pass(
        action=step.action,
        bite=step.bite,
        strokes=counts,
        expected_gap_mm=then.widest_mm,
        expected_gap_sd_mm=float(spread.std()),
        expected_deviation_mm=job.part.linearise(step.after.work, then.seat).deviation_mm,
        overshoot_risk=overshoot_risk(step.before, step.action, step.bite, step.strokes),
        feed=feed_zones(job.part.sites, job.tool, counts),
    )
