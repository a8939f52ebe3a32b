"""How much of the wanted work to do now: all of it, beyond it, or less for what is not known."""

from __future__ import annotations

from functools import cached_property
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.plan.outlook import Outlook
from core.plan.repair import left_by, share_mendable

Array = NDArray[np.float64]
EASILY = 0.6  # share of the tolerance up to which what the action cannot mend does no harm later
ADDED = 0.35  # share of the tolerance that a pass may add to what the action could not mend before
LEAST_SHARE = 0.2  # of the wanted work that a pass does at least
SLOW = 0.1  # of all that is wanted, wanted by sites that are held, for them to be waited for
BEYOND = 1.5  # standard deviations by which an action that shall not come back goes beyond
LEAST_BEYOND = 0.05  # the same at least: whole strokes shall not fall short either
SURE = 3.0  # standard deviations less than which a pass does for certain
MOST_BEYOND = 0.6  # share by which an action that shall not come back may go beyond


class Risk:
    """Chance that after a pass its action alone can no longer bring the part within its tolerance.

    What it could not put right before the pass does not count against it.
    """

    def __init__(self, state: Outlook, action: str) -> None:
        self._state, self._action = state, action
        self._found: dict[tuple[str, bytes], tuple[float, float]] = {}  # passes in whole strokes come again
        # Where answers were found, to look for others from there.
        self._corner: NDArray[np.intp] | None = None
        self._share_corners: dict[tuple[str, bytes], NDArray[np.intp]] = {}

    @cached_property
    def _already_mm(self) -> Array:
        """(DRAWS,) gap beyond repair for each shape that may be there now."""
        return self._left_by(self._state.draws_now)

    def _left_by(self, work: Array) -> Array:
        """(DRAWS,) gap beyond repair, looked for from where the last was found."""
        left, self._corner = left_by(self._state.goal, work, self._action, self._corner)
        return left

    def _limit_mm(self, share: float) -> Array:
        """(DRAWS,) gap beyond repair that counts as overshoot, for a share of the tolerance."""
        tolerance = self._state.goal.job.tolerance_mm
        return np.asarray(np.maximum(share * tolerance, self._already_mm + ADDED * tolerance))

    def of(self, bite: str, strokes: Array) -> tuple[float, float]:
        """Chance for a pass of this bite and these counts (n,), which need not be whole; and the chance of
        having to change the action in the end, which begins below the tolerance."""
        key = bite, strokes.tobytes()
        if key not in self._found:
            self._found[key] = self._of(bite, strokes)
        return self._found[key]

    def _of(self, bite: str, strokes: Array) -> tuple[float, float]:
        found = self._left_by(self._state.draws_after(self._action, bite, strokes))
        least, most = self._limit_mm(EASILY), self._limit_mm(1.0)
        harm = np.clip((found - least) / np.maximum(most - least, 1e-9), 0.0, 1.0)
        return float(np.mean(found > most)), float(np.mean(harm))

    def boldest(self, bite: str, strokes: Array, accepted: float, limit: float) -> float:
        """Largest share of the work of these strokes, up to all of it, whose chance of overshoot is accepted.

        limit : share of the tolerance past which a gap that the action cannot mend counts.
        """
        state = self._state
        done = state.draws_now - state.draws_after(self._action, bite, strokes)
        key, limit_mm = (bite, strokes.tobytes()), self._limit_mm(limit)
        start = self._share_corners.get(key)
        shares, self._share_corners[key] = share_mendable(
            state.goal, state.draws_now, done, self._action, limit_mm, start
        )
        share = float(np.quantile(shares, accepted, method="lower"))
        if accepted * len(shares) < 1.0:  # rarer than the draws can tell
            z = NormalDist().inv_cdf(1.0 - accepted)
            share = min(share, by_rule(state, self._action, bite, strokes, z))
        return min(max(share, LEAST_SHARE), 1.0)


def in_step(wanted: Array, allowed: Array, surely: Array | float) -> Array:
    """(n,) unsigned work of a pass that is kept from doing all that is wanted (n,) by what is allowed (n,).

    Sites that could do theirs at once keep step with the rest: had they nothing left, the fear to overshoot
    there would hold back every pass that the others still need. To run ahead of those that are held gains
    nothing, so they do it by no more than what is surely (n,) theirs.
    """
    most, held = np.minimum(wanted, allowed), allowed < wanted
    together = most.sum() / max(float(wanted.sum()), 1e-300)
    share, slow = np.full(len(wanted), together), held & (allowed > 0.0)
    if wanted[slow].sum() > max(SLOW * float(wanted.sum()), 1e-300):
        least = np.maximum(most[slow].sum(), surely * wanted[slow].sum()) / wanted[slow].sum()
        share = np.where(held, together, np.minimum(together, least))
    return np.asarray(np.minimum(most, wanted * share))


def surely_done(state: Outlook, action: str, bite: str, strokes: Array) -> Array:
    """(n,) share of what these strokes are expected to do, of which they do no more than all, but for three
    standard deviations."""
    return np.asarray(np.exp(-SURE * state.log_sd(action, bite, np.maximum(strokes, 1.0))))


def by_rule(state: Outlook, action: str, bite: str, strokes: Array, z: float) -> float:
    """Hold back by z standard deviations of the work: quick, for passes that will be planned again."""
    return 1.0 / (1.0 + z * _unknown(state, action, bite, strokes))


def and_more(state: Outlook, action: str, bite: str, strokes: Array) -> float:
    """More than all, by what is not known, so that this action need not come back."""
    return 1.0 + min(max(BEYOND * _unknown(state, action, bite, strokes), LEAST_BEYOND), MOST_BEYOND)


def _unknown(state: Outlook, action: str, bite: str, strokes: Array) -> float:
    """Relative standard deviation of the work of these strokes, averaged along the part."""
    struck = strokes > 0
    if not struck.any():
        return 0.0
    spread = state.log_spread(action, bite, np.maximum(strokes, 1.0))[struck].mean(axis=0)
    return float(np.sqrt(np.sum(spread**2)))
