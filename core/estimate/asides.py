"""What all else says of readings that were left out of a round, once the refit has settled without them."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from core.estimate.around import About, about, shown_of
from core.estimate.gaussian import Belief
from core.estimate.uneven import Uneven
from core.jobtypes import Job
from core.readings.rounds import Round

Array = NDArray[np.float64]
SUSPECT_SCORE = 4.0  # standard deviations
ENOUGH = 4  # readings of a round: fewer cannot disagree with one another
FEW = 0.3  # share of a round that may be left out: more say something of the round, or of the log
SetAside = dict[int, tuple[float, float, float]]  # by site: expected, its sd, score
Asides = Mapping[int, SetAside]  # by round
NONE: Asides = {}


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
    score = (step.told_mm[at] - expected) / sd
    score[step.beyond[at] & (score < 0.0)] = 0.0  # as wide as that, or wider
    return {i: (float(e), float(s), float(z)) for i, e, s, z in zip(at, expected, sd, score, strict=True)}


def hardly_beyond(step: Round, assumed: About, belief: Belief, beside: Array, but: set[int]) -> SetAside:
    """Readings beyond the gauge, but for these, that the numbers of their round and all before speak against;
    none where they are many, or the numbers few.

    belief : as of :func:`all_else_says`, without the readings beyond the gauge; beside : (n, size) what the
    round shows of lobes
    """
    over = [i for i in np.flatnonzero(step.beyond).tolist() if i not in but]
    if not over or len(step.read) < ENOUGH:
        return {}
    at, rows, expected = shown_of(step, assumed, belief, beside, set(but))
    sd = np.sqrt(np.maximum(np.sum((rows @ belief.cov) * rows, axis=1), 0.0) + step.sd_mm[at] ** 2)
    score = (step.reach_mm[at] - expected) / sd
    told = zip(at.tolist(), expected.tolist(), sd.tolist(), score.tolist(), strict=True)
    odd = {i: (e, s, z) for i, e, s, z in told if z > SUSPECT_SCORE}
    return odd if len(odd) <= max(1, int(FEW * len(step.read))) else {}
