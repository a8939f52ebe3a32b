"""How much work to do: the continuous optimum over all passes, and what to hold back in this one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.kinds.base import ReadOnMeridians
from core.linear_program import minimise
from core.plan.outlook import Goal, Outlook, middle_bite
from core.plan.prospect import expected_gap
from core.plan.room import SOFTENED

Array = NDArray[np.float64]
WANTED = 0.25  # share of the tolerance that the finished part should use
EVENNESS = 0.3  # extra cost of a stroke where the average count stands already, so that counts come even
EXCESS_COST = 60.0  # times the strokes that a millimetre takes on average: what a millimetre left is worth
MENDED = 3.0  # tolerances left at most where any action may be made anywhere
LEAST_MM = 1e-6
AGAINST = 0.1  # of what strokes do to a reading one way, that they do the other way at most, to be no help
TURNS = 4  # of finding the strokes that do a work, which soften what they do themselves
EXACT, ROUGH = 1e-5, 1e-3  # how near to the optimum, relative


@dataclass(frozen=True)
class Wanted:
    """Work that would finish the part and the strokes it takes, by action (n,) unsigned; widest_mm left."""

    work: dict[str, Array]
    strokes: dict[str, Array]
    widest_mm: float

    def strokes_of(self, action: str) -> float:
        """Strokes in all of one action."""
        return float(self.strokes[action].sum())


def fewest_strokes(
    goal: Goal, work: Array, per_stroke: dict[str, Array], band_mm: float, most_places: int | None = None
) -> Wanted:
    """The continuous optimum: fewest strokes that bring every reading within the band.

    work : (n,) remaining, signed; per_stroke : (n,) unsigned work of a stroke, for each action
    that may be used; band_mm : widest reading wanted; most_places : readings that may be looked at, all of
    them for None. Where the band is out of reach the widest
    reading is made as small as it can be.
    """
    n, actions = len(work), list(per_stroke)
    places = goal.along[_places(len(goal.rows), most_places)]
    rows, columns = goal.rows[places], goal.columns[places][:, goal.loose]
    felt = rows * ~goal.silent
    slopes = np.hstack([-SIGN[a] * felt * per_stroke[a] for a in actions])
    now = goal.offset[places] + rows @ work
    columns = columns / np.abs(columns).max(axis=0)
    k = columns.shape[1]
    excess = np.ones((len(now), 1))
    low, high = _bounds(goal, now, slopes, band_mm)
    lower = np.hstack([slopes, columns, excess * (0.0 if goal.job.template.rigid else 1.0)])
    upper = np.hstack([-slopes, -columns, excess])
    cost = np.concatenate(
        [
            np.ones(n * len(actions)),
            np.zeros(k),
            [EXCESS_COST * n / _taken_off_mm(felt @ np.max(list(per_stroke.values()), axis=0), k)],
        ]
    )
    bounded = np.concatenate([np.ones(n * len(actions), bool), np.zeros(k, bool), np.ones(1, bool)])
    stroke = np.mean(list(per_stroke.values()), axis=0)
    able = stroke > 0.0
    typical = max(1.0, float(np.mean(np.abs(work[able]) / stroke[able]))) if able.any() else 1.0
    even = np.concatenate([np.full(n * len(actions), EVENNESS / typical), np.zeros(k + 1)])
    best = minimise(
        cost,
        np.vstack([lower, upper]),
        np.concatenate([low - now, now - high]),
        bounded,
        even,
        EXACT if most_places is None else ROUGH,
    ).values
    strokes = {a: best[i * n : (i + 1) * n].clip(0.0) for i, a in enumerate(actions)}
    return Wanted(
        {a: strokes[a] * per_stroke[a] * ~goal.silent for a in actions},
        strokes,
        max(band_mm, float(high.max()), -float(low.min())) + max(0.0, float(best[-1])),
    )


def _bounds(goal: Goal, now: Array, slopes: Array, band_mm: float) -> tuple[Array, Array]:
    """(p,) least and largest reading wanted; now : (p,) mm; slopes : (p, m) of them by each stroke.

    Where the template has no play, a reading beyond the band that strokes only bring farther out stays where
    it is: held against the widest gap, all others would be left as wide as that one, for a pass of their own.
    """
    low = np.full(len(now), 0.0 if goal.job.template.rigid else -band_mm)
    high = np.full(len(now), band_mm)
    if goal.columns.shape[1]:
        return low, high
    rises, falls = slopes.max(axis=1, initial=0.0), -slopes.min(axis=1, initial=0.0)
    low = np.where(rises < AGAINST * falls, np.minimum(low, now), low)
    return low, np.where(falls < AGAINST * rises, np.maximum(high, now), high)


def _taken_off_mm(readings: Array, motions: int) -> float:
    """What a stroke everywhere changes of the widest gap; of a template that can move, but for the motion. A
    trifle where no stroke may be made."""
    return max(float(np.ptp(readings) if motions else np.abs(readings).max()), LEAST_MM)


def _places(count: int, most: int | None) -> NDArray[np.intp]:
    return np.linspace(0, count - 1, min(count, most or count)).round().astype(np.intp)


def plan_ahead(outlook: Outlook, actions: tuple[str, ...], most_places: int | None = None) -> Wanted:
    """The continuous optimum for the middle bite from what is expected now. Far from the end each action
    keeps to the sites that it works on the way there; near it what was overdone is mended wherever it was."""
    goal, part = outlook.goal, outlook.goal.job.part
    per_stroke = {a: outlook.per_stroke(a, middle_bite(goal.job, a)) for a in actions}
    if isinstance(part, ReadOnMeridians) and expected_gap(outlook) > MENDED * goal.job.tolerance_mm:
        per_stroke = {a: each * part.worked_by(a, outlook.work) for a, each in per_stroke.items()}
    band = WANTED * goal.job.tolerance_mm
    return fewest_strokes(goal, outlook.work, per_stroke, band, most_places)


def stroking_for(outlook: Outlook, action: str, bite: str, work: Array) -> Array:
    """(n,) strokes, not whole, that do this unsigned work; the response and its exponent as expected.

    A site that no reading feels gets what its neighbour gets.
    """
    exponent = outlook.exponent
    strokes = work / outlook.per_stroke(action, bite)
    for _ in range(TURNS):  # a pass hardens its own sites, and strikes beside them
        law, about = outlook.law(action, bite, strokes), np.maximum(strokes, 1.0)
        soft = law(np.ones_like(work))
        single = np.maximum(law(about) / about**exponent, SOFTENED * soft)
        strokes = (np.maximum(work, 0.0) / single) ** (1.0 / exponent)
        strokes = strokes[outlook.goal.leader]
    return strokes
