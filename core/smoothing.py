"""A light smoothing pass over faces that stay in sight: it takes marks down and moves next to nothing.

How much it moves is not known beforehand and of either sign: the gaps are read again after it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isfinite

import numpy as np

from core.advice import UNMEASURED, WITHIN
from core.jobtypes import Job
from core.limits import COMMON
from core.plan.feed import fed
from core.plan.minutes import change_before, pass_minutes
from core.planned import Pass, Smoothing
from core.readings.rounds import CHANGES, Countered, PassDone, Smoothed, Step
from core.shopdoubts import MARKING

READ_FIRST = "Smoothing may have changed the shape a little: read the gaps. No stroke is planned before."
A_PATCH = 2.0  # strokes over each patch length, so that they overlap (common practice, no source)


def smoothing_for(
    job: Job, steps: list[Step], verdict: str, ahead: Sequence[Pass], mounted: str | None
) -> Smoothing | None:
    """The smoothing pass that is still to be done: due once the part is within its tolerance, until then
    planned behind the passes ahead; None where the faces need none, or once it was done since the last pass.

    It is no :class:`core.advice.Pass`: no action, no gap that it is there to change, and no plan weighs it.
    ahead : passes still planned; mounted : action of the tool that is on now. Strokes: ``A_PATCH`` over each
    patch length, so pitch over patch length times that at every site.
    """
    if job.finish != "visible" or (not ahead and _smoothed(steps)):
        return None
    tool, under = job.tools[job.smoother], job.under[job.smoother]
    counts = np.rint(A_PATCH / under.covered())
    strokes = np.maximum(counts, 1.0).astype(np.int64)
    run = fed(job.part.sites, tool, strokes, job.machine, fastest(job))
    change = tool.face.lower() == MARKING
    last = ahead[-1].action if ahead else mounted
    change_s = tool.changing_s(other=True) if change else change_before(job, last, job.smoother)
    return Smoothing(
        bite=_lightest(job),
        strokes=strokes,
        strokes_per_minute=run.strokes_per_minute,
        feed=run.zones,
        minutes=pass_minutes(run.zones, len(strokes), change_s or 0.0),
        change_face=change,
        change_minutes=None if change_s is None else change_s / 60.0,
        due=verdict == WITHIN,
        in_all=job.strokes_in_all(job.smoother, strokes.tolist()),
    )


def _lightest(job: Job) -> str:
    """The lightest bite that the machine can be set to; the lightest of all where it can be set to none, as
    the job's doubts say."""
    tool, beyond = job.tools[job.smoother], job.beyond_range(job.smoother)
    return next((bite for bite in tool.bites if bite not in beyond), next(iter(tool.bites)))


def fastest(job: Job) -> float | None:
    """The highest stroke rate of the machine, a minute; None where nobody said: no rate is made up that the
    machine may not make."""
    rate = inf if job.machine is None else job.machine.stroke_rates[1]
    return rate if isfinite(rate) else None


def _smoothed(steps: list[Step]) -> bool:
    """Whether no strokes were put in since it was done; stock that nothing was done to has no marks."""
    last = next((step for step in reversed(steps) if isinstance(step, PassDone | Countered | Smoothed)), None)
    return not isinstance(last, PassDone | Countered)


def read_first(steps: list[Step], told: str) -> bool:
    """Whether the part was smoothed and its gaps were not read since: nobody knows what it is now, and no
    stroke is planned before they are. told : the verdict"""
    last = next((step for step in reversed(steps) if isinstance(step, CHANGES)), None)
    return told == UNMEASURED and isinstance(last, Smoothed)


def smoothing_reasons(job: Job, smoothing: Smoothing | None) -> tuple[str, ...]:
    """What it is for and how it is run, as a sentence."""
    if smoothing is None:
        return ()
    one = int(smoothing.strokes.max())
    when = "smooth them" if smoothing.due else "once the part is within, smooth them"
    first = " Change to a smooth or soft face first: a gripping one leaves marks."
    change = first if smoothing.change_face else ""
    return (
        f"The faces stay in sight: {when} with the {smoothing.bite} bite, {one} "
        f"stroke{'s' if one != 1 else ''} at every {job.part.sites.label}, at "
        f"{smoothing.strokes_per_minute:g} strokes a minute ({COMMON}).{_faster(job)}{change} Then read the "
        "gaps again.",
    )


def _faster(job: Job) -> str:
    if fastest(job) is not None:
        return ""
    return " How fast the machine goes is not known here: go faster where it can, the feed with it."
