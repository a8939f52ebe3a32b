"""A light smoothing pass over faces that stay in sight: it takes marks down and moves next to nothing.

How much it moves is not known beforehand and of either sign: the gaps are read again after it.
"""

from __future__ import annotations

from math import isfinite

import numpy as np

from core.advice import WITHIN, Smoothing
from core.jobtypes import Job
from core.limits import COMMON
from core.plan.feed import feed_zones
from core.plan.minutes import pass_minutes
from core.readings.rounds import Countered, PassDone, Smoothed, Step
from core.shopdoubts import MARKING

A_PATCH = 2.0  # strokes over each patch length, so that they overlap (common practice, no source)


def smoothing_for(job: Job, steps: list[Step], verdict: str) -> Smoothing | None:
    """The smoothing pass that is still to be done; None where the faces need none, while the part is not
    within its tolerance, and once it was done since the last pass.

    It is no :class:`core.advice.Pass`: no action, no gap that it is there to change, and no plan weighs it.
    Strokes: ``A_PATCH`` over each patch length, so pitch over patch length times that at every site.
    """
    if job.finish != "visible" or verdict != WITHIN or _smoothed(steps):
        return None
    fastest = job.machine.stroke_rates[1] if job.machine is not None else float("inf")
    tool, under = job.tools[job.smoother], job.under[job.smoother]
    rate = fastest if isfinite(fastest) else tool.strokes_per_minute
    counts = np.rint(A_PATCH / under.covered())
    strokes = np.maximum(counts, 1.0).astype(np.int64)
    feed = feed_zones(job.part.sites, tool, strokes, rate)
    bite = next(iter(tool.bites))
    change = tool.face.lower() == MARKING
    change_s = tool.change_s if change else 0.0
    in_all = job.strokes_in_all(job.smoother, strokes.tolist())
    return Smoothing(bite, strokes, rate, feed, pass_minutes(feed, len(strokes), change_s), change, in_all)


def _smoothed(steps: list[Step]) -> bool:
    """Whether no strokes were put in since it was done; stock that nothing was done to has no marks."""
    last = next((step for step in reversed(steps) if isinstance(step, PassDone | Countered | Smoothed)), None)
    return not isinstance(last, PassDone | Countered)


def smoothing_reasons(job: Job, smoothing: Smoothing | None) -> tuple[str, ...]:
    """What it is for and how it is run, as a sentence."""
    if smoothing is None:
        return ()
    one = int(smoothing.strokes.max())
    first = " Change to a smooth or soft face first: a gripping one leaves marks."
    change = first if smoothing.change_face else ""
    return (
        f"The faces stay in sight: smooth them with the {smoothing.bite} bite, {one} "
        f"stroke{'s' if one != 1 else ''} at every {job.part.sites.label}, at "
        f"{smoothing.strokes_per_minute:g} strokes a minute ({COMMON}).{change} Then read the gaps again.",
    )
