"""The small step against lobes, where one helps.

Strokes on the arcs where the rim stands out also bring all of it in by what half as many do all round, and
by how much they take lobes off no formula says. So the first step is as many as take no more than is there
where the rim gives way the most; once it is known what steps do, as many as leave the widest gap the
narrowest, lobes and even part together. Where no step narrows it, none.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.estimate.fit import Fit
from core.estimate.moves import moved
from core.estimate.uneven import even_mm
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.lobestold import MATTERS, SHOWS
from core.readings.lobes import components, lobe_rows, waves
from core.readings.offering import offer, readable_mm
from core.readings.rounds import Rounded, Step
from core.readings.seating import best_seating
from core.roundness import Lobe, RoundingStep
from core.units import format_length

Array = NDArray[np.float64]
GAINS = 0.05  # of the tolerance, that a step whose answer is known has to gain
CLEARLY = 1.5  # times what is there, that no step is to take off
MOST = 10  # strokes on a spot in one step: it shall be little
ROUND = 12  # meridians that the gap after a step is looked at
LEAST_ANSWER = 0.1  # of what even work does: a step that does less is none
# Standard deviations over its mean that an answer may have and the step still take no more than is there. For
# the first they make five times what even work does, as finite elements have it; later ones have been seen.
UNTRIED, TRIED = 2.7, 1.0


@dataclass(frozen=True)
class Against:
    """step : the step, None where none helps; why_not : then a sentence, "" where none is called for"""

    step: RoundingStep | None = None
    why_not: str = ""


@dataclass(frozen=True)
class _Answer:
    """What a stroke does to lobes of one number. one_mm : by even work, outward at the rim; mean, sd : of
    that; tried : a step was made; radial : away from the axis, of what goes outward"""

    one_mm: float
    mean: float
    sd: float
    tried: bool
    radial: float


def step_against(job: Job, steps: list[Step], fitted: Fit, found: tuple[Lobe, ...]) -> Against:
    """Against those lobes that matter of which it leaves the widest gap the narrowest. Shrinking brings the
    rim in, as it does when it is even, so it goes where the rim stands out; stretching goes between."""
    worth = [
        each
        for each in found
        if each.told
        and each.amplitude_mm > SHOWS * each.amplitude_sd_mm
        and each.amplitude_mm > MATTERS * job.tolerance_mm
    ]
    able = [action for action in ("shrink", "stretch") if job.bites(action)]
    fits = [action for action in able if not job.misfits.get(action)]
    if not worth or not able:
        return Against()
    worth.sort(key=lambda each: -each.amplitude_mm)
    ways = [(lobe, action) for lobe in worth for action in fits or able[:1]]
    trials = [(lobe, *each) for lobe, by in ways for each in _trials(job, steps, fitted, found, lobe, by)]
    fair = [(step, answer) for lobe, step, answer in trials if _fair(job, fitted, lobe, step, answer)]
    widest = _widest_mm(job, fitted, found, [None, *(step for step, _ in fair)])
    if fair:
        best = int(np.argmin(widest[1:]))
        step, answer = fair[best]
        if widest[0] - widest[1 + best] > (GAINS * job.tolerance_mm if answer.tried else 0.0):
            return Against(replace(step, gap_mm=float(widest[1 + best])))
    return Against(None, _none_helps(worth[0], trials[0][1]))


def _fair(job: Job, fitted: Fit, lobe: Lobe, step: RoundingStep, answer: _Answer) -> bool:
    """Whether a step is not expected to take clearly more than is there, nor to bring all of the rim out of
    the tolerance, or further than it is."""
    at = np.array([job.part.length_mm])
    rim = float(job.part.linearise(fitted.belief.mean[: fitted.sites], at_mm=at).deviation_mm[0])
    apart = abs(rim + step.even_mm) <= max(abs(rim), job.tolerance_mm)
    return apart and (not answer.tried or step.takes_mm <= CLEARLY * lobe.radial_mm)


def _trials(
    job: Job, steps: list[Step], fitted: Fit, found: tuple[Lobe, ...], lobe: Lobe, action: str
) -> list[tuple[RoundingStep, _Answer]]:
    """Steps of one stroke and more, as many as take no more off than is there by what may well be, with the
    weakest bite of which that is few strokes."""
    for bite in job.bites(action):
        answer = _answer(job, steps, fitted, found, lobe, action, bite)
        above = (TRIED if answer.tried else UNTRIED) * answer.sd
        likely = answer.one_mm * max(answer.mean + above, LEAST_ANSWER)
        most = int(np.clip(lobe.amplitude_mm // likely, 1, MOST))
        if most < MOST:
            break
    return [(_step(job, fitted, lobe, action, bite, m, answer), answer) for m in range(1, most + 1)]


def _answer(
    job: Job, steps: list[Step], fitted: Fit, found: tuple[Lobe, ...], lobe: Lobe, action: str, bite: str
) -> _Answer:
    at = fitted.sites + components(job.part) + [each.lobes for each in found].index(lobe.lobes)
    mean, sd = float(fitted.lobed.mean[at]), float(np.sqrt(fitted.lobed.cov[at, at]))
    tried = any(isinstance(step, Rounded) and step.lobes == lobe.lobes for step in steps[:-1])
    one = abs(even_mm(job, action, bite))
    return _Answer(one, mean, sd, tried, lobe.radial_mm / lobe.amplitude_mm)


def _step(
    job: Job, fitted: Fit, lobe: Lobe, action: str, bite: str, strokes: int, answer: _Answer
) -> RoundingStep:
    turn = 360.0 / lobe.lobes
    middle = lobe.at_deg if action == "shrink" else (lobe.at_deg + 0.5 * turn) % turn
    arcs = tuple(
        ((middle + k * turn - 0.25 * turn) % 360.0, (middle + k * turn + 0.25 * turn) % 360.0)
        for k in range(lobe.lobes)
    )
    off = answer.radial * answer.one_mm * strokes
    done = Rounded(action, bite, lobe.lobes, float(np.radians(middle)), float(strokes))
    part = job.part
    rim = part.linearise(fitted.belief.mean[: fitted.sites], at_mm=np.array([part.length_mm]))
    even = float(rim.influence[0] @ _even_work(job, fitted, done))
    takes = off * answer.mean, off * answer.sd
    return RoundingStep(action, bite, lobe.lobes, middle, strokes, arcs, *takes, answer.tried, even)


def _even_work(job: Job, fitted: Fit, step: Rounded) -> Array:
    """(n,) by which the even part of a step changes the work left."""
    theta = fitted.belief.mean[fitted.sites :]
    move, _ = moved(job, fitted.model, step, fitted.worn, theta)
    assert move is not None
    return np.asarray(move.shift + move.slopes @ theta)


def _widest_mm(job: Job, fitted: Fit, found: tuple[Lobe, ...], trials: list[RoundingStep | None]) -> Array:
    """(k,) widest gap all round by what is believed, now and after each of these steps; of lobes, those that
    are told."""
    part, n = job.part, fitted.sites
    assert isinstance(part, ReadOnMeridians)
    places = readable_mm(part, job.template)
    now = offer(part, job.template, fitted.belief.mean[:n])
    round_it = np.radians(360.0 / ROUND * np.arange(ROUND) + found[0].at_deg)
    shown = np.array([lobe_rows(part, job.template, places, at) for at in round_it])
    lobes = fitted.lobed.mean[n : n + components(part)] * np.repeat([each.told for each in found], 2)
    shapes = []
    for step in trials:
        left, rim = lobes.copy(), np.zeros(len(places))
        if step is not None:
            left -= _taken(part, found, step)
            done = Rounded(step.action, step.bite, step.lobes, float(np.radians(step.at_deg)), step.strokes)
            rim = now.rows @ _even_work(job, fitted, done)
        shapes.append(now.readings_mm + rim + shown @ left)
    bounds = (-part.seat_bound - now.seat, part.seat_bound - now.seat)
    laid = best_seating(np.concatenate(shapes), now.columns, bounds, job.template.rigid)
    return np.asarray(laid.widest_mm.reshape(len(trials), ROUND).max(axis=1))


def _taken(part: ReadOnMeridians, found: tuple[Lobe, ...], step: RoundingStep) -> Array:
    """(c,) what a step takes off each number of the lobes."""
    k = [each.lobes for each in found].index(step.lobes)
    sign = 1.0 if step.action == "shrink" else -1.0
    own = np.arange(2 * len(found)) // 2 == k
    at = waves(part, np.array([np.radians(step.at_deg)]))[0]
    return np.asarray(sign * step.takes_mm / float(part.rim_radial[k]) * at * own)


def _none_helps(lobe: Lobe, one: RoundingStep) -> str:
    """Why no step is of use, by the one stroke that would be the least of one."""
    there, takes = format_length(lobe.radial_mm), format_length(abs(one.takes_mm))
    if one.takes_mm > lobe.radial_mm:
        why = f"is expected to take {takes} off them, more than the {there} that is there"
    else:
        moves = format_length(abs(one.even_mm))
        why = f"would take {takes} off the {there} and move the whole rim by {moves}"
    return (
        f"Against the {lobe.lobes} lobes no step is advised: one stroke on every spot of their arcs {why}, "
        "and would leave the widest gap no narrower. Take them out another way, or leave them."
    )
