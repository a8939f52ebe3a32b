"""From a job and its log to advice: the one entry that scripts, command line and screens use."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.advice import UNMEASURED, WITHIN, Advice, Pass
from core.estimate.fit import Fit, fit
from core.job import Job
from core.plan.choose import Plan, Step, best_plan, draw_readings, widths
from core.plan.feed import feed_zones
from core.plan.outlook import Goal, Outlook
from core.readings.rounds import PassDone, Round, steps_of
from core.verdict import Fitness, decide, fitness

Array = NDArray[np.float64]


def outlook_of(job: Job, fitted: Fit) -> Outlook:
    """What is believed now, ready for planning."""
    goal = Goal(job, fitted.model)
    return Outlook(goal, fitted.model, fitted.belief, fitted.strain, fitted.strain_total)


def plan_from(job: Job, outlook: Outlook, mounted: str | None) -> tuple[Pass, ...]:
    """The passes that finish the part, next first."""
    z = NormalDist().inv_cdf(1.0 - job.overshoot_risk)
    plan: Plan = best_plan(outlook, mounted, z)
    return tuple(_as_pass(job, step) for step in plan.steps)


def _as_pass(job: Job, step: Step) -> Pass:
    counts = step.strokes.astype(np.int64)
    found = widths(step.after.goal, draw_readings(step.after))
    middle = float(widths(step.after.goal, (step.after.goal.free @ step.after.work)[None, :])[0])
    deviation = step.after.goal.free @ step.after.work
    return Pass(
        step.action,
        step.bite,
        counts,
        middle,
        float(found.std()),
        deviation,
        0.0,
        feed_zones(job.part.sites, job.tool, counts),
    )


def refit(job: Job, events: Iterable[Any]) -> Advice:
    """The advice for a part from its whole log. Pure: same input, same answer."""
    steps = steps_of(job, events)
    fitted = fit(job, steps)
    fit_now: Fitness = fitness(job, fitted.belief)
    measured = bool(steps) and isinstance(steps[-1], Round)
    verdict = decide(fit_now.chance, job.confidence) if measured else UNMEASURED
    done = [s for s in steps if isinstance(s, PassDone)]
    passes: tuple[Pass, ...] = ()
    outlook = outlook_of(job, fitted)
    if verdict != WITHIN:
        passes = plan_from(job, outlook, done[-1].action if done else None)
    n = len(job.part.sites)
    nan = np.full(n, np.nan)
    return Advice(
        verdict=verdict,
        chance_within=fit_now.chance,
        widest_gap_mm=fit_now.widest_mm,
        widest_gap_sd_mm=fit_now.widest_sd_mm,
        widest_at=fit_now.at,
        deviation_mm=fit_now.deviation_mm,
        deviation_sd_mm=fit_now.deviation_sd_mm,
        expected_reading_mm=nan,
        expected_reading_sd_mm=nan,
        remaining_work=fitted.belief.mean[:n],
        remaining_work_sd=np.sqrt(np.diag(fitted.belief.cov)[:n]),
        next_pass=passes[0] if passes else None,
        remaining=passes,
        first_plan=passes,
        response={},
        suspects=(),
        reseat=None,
        reasons=(),
        warnings=(),
        side_effects={},
        edge_strain=fitted.strain_total,
        passes_done=len(done),
    )
