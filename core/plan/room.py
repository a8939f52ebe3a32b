"""How many strokes of a pass the limits of strain leave room for."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.kinds.base import TurnedEdge

if TYPE_CHECKING:
    from core.plan.outlook import Outlook

Array = NDArray[np.float64]
MOST_STROKES = 1000.0  # at a site in one pass: beyond any that was ever planned
LEAST_EXPONENT = 0.3  # of the work of many strokes on a spot: less is no metal
TURNS = 4  # few strokes scatter more, and harden less, than the many that they were first reckoned from
SOFTENED = (
    0.7  # of the work of a pass, left at least by its own hardening: for more than that no room is given
)
SURELY = 6.0  # strokes wanted at a site, so that a pass that keeps step gives it some
UNSTRAINED = 1e-12  # edge strain per unit of work that is none


def exponent_of(theta: Array) -> float:
    """Of the work of many strokes on a spot, by the parameters of the response."""
    return max(LEAST_EXPONENT, float(theta[-2]))


def most_strokes(state: Outlook, action: str, bite: str) -> Array:
    """(n,) see :meth:`Outlook.most_strokes`."""
    goal, model = state.goal, state.model
    per_work = goal.strain_per_work[action]
    per_work = np.where(np.abs(per_work) < UNSTRAINED, UNSTRAINED, per_work)
    law, exponent = state.law(action, bite, _surely_struck(state, action, bite)), state.exponent
    one = law(np.ones(model.sites))
    room = goal.job.limits.room(action, state.edge) / per_work
    most = np.minimum((room / one) ** (1.0 / exponent), MOST_STROKES)
    for _ in range(TURNS):
        about = np.maximum(most, 1.0)
        room = goal.job.limits.room(action, state.edge, state.log_sd(action, bite, about)) / per_work
        softened = law(about) / (one * about**exponent)  # the pass itself hardens its sites
        expected = room / (one * np.clip(softened, SOFTENED, 1.0))
        most = np.minimum(np.floor(expected ** (1.0 / exponent) + 1e-9), MOST_STROKES)
    folded = np.maximum((goal.most_work / one) ** (1.0 / exponent), 1.0)  # a step to learn by, not a limit
    ahead = (before_others(state, action, state.work) / one) ** (1.0 / exponent)
    return np.asarray(np.minimum(most, np.floor(np.minimum(folded, ahead) + 1e-9)))


def before_others(state: Outlook, action: str, work: Array) -> Array:
    """(n,) unsigned work of this action that sites may have, where so much is left (n,), before those follow
    that the other action works; inf where they need not be waited for."""
    job = state.goal.job
    if not isinstance(job.part, TurnedEdge):
        return np.full(len(work), np.inf)
    return job.part.ahead(work, SIGN[action], job.limits.since_soft(state.edge.softened).strain)


def _surely_struck(state: Outlook, action: str, bite: str) -> Array:
    """(n,) 1 where any pass of this action will strike, so that the sites beside it do less; 0 elsewhere. Of
    a part whose sites are told by themselves: they keep step with one another."""
    if not state.goal.apart:
        return np.zeros(state.model.sites)
    wanted = SIGN[action] * state.work / state.per_stroke(action, bite)
    return np.asarray((wanted >= SURELY).astype(float))
