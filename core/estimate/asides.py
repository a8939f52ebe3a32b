"""What all else says of readings that were left out of a round, once the refit has settled without them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.estimate.around import about
from core.estimate.gaussian import Belief
from core.estimate.uneven import Uneven
from core.jobtypes import Job
from core.readings.rounds import Round

Array = NDArray[np.float64]
SetAside = dict[int, tuple[float, float, float]]  # by site: expected, its sd, score


def all_else_says(job: Job, step: Round, belief: Belief, aside: SetAside) -> SetAside:
    """The same readings held against a belief that does without them.

    belief : over the work and what stands behind it, the seating of this round last
    """
    at, n, k = sorted(aside), len(job.part.sites), len(job.part.seat_sd)
    size = len(belief.mean) - k
    beside = Uneven(job, n).rows(step)
    lin, _, _ = about(job, step, belief.mean[:n], belief.mean[size:])
    lobes = slice(n, n + beside.shape[1])
    rows = np.zeros((len(at), len(belief.mean)))
    rows[:, :n], rows[:, lobes], rows[:, size:] = lin.influence[at], beside[at], lin.seating[at]
    expected = lin.deviation_mm[at] + beside[at] @ belief.mean[lobes]
    sd = np.sqrt(np.maximum(np.sum((rows @ belief.cov) * rows, axis=1), 0.0) + step.sd_mm[at] ** 2)
    score = (step.gaps_mm[at] - expected) / sd
    return {i: (float(e), float(s), float(z)) for i, e, s, z in zip(at, expected, sd, score, strict=True)}
