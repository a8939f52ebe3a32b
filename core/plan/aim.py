"""How much work to do: the continuous optimum over all passes, and what to hold back in this one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.linear_program import minimise
from core.plan.outlook import Goal, Outlook, middle_bite

Array = NDArray[np.float64]
WANTED = 0.25  # share of the tolerance that the finished part should use
EVENNESS = 0.3  # extra cost of a stroke where the average count stands already, so that counts come even
EXCESS_COST = 500.0  # strokes that a further millimetre of gap is worth: more than any plan saves


@dataclass(frozen=True)
class Wanted:
    """Work that would finish the part, by action (n,) unsigned; widest_mm left; strokes in all."""

    work: dict[str, Array]
    widest_mm: float
    strokes: float


def fewest_strokes(
    goal: Goal, work: Array, per_stroke: dict[str, Array], band_mm: float
) -> Wanted:
    """The continuous optimum: fewest strokes that bring every reading within the band.

    work : (n,) remaining, signed; per_stroke : (n,) unsigned work of a stroke, for each action
    that may be used; band_mm : widest reading wanted. Where the band is out of reach the widest
    reading is made as small as it can be.
    """
    n, actions = len(work), list(per_stroke)
    felt = goal.rows * ~goal.silent
    slopes = np.hstack([-SIGN[a] * felt * per_stroke[a] for a in actions])
    now = goal.offset + goal.rows @ work
    columns = goal.columns[:, goal.loose]
    columns = columns / np.abs(columns).max(axis=0)
    k = columns.shape[1]
    excess = np.ones((len(now), 1))
    low = 0.0 if goal.job.template.rigid else -band_mm
    lower = np.hstack([slopes, columns, excess * (0.0 if goal.job.template.rigid else 1.0)])
    upper = np.hstack([-slopes, -columns, excess])
    cost = np.concatenate([np.ones(n * len(actions)), np.zeros(k), [EXCESS_COST]])
    bounded = np.concatenate(
        [np.ones(n * len(actions), bool), np.zeros(k, bool), np.ones(1, bool)]
    )
    typical = max(1.0, float(np.mean(np.abs(work) / np.mean([q for q in per_stroke.values()], axis=0))))
    even = np.concatenate([np.full(n * len(actions), EVENNESS / typical), np.zeros(k + 1)])
    best = minimise(
        cost, np.vstack([lower, upper]), np.concatenate([low - now, now - band_mm]), bounded, even
    ).values
    strokes = {a: best[i * n : (i + 1) * n].clip(0.0) for i, a in enumerate(actions)}
    return Wanted(
        {a: strokes[a] * per_stroke[a] for a in actions},
        band_mm + max(0.0, float(best[-1])),
        float(sum(m.sum() for m in strokes.values())),
    )


def plan_ahead(outlook: Outlook, actions: tuple[str, ...]) -> Wanted:
    """The continuous optimum for the middle bite from what is expected now."""
    bite = middle_bite(outlook.goal.job)
    per_stroke = {a: outlook.per_stroke(a, bite) for a in actions}
    band = WANTED * outlook.goal.job.tolerance_mm
    wanted = fewest_strokes(outlook.goal, outlook.work, per_stroke, band)
    for action, work in wanted.work.items():  # no gap says anything there: what the target asks for is done
        silent = outlook.goal.silent
        work[silent] = np.maximum(SIGN[action] * outlook.work[silent], 0.0)
    return wanted


def held_back(outlook: Outlook, action: str, bite: str, wanted: Array, strokes: Array, z: float) -> Array:
    """(n,) share of the wanted work to do now, so that too much is done only with the stated chance.

    wanted : (n,) unsigned; strokes : (n,) about how many that takes; z : normal quantile of the
    chance. After the pass, the work still to be done, as far as the tolerance can see it, stays
    positive with that confidence. z < 0 aims beyond, for an action that will not be used again.
    """
    smooth, sign = outlook.goal.smooth, SIGN[action]
    left = sign * (smooth @ outlook.work)
    planned = smooth @ wanted
    spread = smooth @ (wanted[:, None] * outlook.log_spread(action, bite, strokes))
    scatter = outlook.model.scatter**2 * (smooth**2) @ (wanted**2 / np.maximum(strokes, 1.0))
    n = outlook.model.sites
    known = np.einsum("ij,jk,ik->i", smooth, outlook.belief.cov[:n, :n], smooth)
    return _largest_share(left, planned, np.sum(spread**2, axis=1), scatter, known, z)


def _largest_share(left: Array, planned: Array, spread: Array, scatter: Array, known: Array, z: float) -> Array:
    """Largest share in 0..1 (beyond 1 where z < 0) with left - share*planned >= z*sd(share)."""
    most = 1.0 if z >= 0 else 1.3
    low, high = np.zeros_like(left), np.full_like(left, most)
    for _ in range(14):
        share = 0.5 * (low + high)
        sd = np.sqrt(share**2 * spread + share * scatter + known)
        fine = left - share * planned >= z * sd
        low, high = np.where(fine, share, low), np.where(fine, high, share)
    return 0.5 * (low + high)


def stroking_for(outlook: Outlook, action: str, bite: str, work: Array) -> Array:
    """(n,) strokes, not whole, that do this unsigned work; the response and its exponent as expected."""
    exponent = max(0.3, float(outlook.theta[-2]))
    strokes = work / outlook.per_stroke(action, bite)
    for _ in range(2):  # what a stroke does depends a little on whether its neighbours are struck
        single = outlook.law(action, bite, strokes)(np.ones_like(work))
        strokes = (np.maximum(work, 0.0) / single) ** (1.0 / exponent)
    return strokes


