"""The part as its passes have left its sheet, which decides how it lies by what work is left.

Only a part made of a sheet round an axis may remember them; every other one lies by its work alone.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Job
from core.kinds.base import Part, ReadOnMeridians

Array = NDArray[np.float64]
STILL = 1e-3  # strain by which the work in which a part was struck may be elsewhere than is taken


def of(job: Job, part: Part) -> Job:
    """The job of this part; the same job where it is that of it already."""
    return job if part is job.part else replace(job, part=part)


def as_cut(job: Job) -> Job:
    """The job before anything was done to its part."""
    return of(job, job.part.as_cut) if isinstance(job.part, ReadOnMeridians) else job


def ahead(job: Job, x: Array) -> Job:
    """The job as its part, with this work left (n,), will lie when it is worked on."""
    part = job.part
    return of(job, part.struck(x, goes_on=True)) if isinstance(part, ReadOnMeridians) else job


@dataclass
class Struck:
    """What the iterations of a refit keep of it: by step, the part before, the work then left, the part."""

    found: dict[int, tuple[Part, Array, Part]] = field(default_factory=dict)

    def at(self, k: int, job: Job, x: Array) -> Job:
        """The job once the strokes of step k are put into its part with this work left (n,); the same part as
        before where that is hardly other work."""
        part = job.part
        if not isinstance(part, ReadOnMeridians):
            return job
        before, x_was, known = self.found.get(k, (None, x, part))
        if before is not part or np.max(np.abs(x - x_was)) > STILL:
            known = part.struck(x)
            self.found[k] = part, x, known
        return of(job, known)
