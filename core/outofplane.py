"""Out of the plane of the curve: bow and twist now, after the next pass and at the end of the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.advice import OutOfPlane, Pass
from core.estimate.fit import Fit
from core.estimate.outofplane import Bowing, BowReading, learned
from core.estimate.response import SIGN, Stroking
from core.jobtypes import Job
from core.kinds.base import Part
from core.readings.rounds import BowRead, PassDone, Step

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Foreseen:
    """now, then, end : None for a part that does not bow; passes : the plan, each with the bow after it."""

    now: OutOfPlane | None
    then: OutOfPlane | None
    end: OutOfPlane | None
    passes: tuple[Pass, ...]


def foreseen(
    job: Job, steps: list[Step], bows: Sequence[BowRead], fitted: Fit, plan: tuple[Pass, ...]
) -> Foreseen:
    """What the readings of the bow say of the work so far and of the plan.

    The work of a pass done is taken as known: once its gaps are read, what is left unsure of it is little
    beside the factors. That of a pass to come is as unsure as the response.
    """
    part = job.part
    if "bow_mm" not in part.side_effects(np.zeros(fitted.sites)):
        return Foreseen(None, None, None, plan)
    done, coming = _done_by_pass(job, steps, fitted), [*_planned(fitted, plan)]
    work = np.concatenate([done, np.reshape([each for each, _ in coming], (len(plan), fitted.sites))])
    told = [part.side_effects(each) for each in work]
    bow, twist = (np.array([each[name] for each in told]) for name in ("bow_mm", "twist_rad"))
    readings = [BowReading(read.passes, read.bow_mm, read.countered) for read in bows]
    bowing = learned(bow, readings, part.length_mm)
    unsure = [0.0, *_unsure_mm(part, fitted, [slopes for _, slopes in coming])]
    after = [
        _after(part, bowing, work[: len(done) + k], bow[: len(done) + k], twist[: len(done) + k], unsure[k])
        for k in range(len(plan) + 1)
    ]
    shown = tuple(replace(one, bow_mm=then.bow_mm) for one, then in zip(plan, after[1:], strict=True))
    return Foreseen(after[0], after[min(1, len(plan))], after[-1], shown)


def _after(
    part: Part, bowing: Bowing, work: Array, bow_mm: Array, twist_rad: Array, unsure_mm: float
) -> OutOfPlane:
    """After these passes, (k, n) work and (k,) formula each; unsure_mm : of the formula, by the work to come.

    The twist, which nobody reads, is taken to be lessened as the bow is, its spread reckoned as if all passes
    turned the bar the same way.
    """
    mean, sd = bowing.bow(bow_mm)
    factors, cov = bowing.factors(len(work))
    told = part.side_effects(factors @ work)
    bow_sd = float(np.hypot(sd, unsure_mm * factors[-1])) if len(work) else sd
    twist_sd = float(np.sqrt(twist_rad @ cov @ twist_rad))
    return OutOfPlane(mean, bow_sd, told["twist_rad"], twist_sd, told["sides"][mean < 0.0])


def _done_by_pass(job: Job, steps: list[Step], fitted: Fit) -> Array:
    """(p, n) work of each pass done, as believed once the last round before the next pass was read."""
    reached = [np.zeros(fitted.sites)]
    for step, belief in zip(steps, fitted.beliefs, strict=True):
        now = job.part.target - belief.mean[: fitted.sites]
        if isinstance(step, PassDone):
            reached.append(now)
        elif len(reached) > 1:
            reached[-1] = now
    return np.diff(np.array(reached), axis=0)


def _planned(fitted: Fit, plan: tuple[Pass, ...]) -> Iterator[tuple[Array, Array]]:
    """(n,) signed work expected of each pass of the plan, and its slopes (n, k) by the response."""
    model, theta, strain = fitted.model, fitted.belief.mean[fitted.sites :], fitted.strain
    for one in plan:
        strain = np.zeros_like(strain) if one.anneal_first else strain
        strokes = one.strokes.astype(float)
        work, slopes, _ = model.work(Stroking(one.action, one.bite, strokes, strain), theta)
        yield SIGN[one.action] * work, SIGN[one.action] * slopes
        strain = strain + model.strain(one.action, one.bite, strokes)


def _unsure_mm(part: Part, fitted: Fit, slopes: list[Array]) -> Iterator[float]:
    """After each pass to come: sd of the formula's bow, mm, by what is not known of the response."""
    cov = fitted.belief.cov[fitted.sites :, fitted.sites :]
    so_far = np.zeros(len(cov))
    for each in slopes:
        so_far += [part.side_effects(column)["bow_mm"] for column in each.T]
        yield float(np.sqrt(so_far @ cov @ so_far))
