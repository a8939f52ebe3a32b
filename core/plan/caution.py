"""How much of the wanted work to do now: all of it, beyond it, or less for what is not known."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from core.plan.outlook import Outlook
from core.plan.repair import left_by

Array = NDArray[np.float64]
OVERSHOT = 0.65  # share of the tolerance past which a gap that the action cannot mend counts as overshoot
ADDED = 0.25  # share of the tolerance that a pass may add to what the action could not mend before
LEAST_SHARE = 0.2  # of the wanted work that a pass does at least
HALVINGS = 5  # in search of the share
MOST_BEYOND = 0.25  # share by which an action that shall not come back may go beyond

Caution = Callable[[Outlook, str, str, Callable[[float], Array]], float]
"""Share of the wanted work to do now, from outlook, action, bite and the strokes that a share takes"""


def all_of_it(state: Outlook, action: str, bite: str, strokes: Callable[[float], Array]) -> float:
    """Everything that is wanted."""
    return 1.0


def and_more(state: Outlook, action: str, bite: str, strokes: Callable[[float], Array]) -> float:
    """A little more than all, by what is not known, so that this action need not come back."""
    return 1.0 + min(_unknown(state, action, bite, strokes(1.0)), MOST_BEYOND)


def by_rule(z: float) -> Caution:
    """Hold back by z standard deviations of the work: quick, for passes that will be planned again."""
    return lambda state, action, bite, strokes: 1.0 / (1.0 + z * _unknown(state, action, bite, strokes(1.0)))


def by_risk(risk: Risk, accepted: float) -> Caution:
    """As much as the accepted chance of overshoot allows."""
    return lambda state, action, bite, strokes: _boldest(risk, bite, strokes, accepted)


class Risk:
    """Chance that after a pass its action alone can no longer bring the part within its tolerance.

    What it could not put right before the pass does not count against it.
    """

    def __init__(self, state: Outlook, action: str) -> None:
        self._state, self._action = state, action
        tolerance = state.goal.job.tolerance_mm
        already = float(left_by(state.goal, state.work[None, :], action)[0])
        self._limit = max(OVERSHOT * tolerance, already + ADDED * tolerance)

    def of(self, bite: str, strokes: Array) -> float:
        """Chance for a pass of this bite and these counts (n,), which need not be whole."""
        found = self._state.draws_after(self._action, bite, strokes)
        return float(np.mean(left_by(self._state.goal, found, self._action) > self._limit))


def _boldest(risk: Risk, bite: str, strokes: Callable[[float], Array], accepted: float) -> float:
    """Largest share of the wanted work, up to all of it, whose chance of overshoot is accepted."""
    if risk.of(bite, strokes(1.0)) <= accepted:
        return 1.0
    low, high = LEAST_SHARE, 1.0
    for _ in range(HALVINGS):
        share = 0.5 * (low + high)
        if risk.of(bite, strokes(share)) <= accepted:
            low = share
        else:
            high = share
    return low


def _unknown(state: Outlook, action: str, bite: str, strokes: Array) -> float:
    """Relative standard deviation of the work of these strokes, averaged along the part."""
    struck = strokes > 0
    if not struck.any():
        return 0.0
    spread = state.log_spread(action, bite, np.maximum(strokes, 1.0))[struck].mean(axis=0)
    return float(np.sqrt(np.sum(spread**2)))
