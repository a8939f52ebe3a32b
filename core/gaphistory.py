"""The widest gap at its best seating, as it was known after every pass."""

from __future__ import annotations

import numpy as np

from core.estimate.fit import Fit
from core.jobtypes import Job
from core.readings.lobes import lobe_rows
from core.readings.offering import readable_mm, widest_gaps
from core.readings.rounds import Countered, PassDone, Round, Rounded, Smoothed, Step

SHAPES = (PassDone, Smoothed, Countered, Rounded)
"""steps that leave another shape: what was read before them tells nothing of it"""


def gap_history_mm(job: Job, steps: list[Step], fitted: Fit, now_mm: float) -> tuple[float, ...]:
    """One entry a pass done, mm: by the last shape read after it, the widest of the meridians read of that;
    NaN where none was. now_mm : by the last step"""
    passes, read_after = 0, {}
    of_shape: dict[float, int] = {}  # the last round on each meridian since the shape last changed
    for k, step in enumerate(steps):
        if isinstance(step, SHAPES):
            of_shape = {}
            passes += isinstance(step, PassDone)
        elif isinstance(step, Round):
            of_shape[step.meridian_rad] = k
            if passes:
                read_after[passes] = of_shape
    shapes = {done: sorted(read.values()) for done, read in read_after.items()}
    earlier = {done: read for done, read in shapes.items() if read[-1] < len(steps) - 1}
    widest = {**dict.fromkeys(shapes, now_mm), **_widest(job, steps, fitted, earlier)}
    return tuple(widest.get(i, np.nan) for i in range(1, passes + 1))


def _widest(job: Job, steps: list[Step], fitted: Fit, shapes: dict[int, list[int]]) -> dict[int, float]:
    """Widest gap of each shape at its best seating on the meridians of its rounds, as it was known after the
    last of them."""
    if not shapes:
        return {}
    places, part = readable_mm(job.part, job.template), job.part
    each = [(done, k, read[-1]) for done, read in shapes.items() for k in read]
    works = np.array([fitted.beliefs[last].mean[: fitted.sites] for _, _, last in each])
    seats = np.array([fitted.rounds[k].seat for _, k, _ in each])
    lobes = [
        lobe_rows(part, job.template, places, step.meridian_rad) @ fitted.rounds[last].lobes
        for step, last in ((steps[k], last) for _, k, last in each)
        if isinstance(step, Round)
    ]
    parts = [fitted.rounds[last].part for _, _, last in each]
    gaps = widest_gaps(parts, job.template, works, seats, np.array(lobes))
    widest: dict[int, float] = {}
    for (done, *_), gap in zip(each, gaps, strict=True):
        widest[done] = max(widest.get(done, 0.0), float(gap))
    return widest
