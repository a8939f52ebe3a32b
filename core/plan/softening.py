"""When the metal has to be annealed before a pass: as late as it can be."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.limits import LITTLE, Hardened
from core.plan.outlook import Outlook, middle_bite

Array = NDArray[np.float64]
NONE = 0.5  # strokes that a site wants at least, to count


def ready_for(state: Outlook, action: str, wanted: Array) -> Outlook:
    """The same state, annealed where hardening leaves a site too little of what this action is to do
    there, or has made it so hard that an anneal is advised.

    wanted : (n,) unsigned work.
    """
    strain = state.goal.strain_per_work[action]
    why = _without_room(state, action, strain, wanted) or state.goal.job.limits.hardened(
        action, state.edge, _softness(state), strain * wanted
    )
    return state if why is None else state.annealed(why)


def _softness(state: Outlook) -> Array:
    """(n,) share that a stroke does of what it did on soft metal, as expected."""
    return np.asarray(np.exp(-max(float(state.theta[-1]), 0.0) * state.strain))


def _without_room(state: Outlook, action: str, strain: Array, wanted: Array) -> Hardened | None:
    """Where what an anneal gives back is wanted; strain : (n,) per unit of work."""
    limits, edge = state.goal.job.limits, state.edge
    if not limits.gives_room(action):
        return None
    one = strain * state.per_stroke(action, middle_bite(state.goal.job, action))
    could = np.minimum(strain * wanted, limits.room(action, edge.annealed()))
    short = (limits.room(action, edge) < LITTLE * could) & (could > NONE * one)
    sites = tuple(map(int, np.flatnonzero(short)))
    return Hardened(limits.since_soft(edge.softened), sites) if sites else None
