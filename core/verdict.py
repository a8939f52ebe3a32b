"""Conformity with a tolerance when the measured value is uncertain.

Decision by probability of conformity (JCGM 106:2012, ISO 14253-1): "within" when the chance of being
within is at least the agreed level, "outside" when the chance of being outside is, else too close to call.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import erf, inf, sqrt

import numpy as np
from numpy.typing import NDArray

from core.advice import CLOSE, OUTSIDE, WITHIN
from core.estimate.gaussian import Belief
from core.jobtypes import Job
from core.kinds.base import Linearised
from core.readings.seating import Seated, best_seating, rigid_free

Array = NDArray[np.float64]
DRAWS = 256
SEED = 20260101  # fixed: the same log must give the same verdict


def chance_within(value: float, sd: float, low: float = -inf, high: float = inf) -> float:
    """Probability that a normally distributed quantity lies within its limits (JCGM 106:2012, 7.3, 7.4)."""
    if sd == 0.0:
        return float(low <= value <= high)
    return _phi((high - value) / sd) - _phi((low - value) / sd)


def decide(chance: float, confidence: float) -> str:
    """The verdict for a chance of being within and an agreed level (0.5 to 1)."""
    if chance >= confidence:
        return WITHIN
    return OUTSIDE if 1.0 - chance >= confidence else CLOSE


def conforms(
    value: float, sd: float, low: float | None = None, high: float | None = None, confidence: float = 0.95
) -> str:
    """Verdict on one measured value with standard uncertainty sd against one or two limits, one unit."""
    chance = chance_within(value, sd, -inf if low is None else low, inf if high is None else high)
    return decide(chance, confidence)


def _phi(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


@dataclass(frozen=True)
class Fitness:
    """How a part lies to its template, under the best seating.

    widest_mm, widest_sd_mm; at : index of the site with the widest gap; chance : of being within;
    deviation_mm, deviation_sd_mm : (n,) signed, rigid motion taken out; seated : of the mean shape;
    reading_sd_mm : (r,) of what the template would show, rigid motion taken out
    """

    widest_mm: float
    widest_sd_mm: float
    at: int
    chance: float
    deviation_mm: Array
    deviation_sd_mm: Array
    seated: Seated
    reading_sd_mm: Array


def fitness(job: Job, belief: Belief) -> Fitness:
    """Widest gap at the readable stations from what is believed of the remaining work.

    belief : over the work at the sites (first n unknowns count).
    """
    n = len(job.part.sites)
    layout = job.template.layout(job.part.sites.position_mm, job.part.length_mm)
    here = job.part.linearise(belief.mean[:n], None, layout.points_mm)
    readable = layout.readable
    rows = (layout.combine @ here.influence)[readable]
    columns = (layout.combine @ here.seating)[readable]
    mean = (layout.combine @ here.deviation_mm)[readable]
    seated = best_seating(mean, columns, job.part.seat_bound, job.template.rigid)
    draws = mean + _draws(rows @ belief.cov[:n, :n] @ rows.T)
    widths = best_seating(draws, columns, job.part.seat_bound, job.template.rigid).widest_mm
    chance = float(np.mean(widths <= job.tolerance_mm))
    plain = job.part.linearise(belief.mean[:n]) if job.template.chord_mm else here
    free = rigid_free(columns) @ rows
    reading_sd = np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", free, belief.cov[:n, :n], free), 0.0))
    deviation, sd = _deviation(plain, belief.cov[:n, :n], seated)
    at = int(np.flatnonzero(readable)[np.argmax(np.abs(seated.gaps_mm))])
    return Fitness(float(seated.widest_mm), float(widths.std()), at, chance, deviation, sd, seated, reading_sd)


def _draws(cov: Array) -> Array:
    """(DRAWS, r) centred normal draws with this covariance, in opposite pairs, the same every time."""
    values, vectors = np.linalg.eigh(cov)
    kept = values > 1e-9 * max(values.max(), 1e-300)
    half = np.random.default_rng(SEED).standard_normal((DRAWS // 2, int(kept.sum())))
    unit = np.vstack([half, -half])
    drawn: Array = unit @ (vectors[:, kept] * np.sqrt(values[kept])).T
    return drawn


def _deviation(here: Linearised, cov: Array, seated: Seated) -> tuple[Array, Array]:
    """Signed outward deviation at every site under the best seating, with its standard deviation."""
    free = rigid_free(here.seating)
    spread = free @ here.influence
    sd = np.sqrt(np.maximum(np.einsum("ij,jk,ik->i", spread, cov, spread), 0.0))
    return here.deviation_mm + here.seating @ seated.motion, sd
