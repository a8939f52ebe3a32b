"""Logs of which a round contradicts the rest so far that no refit could follow it, or fits but for its sign.

An operator may write a wrong sign, a gap for another, a pass that was not made. Such a log is read one round
at a time: what lies far from all that was known before it is set aside, as a suspect that is asked for again.
Where the template has no play a reading speaks of its own site; where it has, the few that keep the others
from agreeing are looked for (:mod:`core.estimate.spared`).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.estimate.asides import SUSPECT_SCORE, SetAside
from core.estimate.fit import Fit, fit
from core.estimate.memory import Adrift
from core.estimate.repeated import stands
from core.estimate.spared import as_settled, spared_fit, too_many
from core.jobtypes import Job
from core.kinds.base import Linearised, TurnedEdge
from core.readings.reading import readings_of
from core.readings.rounds import CHANGES, Round, Step

Array = NDArray[np.float64]
ODD = 5.0  # prior standard deviations of the response, from which on a log is read one round at a time
FITS = 3.0  # standard deviations, within which a reading with the other sign would fit
TURNED = 0.5  # share of a round whose sign turns, from which a wrong one is looked for


def careful_fit(job: Job, steps: list[Step]) -> Fit:
    """The refit. Raises InputError for a log that contradicts itself, where the template has play."""
    if len(job.part.seat_sd):
        return as_settled(job, steps, _with_play(job, steps))
    try:
        found = fit(job, steps)
    except InputError:
        return _one_by_one(job, steps)
    odd = _signs_turn(job, steps, found) or any(
        _beyond_all(job, step).any() or _other_side(step, found.rounds[k].set_aside)
        for k, step in enumerate(steps)
        if isinstance(step, Round)
    )
    return _one_by_one(job, steps) if odd or not _sound(found) else found


def _with_play(job: Job, steps: list[Step]) -> Fit:
    """As it is, unless it cannot be followed or leaves out so much that a few bad readings may be why."""
    try:
        found = fit(job, steps)
    except InputError:
        spared = _followed(job, steps) or spared_fit(job, steps)
        if spared is None:
            raise
        return spared
    if not any(too_many(step, count) for step, count in _left_out(steps, found)):
        return found
    spared = spared_fit(job, steps)
    if spared is None or _lost(steps, spared) >= _lost(steps, found):
        return found
    return spared


def _followed(job: Job, steps: list[Step]) -> Fit | None:
    """From shape to shape, and through the last one round by round, each begun from what was believed before:
    from the first guess a refit may lose its way where large lobes are told only in the end. None where that
    does not follow the log soundly either."""
    near: Fit | None = None
    try:
        for end in _ends(steps):
            near = fit(job, steps[:end], near=near)
    except InputError:
        return None
    if near is None or not _sound(near) or any(too_many(*each) for each in _left_out(steps, near)):
        return None
    return near


def _ends(steps: list[Step]) -> list[int]:
    """Of the steps up to the last round of every shape, and to each round of the last one."""
    last = max((k for k, step in enumerate(steps) if isinstance(step, CHANGES)), default=0)
    rounds = [k + 1 for k, step in enumerate(steps) if isinstance(step, Round)]
    own = [end for end in rounds if end > last or end == len(steps) or isinstance(steps[end], CHANGES)]
    return own if len(steps) in own else [*own, len(steps)]


def _left_out(steps: list[Step], found: Fit) -> list[tuple[Round, int]]:
    rounds = ((steps[k], said) for k, said in found.rounds.items())
    return [(step, len(said.set_aside)) for step, said in rounds if isinstance(step, Round)]


def _lost(steps: list[Step], found: Fit) -> int:
    return sum(count for _, count in _left_out(steps, found))


def turned_round(gap_mm: float, expected_mm: float, sd_mm: float) -> bool:
    """Whether a reading that does not fit would with the other sign."""
    return abs(gap_mm + expected_mm) <= FITS * sd_mm < abs(gap_mm - expected_mm)


def _one_by_one(job: Job, steps: list[Step]) -> Fit:
    aside: dict[int, SetAside] = {}
    adrift: Adrift = {}
    for k, step in enumerate(steps):
        if not isinstance(step, Round):
            continue
        before = fit(job, steps[:k], aside, adrift)
        far = _far_off(job, step, before)
        never, gaps = _beyond_all(job, step), step.gaps_mm
        aside[k] = {
            i: said
            for i, said in far.items()
            if never[i] or (i not in step.confirmed and turned_round(float(gaps[i]), *said[:2]))
        }
        if not _taken(job, steps[: k + 1], aside, adrift):
            every = _far_off(
                job, step, before, 0.0
            )  # all together may ask for what no metal does, each not far
            sure = {i for i in every if not never[i] and stands(job, steps, k, i)}
            aside[k] = {i: said for i, said in far.items() if i not in sure}
            adrift[k] = _unexplained(job, step, before, every, sure)
            if not _taken(job, steps[: k + 1], aside, adrift):  # none of it can be followed
                aside[k] = every
                del adrift[k]
    return fit(job, steps, aside, adrift)


def _unexplained(job: Job, step: Round, before: Fit, far: SetAside, sure: set[int]) -> dict[int, float]:
    """Variance of the work by which the sites of readings that stand moved as no stroke explains."""
    slopes = _readings(job, step, before.belief.mean[: before.sites]).influence
    return {i: float((step.gaps_mm[i] - far[i][0]) / slopes[i, i]) ** 2 for i in sure}


def _taken(job: Job, steps: list[Step], aside: Mapping[int, SetAside], adrift: Adrift) -> bool:
    try:
        return _sound(fit(job, steps, aside, adrift))
    except InputError:
        return False


def _sound(found: Fit) -> bool:
    """Whether the response is one that metal may have."""
    model = found.model
    off = found.belief.mean[found.sites :] - model.mean
    return bool(np.all(np.abs(off) <= ODD * model.sd + 1e-9))


def _far_off(job: Job, step: Round, before: Fit, least: float = SUSPECT_SCORE) -> SetAside:
    """Readings at least so many standard deviations from what was believed before the round."""
    here = _readings(job, step, before.belief.mean[: before.sites])
    cov = before.belief.cov[: before.sites, : before.sites]
    variance = np.sum((here.influence @ cov) * here.influence, axis=1)
    sd = np.sqrt(np.maximum(variance, 0.0) + step.sd_mm**2)
    score = (step.gaps_mm - here.deviation_mm) / sd
    at = [int(i) for i in step.read if abs(score[i]) >= least]
    return {i: (float(here.deviation_mm[i]), float(sd[i]), float(score[i])) for i in at}


def _signs_turn(job: Job, steps: list[Step], found: Fit) -> bool:
    """Whether much of some round has another sign than the part had by the round before."""
    known = job.part.target
    for k, step in enumerate(steps):
        if not isinstance(step, Round) or not len(step.read):
            continue
        own = np.maximum(FITS * step.sd_mm, job.tolerance_mm)
        was = np.where(np.isfinite(step.gaps_mm), _readings(job, step, known).deviation_mm, 0.0)
        turned = (step.gaps_mm * was < 0.0) & (np.abs(was) > own) & (np.abs(step.gaps_mm) > own)
        turned[list(step.confirmed)] = False
        if turned.sum() >= TURNED * len(step.read):
            return True
        known = found.beliefs[k].mean[: found.sites]
    return False


def _other_side(step: Round, aside: SetAside) -> bool:
    """Whether a reading that was set aside has another sign than was expected: far off, that is known ill."""
    return any(step.gaps_mm[i] * said[0] < 0.0 for i, said in aside.items())


def _beyond_all(job: Job, step: Round) -> NDArray[np.bool_]:
    """(n,) readings that no edge can give: wider than the flange is high."""
    if not isinstance(job.part, TurnedEdge):
        return np.zeros(len(step.gaps_mm), bool)
    return np.asarray(np.abs(step.gaps_mm) > job.part.worked_depth_mm + FITS * step.sd_mm)


def _readings(job: Job, step: Round, work: Array) -> Linearised:
    """What the round's template shows of this remaining work (n,)."""
    return readings_of(job.part, step.template, work, np.zeros(0), step.layout.points_mm)
