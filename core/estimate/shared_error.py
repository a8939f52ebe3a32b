"""Rounds that read one shape again: what averages out over them and what does not.

Gauge and hand differ from round to round. The template as cut, and what the geometry leaves out (how metal
lies and sets inside a ring), are the same each time: n rounds of a shape share that error, so that their mean
is known to sd^2/n + off^2. The filter takes readings as independent; each is given sd^2 + n off^2 instead,
which says the same of all n together.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.rounds import CHANGES, Round, Step

Array = NDArray[np.float64]


def sharing(job: Job, steps: list[Step]) -> list[Step]:
    """The same steps, every round's readings as unsure as they are together with the others of its shape."""
    if not isinstance(job.part, ReadOnMeridians):
        return steps
    shape = np.cumsum([isinstance(step, CHANGES) for step in steps]).tolist()
    count = Counter(at for at, step in zip(shape, steps, strict=True) if isinstance(step, Round))
    return [
        _told(step, job.part.shape_off_mm(step.gaps_mm) * count[at] ** 0.5)
        if isinstance(step, Round)
        else step
        for at, step in zip(shape, steps, strict=True)
    ]


def _told(step: Round, off_mm: Array) -> Round:
    return replace(step, sd_mm=np.hypot(step.sd_mm, off_mm))
