"""What one round of a log said, once the whole log is fitted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.asides import SetAside
from core.estimate.gaussian import Belief, Update
from core.kinds.base import Part

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
