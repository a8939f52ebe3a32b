"""Where a rigid template rests: how far it stands off what the marks would let it down to.

A template that is free along one line alone lies as well as it can wherever it touches, so what is read under
it is what its best seating shows, however it was laid. Where the shape at the marks, and half-way between
them as the geometry has it, would let the template lie lower than it was read, it rests on a bump that
nobody sees: between wide rings the metal keeps of each pass what it was bent to. As bumps stand up between
the marks so hollows lie between them, as deep as the bumps are high, give or take.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.estimate.fit import Fit
from core.jobtypes import Job
from core.readings.lobes import components, lobe_rows
from core.readings.offering import Offered, layout_of, offers, readable_mm
from core.readings.rounds import CHANGES, Round, Step

UNTOLD_MM = 0.15  # sd of how far a template stands off, before it is read (simulated dishes)
STEEP = 0.2  # cosine of the slope where it touches, that counts at least: beyond 78 degrees it wedges
HOLLOW = 0.5  # of what it stands off, sd of what lies half-way between two marks (simulated dishes)


@dataclass(frozen=True)
class Resting:
    """off_mm, sd_mm : by which the template stands off in its mean, more than the shape that is believed lets
    it, and how far that may be another on any meridian, but for how it is cut (:func:`as_cut_mm`);
    hollow_mm : sd of the shape half-way between two marks; read : whether rounds tell it"""

    off_mm: float = 0.0
    sd_mm: float = 0.0
    hollow_mm: float = 0.0
    read: bool = False


def resting(job: Job, steps: list[Step], fitted: Fit) -> Resting:
    """By the rounds since the last change of the part that were read with its own template; nothing where
    that is not rigid or has play in more ways than one: then how it lies says nothing of the shape."""
    if not job.template.rigid or list(np.isinf(job.part.seat_bound)) != [True]:
        return Resting()
    rounds = _last_rounds(job, steps)
    if not rounds:
        return Resting()
    laid = _laid(job, fitted, rounds)
    off, variance = np.array(
        [_stands_off(job, *each, fitted, now) for each, now in zip(rounds, laid, strict=True)]
    ).T
    by_readings = float(variance.sum()) / len(rounds) ** 2
    as_cut = float(np.mean([as_cut_mm(job, now) ** 2 for now in laid]))
    told = UNTOLD_MM**2 / (UNTOLD_MM**2 + as_cut + by_readings)
    mean = told * float(np.mean(off))
    differ = max(float(np.var(off, ddof=1) - np.mean(variance)), 0.0) if len(rounds) > 1 else 0.0
    return Resting(mean, float(np.sqrt(told * by_readings + differ)), HOLLOW * max(mean, 0.0), True)


def as_cut_mm(job: Job, laid: Offered) -> float:
    """sd, along the axis, of where a rigid template comes to lie for how it was cut where it touches: the
    steeper the part is there, the further an error across it lets the template down."""
    touches = int(np.argmin(laid.readings_mm))
    return job.template.sd_mm / max(float(abs(laid.columns[touches, 0])), STEEP)


def _last_rounds(job: Job, steps: list[Step]) -> list[tuple[int, Round]]:
    """Those since the last change, with their index, that have readings under the job's template."""
    found: list[tuple[int, Round]] = []
    for k in reversed(range(len(steps))):
        step = steps[k]
        if isinstance(step, CHANGES):
            break
        if isinstance(step, Round) and step.template == job.template and len(step.read):
            found.append((k, step))
    return found


def _laid(job: Job, fitted: Fit, rounds: list[tuple[int, Round]]) -> list[Offered]:
    """What is believed, seated at its best on the meridian of each round."""
    part, n, places = job.part, fitted.sites, readable_mm(job.part, job.template)
    lobes = fitted.lobed.mean[n : n + components(part)]
    shown = [lobe_rows(part, job.template, places, step.meridian_rad) @ lobes for _, step in rounds]
    seats = np.array([fitted.rounds[k].seat for k, _ in rounds])
    return offers(part, job.template, fitted.belief.mean[:n], seats, np.array(shown))


def _stands_off(job: Job, k: int, step: Round, fitted: Fit, laid: Offered) -> tuple[float, float]:
    """How far along the axis one round was read above the best seating of what is believed, mm, and the
    variance of that by its readings."""
    part = job.part
    at = np.flatnonzero(layout_of(part, job.template).readable[: fitted.sites])
    read = np.isin(at, fitted.rounds[k].stations)
    more = step.gaps_mm[at[read]] - laid.readings_mm[: len(at)][read]
    along = np.abs(laid.columns[: len(at), 0][read]) / step.sd_mm[at[read]]
    weight = float(along @ along)
    return float(along @ (more / step.sd_mm[at[read]])) / weight, 1.0 / weight
