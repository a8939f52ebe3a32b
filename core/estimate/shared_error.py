"""Rounds that read one shape again: what averages out over them and what does not.

Gauge and hand differ from round to round. The template as cut, and what the geometry leaves out (how metal
lies and sets inside a ring), are the same each time: n rounds of a shape share that error, so that their mean
is known to sd^2/n + off^2. The filter takes readings as independent; each is given sd^2 + n off^2 instead,
which says the same of all n together. A square that has no play lies at a site as it lay there before, and a
site that was not struck since still has its shape; its error is in the sd of a reading already, once.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.rounds import CHANGES, PassDone, Round, Step

Array = NDArray[np.float64]


def sharing(job: Job, steps: list[Step]) -> list[Step]:
    """The same steps, every round's readings as unsure as they are together with the others of its shape."""
    if not isinstance(job.part, ReadOnMeridians) and len(job.part.seat_sd):
        return steps
    counts = _counts(job, steps)
    return [
        replace(step, sd_mm=np.hypot(step.sd_mm, _off_mm(job, step, count)))
        if isinstance(step, Round)
        else step
        for step, count in zip(steps, counts, strict=True)
    ]


def alone_mm(job: Job, steps: list[Step]) -> dict[int, Array]:
    """By round of a part that is read on meridians, (n,) sd of how its readings differ from those of others
    of its shape: without the template as cut, and without what the geometry leaves out of a finished part.
    What it leaves out far from done is not surely alike on all meridians."""
    part = job.part
    if not isinstance(part, ReadOnMeridians):
        return {}
    done, found = part.shape_off_mm(np.zeros(len(part.sites))), dict[int, Array]()
    for k, (step, count) in enumerate(zip(steps, _counts(job, steps), strict=True)):
        if isinstance(step, Round):
            to_come = part.shape_off_mm(step.gaps_mm) ** 2 - done**2
            own = step.sd_mm**2 - step.template.sd_mm**2 + count * np.maximum(to_come, 0.0)
            found[k] = np.sqrt(np.maximum(own, 0.0))
    return found


def _off_mm(job: Job, step: Round, count: Array) -> Array:
    """(n,) what a reading is to be less sure by, where so many rounds (n,) read the same."""
    if isinstance(job.part, ReadOnMeridians):
        return np.asarray(job.part.shape_off_mm(step.gaps_mm) * np.sqrt(count))
    return np.asarray(step.template.sd_mm * np.sqrt(count - 1.0))


def _counts(job: Job, steps: list[Step]) -> Array:
    """(s, n) for every step, rounds that read each site in the shape that it has then, 1 at least."""
    n = len(job.part.sites)
    shapes = np.cumsum(np.reshape([_changed(job, step) for step in steps], (-1, n)), axis=0)
    read = [
        np.where(np.isfinite(step.told_mm), shape, -1)
        for shape, step in zip(shapes, steps, strict=True)
        if isinstance(step, Round)
    ]
    return np.asarray(np.maximum(np.sum(np.reshape(read, (-1, n)) == shapes[:, None], axis=1), 1))


def _changed(job: Job, step: Step) -> NDArray[np.bool_]:
    """(n,) sites that have another shape after this step."""
    if isinstance(step, PassDone) and not len(job.part.seat_sd):
        return np.asarray(step.strokes > 0)
    return np.full(len(job.part.sites), isinstance(step, CHANGES))
