"""Few bad readings in a round that no refit could follow: which they are.

Two numbers typed wrongly in a short round pull seating and response with them, so that the rest seems to be
wrong. The round is held against what was known before it, once and linearly; then the fewest readings are
left out that let the others agree with that and with one another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from math import nan

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.estimate.around import about, linear_reading
from core.estimate.asides import FEW, SUSPECT_SCORE, SetAside, all_else_says
from core.estimate.fit import Fit, fit
from core.estimate.repeated import stands
from core.estimate.seated import read_seated
from core.estimate.shared_error import sharing
from core.estimate.uneven import Uneven
from core.jobtypes import Job
from core.readings.rounds import Round, Step

Array = NDArray[np.float64]
Index = NDArray[np.intp]
UNTOLD = (nan, nan, nan)  # until the refit without it has settled
AT_ONCE = 2  # readings that are looked for together: one alone may hide another


def spared_fit(job: Job, steps: list[Step]) -> Fit | None:
    """The refit without the few readings that keep the log from being followed; None where few do not.

    Only where the template has play, whose seating carries a bad reading to all others.
    """
    aside: dict[int, SetAside] = {}
    for k, step in enumerate(steps):
        if not isinstance(step, Round) or _followed(job, steps[: k + 1], k, aside) is not None:
            continue
        found = _few(job, steps[: k + 1], k, aside)
        if found is None:
            return None
        aside[k] = found
        if _followed(job, steps[: k + 1], k, aside) is None:
            return None
    try:
        return fit(job, steps, aside)
    except InputError:
        return None


def as_settled(job: Job, steps: list[Step], found: Fit) -> Fit:
    """The same, what was left out on the way held against what all else says in the end."""
    rounds = dict(found.rounds)
    for k, step in enumerate(sharing(job, steps)):
        if isinstance(step, Round) and rounds[k].set_aside:
            told = all_else_says(job, step, rounds[k].update.belief, rounds[k].set_aside)
            rounds[k] = replace(rounds[k], set_aside=told)
    return replace(found, rounds=rounds)


def too_many(step: Round, count: int) -> bool:
    """Whether so many readings left out of a round say something of it as a whole, or of the log."""
    return count > max(1, _most(step))


def _most(step: Round) -> int:
    return int(FEW * len(step.read))


def _followed(job: Job, steps: list[Step], k: int, aside: Mapping[int, SetAside]) -> Fit | None:
    """The refit that leaves out no more of this round than may be left out."""
    step = steps[k]
    assert isinstance(step, Round)
    try:
        found = fit(job, steps, aside)
    except InputError:
        return None
    return None if too_many(step, len(found.rounds[k].set_aside)) else found


def _few(job: Job, steps: list[Step], k: int, aside: Mapping[int, SetAside]) -> SetAside | None:
    """The readings to leave out of a round, None where they would be too many."""
    step = sharing(job, steps)[k]
    assert isinstance(step, Round)
    belief, n = fit(job, steps[:k], aside).lobed, len(job.part.sites)
    seen = about(job, step, belief.mean[:n], np.zeros(len(job.part.seat_sd)))
    reading = linear_reading(step, seen, set(), Uneven(job, n).rows(step))
    update = read_seated(belief, reading, job.part.seat_sd)
    held = np.array([stands(job, steps, k, int(i)) for i in reading.stations], dtype=bool)
    out = fewest_out(update.innovation, update.covariance, held, _most(step))
    if out is None:
        return None
    return dict.fromkeys(reading.stations[out].tolist(), UNTOLD)


def fewest_out(innovation: Array, covariance: Array, held: NDArray[np.bool_], most: int) -> Index | None:
    """Which readings (r,) to leave out so that no other is a suspect; None where more than most would be.

    innovation : mm, reading less what was expected; covariance : (r, r) of that; held : (r,) readings that
    stand. In each turn those (one, or two at once) whose loss takes away most of what disagrees.
    """
    kept = np.arange(len(innovation))
    while len(innovation) - len(kept) <= most:
        weight: Array = np.asarray(np.linalg.inv(covariance[np.ix_(kept, kept)]), float)
        pull: Array = np.asarray(weight @ innovation[kept], float)
        loose = np.flatnonzero(~held[kept])
        score = np.abs(pull) / np.sqrt(np.diag(weight))
        if not len(loose) or score[loose].max() <= SUSPECT_SCORE:
            return np.setdiff1d(np.arange(len(innovation)), kept)
        kept = np.delete(kept, _worst(weight, pull, loose, most - (len(innovation) - len(kept))))
    return None


def _worst(weight: Array, pull: Array, loose: Index, room: int) -> list[int]:
    """One reading, or as many as are looked for at once where only together they take all away."""
    alone = int(loose[np.argmax(pull[loose] ** 2 / np.diag(weight)[loose])])
    together = min(AT_ONCE, room, len(loose))
    if together < 2 or _agrees(weight, pull, [alone], loose):
        return [alone]
    pairs = [list(pair) for pair in combinations(loose.tolist(), together)]
    return max(pairs, key=lambda out: _taken_away(weight, pull, out))


def _taken_away(weight: Array, pull: Array, out: list[int]) -> float:
    """By how much the weighted square of the innovations falls when these are left out."""
    at = np.array(out)
    return float(pull[at] @ np.linalg.solve(weight[np.ix_(at, at)], pull[at]))


def _agrees(weight: Array, pull: Array, out: list[int], loose: Index) -> bool:
    """Whether without these no other is a suspect."""
    at, rest = np.array(out), np.setdiff1d(np.arange(len(pull)), out)
    gone = np.linalg.solve(weight[np.ix_(at, at)], weight[np.ix_(at, rest)])
    left = weight[np.ix_(rest, rest)] - weight[np.ix_(rest, at)] @ gone
    score = np.abs(pull[rest] - pull[at] @ gone) / np.sqrt(np.diag(left))
    return bool(score[np.isin(rest, loose)].max(initial=0.0) <= SUSPECT_SCORE)
