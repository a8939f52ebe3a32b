"""The widest gap at its best seating, as it was known after every pass."""

from __future__ import annotations

import numpy as np

from core.estimate.fit import Fit
from core.jobtypes import Job
from core.readings.lobes import lobe_rows
from core.readings.offering import readable_mm, widest_gaps
from core.readings.rounds import PassDone, Round, Step


def gap_history_mm(job: Job, steps: list[Step], fitted: Fit, now_mm: float) -> tuple[float, ...]:
    """One entry a pass done, mm: by the last round after it, NaN where none was read. now_mm : by the last
    step"""
    passes, round_after = 0, {}
    for k, step in enumerate(steps):
        if isinstance(step, PassDone):
            passes += 1
        elif isinstance(step, Round) and passes:
            round_after[passes] = k
    rounds = [k for k in round_after.values() if k < len(steps) - 1]
    widest = {len(steps) - 1: now_mm, **_widest(job, steps, fitted, rounds)}
    return tuple(widest[round_after[i]] if i in round_after else np.nan for i in range(1, passes + 1))


def _widest(job: Job, steps: list[Step], fitted: Fit, rounds: list[int]) -> dict[int, float]:
    """Widest gap at its best seating as it was known after each of these rounds."""
    if not rounds:
        return {}
    works = np.array([fitted.beliefs[k].mean[: fitted.sites] for k in rounds])
    seats = np.array([fitted.rounds[k].seat for k in rounds])
    places, part = readable_mm(job.part, job.template), job.part
    lobes = [
        lobe_rows(part, job.template, places, step.meridian_rad) @ fitted.rounds[k].lobes
        for k, step in ((k, steps[k]) for k in rounds)
        if isinstance(step, Round)
    ]
    gaps = widest_gaps(part, job.template, works, seats, np.array(lobes))
    return dict(zip(rounds, map(float, gaps), strict=True))
