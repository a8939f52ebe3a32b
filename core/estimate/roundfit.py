"""What one round of a log said, once the whole log is fitted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.around import about
from core.estimate.asides import SetAside
from core.estimate.gaussian import Belief, Update
from core.estimate.memory import Memory
from core.estimate.standing import of
from core.jobtypes import Job
from core.kinds.base import Part
from core.readings.rounds import Round, Step

Array = NDArray[np.float64]


@dataclass(frozen=True)
class RoundFit:
    """What one round said: seating found, disagreement with all else, readings set aside; hardly : readings
    beyond the gauge that its numbers speak against; after : the belief over work, lobes and response; lobes :
    (c,) as expected then; part : as its passes had left it."""

    seat: Array
    update: Update
    stations: NDArray[np.intp]
    set_aside: SetAside
    hardly: SetAside
    after: Belief
    lobes: Array
    part: Part


def begin(
    memory: Memory, job: Job, steps: Sequence[Step], theta: Array, rounds: Mapping[int, RoundFit]
) -> None:
    """Assume what the first of these steps were found to say: the response (k,), the shape at each round."""
    n = len(job.part.sites)
    memory.theta = theta
    for k, step in enumerate(steps):
        if isinstance(step, Round) and k in rounds:
            memory.on[k] = rounds[k].part
            seen = about(of(job, rounds[k].part), step, rounds[k].after.mean[:n], rounds[k].seat)
            memory.geometry[k] = seen
