"""Out of the plane of the curve: bow and twist now, after the next pass and at the end of the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from math import nan

import numpy as np
from numpy.typing import NDArray

from core.advice import OutOfPlane
from core.beside import bows
from core.estimate.fit import Fit
from core.estimate.outofplane import Bowing, BowReading, Counters, learned
from core.estimate.response import SIGN, Stroking, share_out_of_plane
from core.jobtypes import Job
from core.kinds.base import Part
from core.planned import Pass
from core.readings.rounds import Annealed, BowRead, Countered, PassDone, Round, Step

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Foreseen:
    """now, then, end : None for a part that does not bow; passes : the plan, each with the bow after it;
    read : the bow was read since the last counter-work, or at all; share : what counter-work does of the bow
    that the formula gives it, mean and standard deviation; told : readings had a say in that; twist_rad,
    twist_then_rad : (p,) along the part now and after the next pass, as of ``Part.side_effects``"""

    now: OutOfPlane | None
    then: OutOfPlane | None
    end: OutOfPlane | None
    passes: tuple[Pass, ...]
    read: bool = False
    share: tuple[float, float] = (0.0, 0.0)
    told: bool = False
    twist_rad: Array = field(default_factory=lambda: np.zeros(0))
    twist_then_rad: Array = field(default_factory=lambda: np.zeros(0))


def foreseen(
    job: Job, steps: list[Step], bows_read: Sequence[BowRead], fitted: Fit, plan: tuple[Pass, ...]
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
    readings = [BowReading(read.passes, read.bow_mm, read.countered, read.counters) for read in bows_read]
    countered = [*_countered(job, steps, fitted)]
    counters = Counters(np.array([mm for mm, _ in countered]), share_out_of_plane(part.other_edge()))
    bowing = learned(bow, readings, part.length_mm, counters)
    unsure = [0.0, *_unsure_mm(part, fitted, [slopes for _, slopes in coming])]
    by_counters = bowing.share[0] * sum((twist for _, twist in countered), start=np.zeros(1))
    after = [
        _after(part, bowing, work[:k], bow[:k], twist[:k], by_counters, sd)
        for k, sd in enumerate(unsure, start=len(done))
    ]
    shown = tuple(_with(job, one, then) for one, (then, _) in zip(plan, after[1:], strict=True))
    seen = readings[-1].counters if readings else 0
    read = bool(readings) and seen == len(counters.formula_mm)
    (now, twist_now), (then, twist_then), (end, _) = after[0], after[min(1, len(plan))], after[-1]
    return Foreseen(now, then, end, shown, read, bowing.share, seen > 0, twist_now, twist_then)


def _with(job: Job, planned: Pass, then: OutOfPlane) -> Pass:
    """A pass with what it leaves out of the plane."""
    bow = (then.bow_mm, then.bow_sd_mm) if bows(job.part) else (nan, nan)
    return replace(
        planned,
        bow_mm=bow[0],
        bow_sd_mm=bow[1],
        twist_rad=then.twist_rad,
        twist_sd_rad=then.twist_sd_rad,
        side=then.side,
    )


def _after(
    part: Part,
    bowing: Bowing,
    work: Array,
    bow_mm: Array,
    twist_rad: Array,
    by_counters_rad: Array,
    unsure_mm: float,
) -> tuple[OutOfPlane, Array]:
    """After these passes, (k, n) work and (k,) formula each, and (p,) the twist along the part.

    by_counters_rad : (p,) of it that counter-work gave, or (1,) none; unsure_mm : of the formula, by the work
    to come.

    The twist, which nobody reads, is taken to be lessened as the bow is, its spread reckoned as if all passes
    turned the bar the same way.
    """
    mean, sd = bowing.bow(bow_mm)
    factors, cov = bowing.factors(len(work))
    told = part.side_effects(factors @ work)
    bow_sd = float(np.hypot(sd, unsure_mm * factors[-1])) if len(work) else sd
    twist_sd = float(np.sqrt(twist_rad @ cov @ twist_rad))
    along = told["twist_along_rad"] + by_counters_rad
    return OutOfPlane(mean, bow_sd, float(np.ptp(along)), twist_sd, told["sides"][mean < 0.0]), along


def _done_by_pass(job: Job, steps: list[Step], fitted: Fit) -> Array:
    """(p, n) work of each pass done, as believed once the last round before the next pass was read; what
    counter-work did is left out, and what was found after it, where the pass had been read before it."""
    reached = [np.zeros(fitted.sites)]
    last = beside = np.zeros(fitted.sites)
    read = theirs = False
    for step, belief in zip(steps, fitted.beliefs, strict=True):
        now = job.part.target - belief.mean[: fitted.sites]
        if isinstance(step, PassDone):
            reached.append(now - beside)
            read = theirs = False
        elif isinstance(step, Countered) or theirs:
            beside, theirs = beside + now - last, theirs or read
        elif len(reached) > 1:
            reached[-1], read = now - beside, read or isinstance(step, Round)
        last = now
    return np.diff(np.array(reached), axis=0)


def _countered(job: Job, steps: list[Step], fitted: Fit) -> Iterator[tuple[float, Array]]:
    """Bow, and (p,) twist along the part, that the elastic formula gives each counter-work done, by the
    response as it is known now."""
    model, theta, beyond = fitted.model, fitted.belief.mean[fitted.sites :], np.zeros(fitted.sites)
    for step in steps:
        if isinstance(step, Annealed):
            beyond = np.zeros(fitted.sites)
        elif isinstance(step, Countered):
            edge = job.under[step.action].other_edge()
            assert edge is not None  # the log was held against the job
            stroking = Stroking(step.action, step.bite, step.strokes, beyond)
            shorter = SIGN[step.action] * model.strain_beyond(stroking, theta)[0]
            yield float(edge.bow_mm @ shorter), edge.twist_rad @ shorter
            beyond = beyond + model.strain(step.action, step.bite, step.strokes)


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
