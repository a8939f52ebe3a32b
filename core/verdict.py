"""Conformity with a tolerance when the measured value is uncertain.

Decision by probability of conformity (JCGM 106:2012, ISO 14253-1): "within" when the chance of being
within is at least the agreed level, "outside" when the chance of being outside is, else too close to call.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from math import erf, inf, sqrt

import numpy as np
from numpy.typing import NDArray

from core.advice import CLOSE, OUTSIDE, WITHIN
from core.estimate.gaussian import Belief
from core.jobtypes import Job
from core.readings.lobes import components, lobe_rows
from core.readings.offering import SETTLED_MM, Offered, layout_of, offer, offers, readable_mm
from core.readings.seating import Seated, best_seating, rigid_free
from core.resting import Resting, as_cut_mm

Array = NDArray[np.float64]
DRAWS = 256
SEED = 20260101  # fixed: the same log must give the same verdict
MANY = 4  # readings for each unknown, from which the unknowns are drawn rather than the readings


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
class Counted:
    """Where the gap counts. meridians_rad : (k,) the one read last first; lobes : (k, c) which numbers of the
    lobes count there"""

    meridians_rad: Array
    lobes: NDArray[np.bool_]

    @classmethod
    def plain(cls) -> Counted:
        """Of a part that is not read on meridians."""
        return cls(np.zeros(1), np.zeros((1, 0), bool))


@dataclass(frozen=True)
class Fitness:
    """How a part lies to its template, under the best seating.

    offered : the expected shape, where the widest gap is; here : the same on the meridian read last;
    widest_mm, widest_sd_mm : of several meridians the widest of each shape that may be there: the expected
    one has less, as any of them may be it; chance : of being within; deviation_mm, deviation_sd_mm : (n,)
    signed, without lobes, the sd with rigid motion taken out; reading_sd_mm : (r,) by which what the template
    shows on the meridian read last, seated at its best on the part as it is, may differ from what is
    expected; widest_rad : the meridian of the widest gap
    """

    offered: Offered
    here: Offered
    widest_mm: float
    widest_sd_mm: float
    chance: float
    deviation_mm: Array
    deviation_sd_mm: Array
    reading_sd_mm: Array
    widest_rad: float


def fitness(
    job: Job,
    belief: Belief,
    start: Array | None = None,
    where: Counted | None = None,
    rests: Resting | None = None,
) -> Fitness:
    """Widest gap at the readable stations from what is believed of the remaining work and the lobes.

    belief : over the work at the sites and behind it the lobes, where the part can have some (the others do
    not count); start : (k,) a seating to begin from; where : on the meridian at 0 with all lobes where not
    given; the template is seated anew on each meridian; rests : where it was read to rest, if that tells.
    """
    part, n = job.part, len(job.part.sites)
    size = n + components(part)
    mean, cov = belief.mean[:size], belief.cov[:size, :size]
    places, where = (
        readable_mm(part, job.template),
        where or Counted(np.zeros(1), np.ones((1, size - n), bool)),
    )
    beside = [
        lobe_rows(part, job.template, places, float(at)) * which
        for at, which in zip(where.meridians_rad, where.lobes, strict=True)
    ]
    seats = offers(part, job.template, mean[:n], start, np.array([each @ mean[n:] for each in beside]))
    rows = [np.hstack([now.rows, each]) for now, each in zip(seats, beside, strict=True)]
    together = np.vstack(rows)
    draws = np.split(_draws_of(together, cov), len(rows), axis=1)
    rests = rests or Resting()
    seats = [_standing_off(now, rests.off_mm) for now in seats]
    laid = [_laid(job, now, each, rests) for now, each in zip(seats, draws, strict=True)]
    widths = np.max([drawn.widest_mm for drawn in laid], axis=0)
    widest = int(np.argmax([now.widest_mm for now in seats]))
    even = seats[0] if size == n else offer(part, job.template, mean[:n], start)
    plain = part.linearise(mean[:n], even.seat)
    return Fitness(
        offered=seats[widest],
        here=seats[0],
        widest_mm=seats[widest].widest_mm if len(rows) == 1 else float(widths.mean()),
        widest_sd_mm=float(widths.std()),
        chance=float(np.mean(widths <= job.tolerance_mm)),
        deviation_mm=plain.deviation_mm,
        deviation_sd_mm=_spread(plain.influence, plain.seating, cov[:n, :n]),
        reading_sd_mm=np.sqrt(np.mean((laid[0].gaps_mm - seats[0].readings_mm) ** 2, axis=0)),
        widest_rad=float(where.meridians_rad[widest]),
    )


def widest_mm(job: Job, mean: Array, where: Counted) -> float:
    """Widest gap of the shape with this work and these lobes behind it, the template at its best on each of
    the meridians."""
    n, places = len(job.part.sites), readable_mm(job.part, job.template)
    lobes = mean[n : n + components(job.part)]
    shown = [
        lobe_rows(job.part, job.template, places, float(at)) @ (which * lobes)
        for at, which in zip(where.meridians_rad, where.lobes, strict=True)
    ]
    return max(laid.widest_mm for laid in offers(job.part, job.template, mean[:n], None, np.array(shown)))


def even_within(job: Job, belief: Belief, start: Array | None = None, rests: Resting | None = None) -> bool:
    """Whether the part of this belief would be within its tolerance without its lobes; False where it can
    have none."""
    n = len(job.part.sites)
    size = n + components(job.part)
    if size == n:
        return False
    deeper_mm = min(rests.off_mm, 0.0) if rests else 0.0
    widest = offer(job.part, job.template, belief.mean[:n], start).widest_mm + deeper_mm
    if widest > job.tolerance_mm + SETTLED_MM:
        return False  # of two draws opposite to each other one is outside as well: half of them at least
    mean, cov = np.zeros(size), np.zeros((size, size))
    mean[:n], cov[:n, :n] = belief.mean[:n], belief.cov[:n, :n]
    return decide(fitness(job, Belief(mean, cov), start, rests=rests).chance, job.confidence) == WITHIN


def _standing_off(now: Offered, off_mm: float) -> Offered:
    """The same, the template so much further off the part along its one free motion."""
    if not off_mm:
        return now
    readings = now.readings_mm + off_mm * np.abs(now.columns[:, 0])
    return replace(now, readings_mm=readings, widest_mm=float(np.max(readings)))


def _laid(job: Job, now: Offered, draws: Array, rests: Resting) -> Seated:
    """Shapes that differ by these readings (DRAWS, r), each seated at its best, or where it was read to
    rest."""
    if rests.read:
        return _at_rest(job, now, draws, rests)
    bounds = (-job.part.seat_bound - now.seat, job.part.seat_bound - now.seat)
    return best_seating(now.readings_mm + draws, now.columns, bounds, job.template.rigid)


def _at_rest(job: Job, now: Offered, draws: Array, rests: Resting) -> Seated:
    """Shapes that differ by these readings, as high at the stations in their mean as they were read."""
    stations = int(layout_of(job.part, job.template).readable[: len(job.part.sites)].sum())
    along = np.abs(now.columns[:, 0])
    off, hollows = _unit_at_rest(len(along) - stations)
    off = float(np.hypot(rests.sd_mm, as_cut_mm(job, now))) * off
    level = draws[:, :stations] @ along[:stations] / (along[:stations] @ along[:stations])
    gaps = now.readings_mm + draws + np.outer(off - level, along)
    gaps[:, stations:] += rests.hollow_mm * hollows
    return Seated(np.max(gaps, axis=1), np.outer(off - level, np.sign(now.columns[0])), gaps)


@cache
def _unit_at_rest(hollows: int) -> tuple[Array, Array]:
    """(DRAWS,) and (DRAWS, hollows) standard normal draws, the same every time and on every meridian."""
    rng = np.random.default_rng(SEED)
    return rng.standard_normal(DRAWS), rng.standard_normal((DRAWS, hollows))


def _spread(rows: Array, columns: Array, cov: Array) -> Array:
    """(r,) standard deviations of readings with every rigid motion taken out."""
    free = rigid_free(columns) @ rows
    return np.asarray(np.sqrt(np.maximum(np.sum((free @ cov) * free, axis=1), 0.0)))


def _draws_of(rows: Array, cov: Array) -> Array:
    """(DRAWS, r) centred normal draws of rows (r, n) @ unknowns of this covariance (n, n)."""
    if len(rows) < MANY * len(cov):
        return _draws(rows @ cov @ rows.T)
    return np.asarray(_draws(cov) @ rows.T)


def _draws(cov: Array) -> Array:
    """(DRAWS, r) centred normal draws with this covariance, in opposite pairs, the same every time."""
    values, vectors = np.linalg.eigh(cov)
    kept = values > 1e-9 * max(values.max(), 1e-300)
    half = np.random.default_rng(SEED).standard_normal((DRAWS // 2, int(kept.sum())))
    unit = np.vstack([half, -half])
    drawn: Array = unit @ (vectors[:, kept] * np.sqrt(values[kept])).T
    return drawn
