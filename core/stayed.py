"""What stayed of every pass once it was read, against what its strokes were to do by what was believed then.

Readings are taken of metal that is let go. Whether it sprang back or answered less under the tool they cannot
tell: both are in one figure, and strokes of later passes are counted so that what stays is what is wanted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import nan, sqrt

import numpy as np
from numpy.typing import NDArray

from core.advice import Stayed
from core.estimate.fit import Fit, prior
from core.estimate.gaussian import Belief
from core.estimate.response import SIGN, ResponseModel, Stroking
from core.jobtypes import Job
from core.kinds.base import Part, TurnedEdge
from core.planned import Pass
from core.readings.rounds import CHANGES, Annealed, PassDone, Round, Step

Array = NDArray[np.float64]
STEP_MM = 1e-4  # by which a slope is taken
MOST_UNSURE = 0.25  # standard deviation of a share that is still worth a figure


def stayed_of(job: Job, steps: Sequence[Step], fitted: Fit) -> tuple[Stayed, ...]:
    """One entry a pass that was read by itself, oldest first; two where the tool folds some of its sites,
    since a fold springs back otherwise than an edge that is strained."""
    model, n = fitted.model, fitted.sites
    before: Belief | None = prior(job, model)
    strain, number = np.zeros(n), 0
    found: list[Stayed] = []
    for k, step in enumerate(steps):
        if isinstance(step, Annealed):
            strain = np.zeros(n)
        elif isinstance(step, Round):
            before = fitted.beliefs[k]
        elif isinstance(step, CHANGES):
            read = _last_read(steps, k)
            if isinstance(step, PassDone):
                number += 1
                stroking = Stroking(step.action, step.bite, step.strokes, strain)
                if read is not None and before is not None:
                    found += _of_pass(job, model, number, stroking, before, fitted.beliefs[read])
                strain = strain + model.strain(step.action, step.bite, step.strokes)
            before = None
    return tuple(found)


def allowed_for(fitted: Fit, planned: Pass | None) -> float:
    """How many times the work that is to stay of the next pass its strokes would do by the first guess, NaN
    without a pass; above 1 where metal springs back or answers less than that."""
    if planned is None:
        return nan
    stroking = Stroking(planned.action, planned.bite, planned.strokes.astype(float), fitted.strain)
    guessed = fitted.model.work(stroking, fitted.model.mean)[0].sum()
    return float(guessed / fitted.model.work(stroking, fitted.belief.mean[fitted.sites :])[0].sum())


def _last_read(steps: Sequence[Step], k: int) -> int | None:
    """Index of the last round between this change and the next one, None where there is none."""
    found = None
    for after in range(k + 1, len(steps)):
        if isinstance(steps[after], CHANGES):
            break
        found = after if isinstance(steps[after], Round) else found
    return found


def _of_pass(
    job: Job, model: ResponseModel, number: int, done: Stroking, before: Belief, after: Belief
) -> Iterator[Stayed]:
    """before, after : what was believed by the readings before the pass, and by those after it"""
    n, part = model.sites, job.part
    sign, folds = SIGN[done.action], part.sites.folded_up(done.action) != 0.0
    was, is_now = before.mean[:n], after.mean[:n]
    asked = was - sign * model.work(done, before.mean[n:])[0]
    (from_, first), (to, _), (came, last) = (_standing(part, x) for x in (was, asked, is_now))
    told = ((first, before), (last, after))
    for group in (~folds, folds):
        weights = np.where(group & (done.strokes > 0), np.sign(to - from_), 0.0)
        wanted = float(weights @ (to - from_))
        if not wanted > 0.0:
            continue
        rows = [(weights @ slopes, belief.cov[:n, :n]) for slopes, belief in told]
        sd = sqrt(max(sum(float(row @ cov @ row) for row, cov in rows), 0.0)) / wanted
        if sd <= MOST_UNSURE:
            share = float(weights @ (came - from_)) / wanted
            sites = tuple(map(int, np.flatnonzero(weights)))
            mean = [float(stand[weights != 0.0].mean()) for stand in (from_, to, came)]
            angles = tuple(mean) if isinstance(part, TurnedEdge) else ()
            yield Stayed(number, done.action, done.bite, sites, share, sd, was, asked, is_now, angles)


def _standing(part: Part, x: Array) -> tuple[Array, Array]:
    """What a shaper reads the sites by (n,), growing with the work done: angles (rad) where an edge is
    turned, else the work itself; and its slopes (n, n) by the work left."""
    if not isinstance(part, TurnedEdge):
        return -x, -np.eye(len(x))
    there = part.linearise(x)
    gaps = there.deviation_mm.tolist()
    angles = np.array([part.tip_angle_rad(gap) for gap in gaps])
    beyond = np.array([part.tip_angle_rad(gap + STEP_MM) for gap in gaps])
    return angles, ((beyond - angles) / STEP_MM)[:, None] * there.influence
