"""When the metal has to be annealed before a pass: as late as it can be."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.plan.outlook import Outlook, middle_bite

Array = NDArray[np.float64]
LITTLE = (
    0.5  # of what a pass could do on soft metal; where a site is left less, the pass is not worth its gaps
)
NONE = 0.5  # strokes that a site wants at least, to count


def ready_for(state: Outlook, action: str, wanted: Array) -> Outlook:
    """The same state, annealed where hardening leaves a site too little of what this action is to do there.

    wanted : (n,) unsigned work.
    """
    limits, edge = state.goal.job.limits, state.edge
    if not limits.hardens(action):
        return state
    strain = state.goal.strain_per_work[action]
    one = strain * state.per_stroke(action, middle_bite(state.goal.job, action))
    could = np.minimum(strain * wanted, limits.room(action, edge.annealed()))
    short = limits.room(action, edge) < LITTLE * could
    return state.annealed() if np.any(short & (could > NONE * one)) else state
