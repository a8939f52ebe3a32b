"""Planned passes as the operator gets them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.advice import Pass
from core.plan.choose import Step, best_plan, draw_readings, overshoot_risk, widths
from core.plan.feed import feed_zones
from core.plan.outlook import Outlook
from core.readings.seating import best_seating

Array = NDArray[np.float64]


def planned_passes(outlook: Outlook, mounted: str | None, risk: float) -> tuple[Pass, ...]:
    """The passes that finish the part, next first.

    mounted : action of the tool that is on, None before the first pass; risk : accepted
    chance that a pass overshoots.
    """
    return tuple(_as_pass(step) for step in best_plan(outlook, mounted, risk).steps)


def _as_pass(step: Step) -> Pass:
    job = step.after.goal.job
    n = len(job.part.sites)
    counts = step.strokes.astype(np.int64)
    layout = job.template.layout(job.part.sites.position_mm, job.part.length_mm)
    here = job.part.linearise(step.after.work, None, layout.points_mm)
    readable = layout.readable
    seated = best_seating(
        (layout.combine @ here.deviation_mm)[readable],
        (layout.combine @ here.seating)[readable],
        job.part.seat_bound,
        job.template.rigid,
    )
    spread = widths(step.after.goal, draw_readings(step.after))
    plain = here if len(here.deviation_mm) == n else job.part.linearise(step.after.work)
    return Pass(
        action=step.action,
        bite=step.bite,
        strokes=counts,
        expected_gap_mm=float(seated.widest_mm),
        expected_gap_sd_mm=float(spread.std()),
        expected_deviation_mm=plain.deviation_mm + plain.seating @ seated.motion,
        overshoot_risk=overshoot_risk(step.after, step.action),
        feed=feed_zones(job.part.sites, job.tool, counts),
    )
