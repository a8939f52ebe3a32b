"""One pass of one action and bite, in whole strokes, and what is believed after it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.plan.aim import stroking_for
from core.plan.outlook import Outlook
from core.plan.prospect import chance_within
from core.plan.rounding import LEAST, Aim, whole_strokes

Array = NDArray[np.float64]
FINE_ZONES = 0.2  # share of the tolerance that may be given away for fewer zones of equal count
ROUGH_ZONES = 0.03  # the same as a share of what the pass changes, where a site gets many strokes
TOO_FEW = 0.01  # strokes a site that are none
HALF = 0.5  # stroke in all, below which whole strokes would be none
MANY = 4.0  # strokes a site
CLOSING_ZONES = 0.1  # the same where the gap itself is to be small
AT_MOST = 3  # strokes that the room for them is wrong by
ROUNDED = 1e-9  # strain
FINISHING = 2.0  # tolerances left at most, where whole strokes are chosen for the gap itself


@dataclass(frozen=True)
class Step:
    """One pass of a plan: before and after are what is believed then, chance of being within after it."""

    action: str
    bite: str
    strokes: Array
    before: Outlook
    after: Outlook

    @cached_property
    def chance(self) -> float:
        """Of being within the tolerance after the pass."""
        return chance_within(self.after)

    @cached_property
    def struck(self) -> float:
        """Strokes in all, those of every spot of a site that goes all round."""
        return float(self.before.goal.job.spots(self.action) @ self.strokes)


def one_pass(
    state: Outlook, action: str, bite: str, wanted: Array, share: float, closing: Array | None
) -> Step | None:
    """A pass that does this share of the wanted work (n,), unsigned; None when that is nothing to do.

    closing : (n,) signed work that others will do afterwards, so that whole strokes are chosen for the
    small gap that is then left; None to come near to the share and no more.
    """
    most = state.most_strokes(action, bite)
    aimed = np.minimum(stroking_for(state, action, bite, share * wanted), most)
    if closing is None and np.max(aimed, initial=0.0) < LEAST:
        return None
    if closing is None and state.goal.apart:  # no site goes beyond all that it wants for the sake of others
        in_all = stroking_for(state, action, bite, max(share, 1.0) * wanted)
        most = np.minimum(most, np.rint(in_all))
    counts = whole_strokes(aimed, _aim(state, action, bite, aimed, most, closing))
    if share > 1.0 and state.goal.apart:  # nor is one left short that this action would have to come back for
        in_all = stroking_for(state, action, bite, wanted)
        counts = np.maximum(counts, np.minimum(np.ceil((in_all - LEAST).clip(0.0)), most))
    counts = _allowed(state, action, bite, counts)
    if not counts.any():
        return None
    return Step(action, bite, counts, state, state.after(action, bite, counts))


def _allowed(state: Outlook, action: str, bite: str, counts: Array) -> Array:
    """(n,) these counts, less a stroke where they would go beyond a limit: how many it has room for was found
    site by site, before it was known how the pass hardens the sites and which neighbours it strikes."""
    for _ in range(AT_MOST):
        strain, log_sd = state.strains(action, bite, counts)
        room = state.goal.job.limits.room(action, state.edge, log_sd)
        beyond = (counts > 0) & (strain > room + ROUNDED)
        if not beyond.any():
            break
        counts = counts - beyond
    return counts


def part_pass(
    state: Outlook, action: str, bite: str, wanted: Array, share: float, closing: Array | None
) -> Step | None:
    """The same in strokes that are not whole, quickly, with what rounding would leave unknown."""
    strokes = np.minimum(stroking_for(state, action, bite, share * wanted), state.most_strokes(action, bite))
    strokes = np.where(strokes > TOO_FEW, strokes, 0.0)
    if strokes.sum() < HALF:
        return None
    after = state.after(action, bite, strokes).rounded(state.per_stroke(action, bite) * (strokes > 0))
    return Step(action, bite, strokes, state, after)


def _aim(state: Outlook, action: str, bite: str, aimed: Array, most: Array, closing: Array | None) -> Aim:
    goal, tolerance, closed = state.goal, state.goal.job.tolerance_mm, state.goal.job.part.sites.closed
    law = state.law(action, bite, aimed)
    work = law(aimed)
    free = SIGN[action] * goal.felt
    changed = float(goal.widest((free @ work)[None, :])[0])
    many = float(aimed.sum()) > MANY * np.count_nonzero(aimed > LEAST)
    allowed = max(FINE_ZONES * tolerance, ROUGH_ZONES * changed * many)
    if closing is not None:
        then = goal.readings(state.work - SIGN[action] * work - closing)
        left = float(goal.widest(then[None, :])[0])
        if left <= FINISHING * tolerance:
            near = left + (allowed if many else CLOSING_ZONES * tolerance)
            return Aim(law, most, work, then, free, goal.widest, near, closed)
    return Aim(law, most, work, np.zeros(len(free)), free, goal.widest, allowed, closed)
