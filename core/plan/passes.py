"""Planned passes as the operator gets them."""

from __future__ import annotations

from dataclasses import replace
from math import nan

import numpy as np
from numpy.typing import NDArray

from core.plan.caution import Risk
from core.plan.choose import best_plan
from core.plan.feed import fed
from core.plan.holding import holding
from core.plan.minutes import change_before, pass_minutes
from core.plan.outlook import Goal, Outlook
from core.plan.play import Plan
from core.plan.prospect import expected_gap
from core.plan.whole import Step
from core.planned import Pass
from core.readings.offering import offer

Array = NDArray[np.float64]

PLANS = 3  # that are made at most
NEAR = 0.2  # of the tolerance, by which slopes may misjudge where a plan ends


def planned_passes(outlook: Outlook, mounted: str | None) -> tuple[Pass, ...]:
    """The passes that finish the part, next first.

    The plan is made with the finished shape's slopes. Where it ends elsewhere, for work was overdone that
    these passes leave as it is, those slopes may tell far less than there is (a dish too flat at its pole):
    then it is made anew with the slopes of the shape where it ends, and the plan that ends best is taken.
    mounted : action of the tool that is on, None before the first pass.
    """
    job = outlook.goal.job
    found: list[tuple[Pass, ...]] = []
    for _ in range(PLANS):
        steps = (plan := best_plan(outlook, mounted)).steps
        if not steps:
            break
        found.append(_passes(plan, mounted))
        exact, left = found[-1][-1].expected_gap_mm, steps[-1].after
        if exact <= job.tolerance_mm or abs(exact - expected_gap(left)) <= NEAR * job.tolerance_mm:
            break
        outlook = replace(outlook, goal=Goal(job, left.work))
    return min(found, key=lambda passes: passes[-1].expected_gap_mm, default=())


def _passes(plan: Plan, mounted: str | None) -> tuple[Pass, ...]:
    """With the gaps that the exact geometry leaves and the chance of overshoot of the next."""
    steps = plan.steps
    on = [mounted, *(step.action for step in steps)]
    planned = [
        replace(_exactly(step, before), held=held)
        for step, before, held in zip(steps, on[:-1], holding(steps), strict=True)
    ]
    if all(step.action == steps[0].action for step in steps):
        risk = plan.risk or Risk(steps[0].before, steps[0].action)
        planned[0] = replace(planned[0], overshoot_risk=risk.of(steps[0].bite, steps[0].strokes)[0])
    return tuple(planned)


def _as_pass(step: Step, mounted: str | None) -> Pass:
    """What a pass brings, linearly; its chance of overshoot is not reckoned."""
    goal = step.after.goal
    counts = step.strokes.astype(np.int64)
    tool = goal.job.tools[step.action]
    run = fed(goal.job.part.sites, tool, counts, goal.job.machine)
    change_s = change_before(goal.job, mounted, step.action)
    return Pass(
        action=step.action,
        bite=step.bite,
        strokes=counts,
        expected_gap_mm=expected_gap(step.after),
        expected_gap_sd_mm=float(step.after.widest_now.std()),
        expected_deviation_mm=goal.deviation(step.after.work),
        overshoot_risk=nan,
        feed=run.zones,
        anneal_first=step.before.fresh is not None,
        hardened=step.before.fresh,
        minutes=pass_minutes(run.zones, goal.read, change_s or 0.0),
        change_minutes=None if change_s is None else change_s / 60.0,
        strokes_per_minute=run.strokes_per_minute,
        in_all=goal.job.strokes_in_all(step.action, counts.tolist()),
        edge=step.after.edge,
    )


def _exactly(step: Step, mounted: str | None) -> Pass:
    """The same with the gaps that the exact geometry leaves."""
    job, work = step.after.goal.job, step.after.work
    then = offer(job.part, job.template, work)
    deviation = job.part.linearise(work, then.seat).deviation_mm
    planned = _as_pass(step, mounted)
    return replace(planned, expected_gap_mm=then.widest_mm, expected_deviation_mm=deviation)
