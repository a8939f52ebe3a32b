"""Which lobes the readings tell, and on which meridians they count: for the verdict and for the plan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi

import numpy as np
from numpy.typing import NDArray

from core.estimate.fit import Fit
from core.estimate.gaussian import Belief
from core.estimate.uneven import Uneven
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.lobes import components
from core.readings.offering import offer
from core.readings.rounds import CHANGES, RimRead, Round, Rounded, Step
from core.resting import resting
from core.verdict import Counted, even_within

Array = NDArray[np.float64]
ALL_ROUND = 24  # meridians that the gap counts on once lobes are told
SAME_RAD = 1e-9  # between meridians that are one
# Least singular value of the waves of the meridians that were read, over the square root of their number,
# from which they tell lobes apart: at less, lobes are several times as unsure as a reading.
APART = 0.15
ROOM = 0.7  # of the tolerance, left to the even part at least: wide rings leave much of it by themselves
ROOM_ALONE = 0.35  # the same where no step against lobes can be made: an even pass has to do
MATTERS = 0.25  # of the tolerance: lobes of less get no step
ROOM_HELD_OFF = 0.5  # of it, where a bump between the marks holds the template off
NEAR = 2.0  # tolerances, within which that is looked at: further away the shape is not known so well
SHOWS = 2.0  # standard deviations that lobes are above nothing before they are believed to be there


@dataclass(frozen=True)
class Angles:
    """Read since one change of the part. rounds : meridians; rim : diameters; rad, the one read last first"""

    rounds: list[float]
    rim: list[float]


def angles_read(steps: list[Step]) -> list[Angles]:
    """Between each two changes of the part, the last ones first."""
    found = [Angles([], [])]
    for step in reversed(steps):
        if isinstance(step, CHANGES):
            found.append(Angles([], []))
        elif isinstance(step, Round) and len(step.read):
            found[-1].rounds.append(step.meridian_rad)
        elif isinstance(step, RimRead):
            found[-1].rim.extend(step.at_rad)
    return [Angles(list(dict.fromkeys(each.rounds)), each.rim) for each in found]


def last_read(steps: list[Step]) -> float:
    """The meridian that the template lay on last, 0 where it never did."""
    return next((s.meridian_rad for s in reversed(steps) if isinstance(s, Round)), 0.0)


def told(part: ReadOnMeridians, lobes: int, angles: Angles) -> bool:
    """Whether these meridians tell so many lobes from what is even and from fewer lobes; diameters of the rim
    tell an even number by themselves."""
    fewer = [n for n in part.lobes if n <= lobes]
    by_rim = lobes % 2 == 0 and _apart(angles.rim, [n for n in fewer if n % 2 == 0])
    return by_rim or _apart(angles.rounds, fewer)


def _apart(at_rad: list[float], lobes: list[int]) -> bool:
    turns = np.multiply.outer(np.array(at_rad), np.array(lobes, dtype=float))
    waved = np.hstack([np.ones((len(at_rad), 1)), np.cos(turns), np.sin(turns)])
    if len(at_rad) < waved.shape[1]:
        return False
    least = float(np.linalg.svd(waved, compute_uv=False)[-1])
    return least > APART * float(np.sqrt(len(at_rad)))


def counting(part: ReadOnMeridians, steps: list[Step], fitted: Fit) -> list[bool]:
    """Of each number of lobes, whether it counts on meridians that were not read: it is told since the last
    change of the part, or was before and stands out still."""
    now, *before = angles_read(steps)
    once = [any(told(part, n, each) for each in before) for n in part.lobes]
    return [told(part, n, now) or (once[k] and _stands_out(fitted, k)) for k, n in enumerate(part.lobes)]


def _stands_out(fitted: Fit, k: int) -> bool:
    own = slice(fitted.sites + 2 * k, fitted.sites + 2 * k + 2)
    pair, cov = fitted.lobed.mean[own], fitted.lobed.cov[own, own]
    size = float(np.linalg.norm(pair))
    return size**2 > SHOWS * float(np.sqrt(pair @ cov @ pair))


def counted(job: Job, steps: list[Step], fitted: Fit) -> Counted:
    """Where the widest gap counts: on the meridians read since the last change of the part, with all that is
    believed of lobes, and all round with those that are told. Of others nobody knows what they do there."""
    part = job.part
    if not isinstance(part, ReadOnMeridians):
        return Counted.plain()
    read, which = _meridians(steps), counting(part, steps, fitted)
    if not any(which):
        return Counted(np.array(read), np.ones((len(read), 2 * len(which)), bool))
    round_it = read[0] + 2.0 * pi / ALL_ROUND * np.arange(1, ALL_ROUND)
    if all(which):  # meridians that were read count with all of that already
        away = np.abs(np.exp(1j * round_it)[:, None] - np.exp(1j * np.array(read))).min(axis=1)
        round_it = round_it[away > SAME_RAD]
    own, others = np.ones((len(read), 2 * len(which)), bool), np.tile(np.repeat(which, 2), (len(round_it), 1))
    return Counted(np.concatenate([read, round_it]), np.vstack([own, others]))


def leaving_room(job: Job, steps: list[Step], fitted: Fit, widest_mm: float) -> Job:
    """The job that a pass is planned for. Near its end without what a bump between the marks takes by holding
    the template off, which no pass is planned against; once the even part is within its tolerance by itself,
    with what lobes leave of that as well. Else an even part that is hardly within stays so, and lobes keep
    the part outside; where no step can be made, of lobes that are too small or not told, an even pass has to
    make more room. widest_mm : gap now, of all"""
    rests, tolerance = resting(job, steps, fitted), job.tolerance_mm
    lobed = _evened(job, steps, fitted)
    if even_within(job, lobed, rests=rests):
        even = offer(job.part, job.template, lobed.mean[: fitted.sites]).widest_mm
        least = ROOM if lobed is fitted.lobed and _step_helps(job, fitted) else ROOM_ALONE
        return replace(job, tolerance_mm=max(tolerance - max(widest_mm - even, 0.0), least * tolerance))
    if rests.off_mm <= 0.0 or widest_mm > NEAR * tolerance:
        return job
    return replace(job, tolerance_mm=max(tolerance - rests.off_mm, ROOM_HELD_OFF * tolerance))


def _step_helps(job: Job, fitted: Fit) -> bool:
    """Whether lobes of any number are large enough for a step against them."""
    pairs = fitted.lobed.mean[fitted.sites :][: components(job.part)].reshape(-1, 2)
    return bool(np.max(np.linalg.norm(pairs, axis=1)) > MATTERS * job.tolerance_mm)


def planned_from(job: Job, steps: list[Step], fitted: Fit) -> Belief | None:
    """The belief over work and response that a pass is planned from; None where no even pass is of use, nor
    was before a step against lobes that is not read yet. job : :func:`leaving_room`"""
    lobed = _evened(job, steps, fitted)
    if isinstance(job.part, ReadOnMeridians):
        room_made = replace(resting(job, steps, fitted), off_mm=0.0)
        if even_within(job, lobed, rests=room_made) or _step_alone(job, steps, fitted):
            return None
    return Uneven(job, fitted.sites).without(lobed)


def _evened(job: Job, steps: list[Step], fitted: Fit) -> Belief:
    """The belief, lobes that are not told from what is even taken for it by what they show in their mean on
    the meridians read, as in the widest gap: else a pass would be held back for ever by lobes that may not be
    there."""
    if not isinstance(job.part, ReadOnMeridians) or all(which := counting(job.part, steps, fitted)):
        return fitted.lobed
    untold = ~np.repeat(which, 2)
    return Uneven(job, fitted.sites).taken_for_even(fitted.lobed, _meridians(steps), untold)


def _step_alone(job: Job, steps: list[Step], fitted: Fit) -> bool:
    """Whether a step against lobes came last, is not read yet and was all that the part wanted."""
    last = max((k for k, step in enumerate(steps) if isinstance(step, (*CHANGES, Round))), default=0)
    return last > 0 and isinstance(steps[last], Rounded) and even_within(job, fitted.beliefs[last - 1])


def _meridians(steps: list[Step]) -> list[float]:
    return angles_read(steps)[0].rounds or [last_read(steps)]
