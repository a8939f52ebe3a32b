"""A level that drifts from part to part, each part with something of its own about it.

The local level model (a random walk read with noise), here about a whole vector of parameters of which one
direction drifts: reading of part t = rows @ parameters + own + noise, parameters (t + 1) = parameters (t) +
drift along ``ALIKE``. Neither spread is known, so the filter runs for a few values of both and their weights
follow from how well each foretold the parts (the likelihood by the prediction errors).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import erf, inf, log, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, known

Array = NDArray[np.float64]
OWN_SD = (0.02, 0.035, 0.06, 0.1, 0.17)  # of ln work, that a part is off by itself
DRIFT_SD = (0.0, 0.01, 0.02, 0.04, 0.08)  # of ln work, from one part to the next
# What is believed of both beforehand (common practice, no source): own about 0.06, give or take a factor of
# 1.6; most likely no drift, and seldom a large one.
_OWN_MIDDLE, _OWN_FACTOR = 0.06, 1.6
_DRIFT_WEIGHT = (0.4, 0.2, 0.2, 0.15, 0.05)
_MOST_SCORE = 8.0  # standard deviations; beyond, the normal distribution has no digits left


@dataclass(frozen=True)
class Reading:
    """What one part told. rows : (r, k); values, variance : (r,)"""

    rows: Array
    values: Array
    variance: Array

    @property
    def alike(self) -> Array:
        """(r,) how much of a step of all strokes alike each reading shows."""
        return self.rows[:, 0]


@dataclass(frozen=True)
class Filter:
    """The filter for one pair of spreads. belief : of the parameters as the last part was; own_sd, drift_sd :
    of a part, and from part to part; fit : ln likelihood of the parts so far, ln weight beforehand in it"""

    belief: Belief
    own_sd: float
    drift_sd: float
    fit: float


Filters = tuple[Filter, ...]


def filters(belief: Belief) -> Filters:
    """Before any part: one filter for each pair of spreads. belief : of the parameters beforehand."""
    own = [-0.5 * (log(sd / _OWN_MIDDLE) / log(_OWN_FACTOR)) ** 2 for sd in OWN_SD]
    return tuple(
        Filter(belief, sd, drift, weight + log(share))
        for sd, weight in zip(OWN_SD, own, strict=True)
        for drift, share in zip(DRIFT_SD, _DRIFT_WEIGHT, strict=True)
    )


def weights(now: Filters) -> Array:
    """(g,) how much each pair of spreads is believed, in sum 1."""
    fits = np.array([one.fit for one in now])
    share = np.exp(fits - fits.max())
    return np.asarray(share / share.sum())


def anew(now: Filters, belief: Belief) -> Filters:
    """Begun again from a belief; what is known of the spreads stays."""
    return tuple(replace(one, belief=belief) for one in now)


def after(now: Filters, reading: Reading, first: bool) -> Filters:
    """When one more part is read. first : no drift before it, the belief is of this very part."""
    return tuple(_after(one, reading, first) for one in now)


def _after(one: Filter, reading: Reading, first: bool) -> Filter:
    belief = one.belief if first else drifted(one)
    if not len(reading.values):
        return replace(one, belief=belief)
    across = reading.rows @ belief.cov
    covariance = across @ reading.rows.T + np.diag(reading.variance)
    covariance += one.own_sd**2 * np.outer(reading.alike, reading.alike)
    update = known(belief, across, reading.values - reading.rows @ belief.mean, covariance)
    white = np.linalg.solve(update.factor, update.innovation)
    fit = -0.5 * float(white @ white) - float(np.log(np.diag(update.factor)).sum())
    return replace(one, belief=update.belief, fit=one.fit + fit)


def drifted(one: Filter) -> Belief:
    """What is believed of the parameters as they are for the next part."""
    cov = one.belief.cov.copy()
    cov[0, 0] += one.drift_sd**2
    return Belief(one.belief.mean, cov)


@dataclass(frozen=True)
class Surprise:
    """How far parts in a row lie off what was foretold, as one step of all their strokes alike.

    step : of ln work, its best estimate; sd : of it, were there no step; score : standardised forecast
    error, a standard normal where nothing changed
    """

    step: float
    sd: float
    score: float


NONE = Surprise(0.0, inf, 0.0)


def surprise(now: Filters, readings: list[Reading]) -> Surprise:
    """Of the next parts together, as foretold before the first of them. The score is the normal one of the
    chance, over all pairs of spreads, of a lesser error: where the spreads are not known, it is tamer."""
    told = [reading for reading in readings if len(reading.values)]
    if not told:
        return NONE
    each = [_stepped(one, readings) for one in now]
    share = weights(now)
    chance = sum(w * _below(step / sd) for w, (step, sd) in zip(share, each, strict=True))
    steps, variances = np.array(each)[:, 0], np.array(each)[:, 1] ** 2
    mean = float(share @ steps)
    spread = float(share @ (variances + (steps - mean) ** 2))
    return Surprise(mean, sqrt(spread), _score(chance))


def _stepped(one: Filter, readings: list[Reading]) -> tuple[float, float]:
    """Step by generalised least squares of the forecast errors, and its standard deviation."""
    rows = np.concatenate([reading.rows for reading in readings])
    error = np.concatenate([reading.values for reading in readings]) - rows @ one.belief.mean
    alike = rows[:, 0]
    part = np.repeat(np.arange(len(readings)), [len(reading.values) for reading in readings])
    drifts = 1.0 + np.minimum(part[:, None], part)  # steps of the walk that two readings share
    together = one.drift_sd**2 * drifts + one.own_sd**2 * (part[:, None] == part)
    covariance = rows @ one.belief.cov @ rows.T + together * np.outer(alike, alike)
    covariance += np.diag(np.concatenate([reading.variance for reading in readings]))
    weight = np.linalg.solve(covariance, alike)
    told = float(weight @ alike)
    return float(weight @ error) / told, 1.0 / sqrt(told)


def _below(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


def _score(chance: float) -> float:
    edge = _below(-_MOST_SCORE)
    return NormalDist().inv_cdf(min(max(chance, edge), 1.0 - 2e-16))


def foretold(now: Filters, rows: Array) -> Belief:
    """Of ``rows @ parameters`` (r,) of the next part, its own in it: mean and covariance over all spreads."""
    share = weights(now)
    means = np.array([rows @ one.belief.mean for one in now])
    mean = share @ means
    cov = np.zeros((len(rows), len(rows)))
    for w, one, here in zip(share, now, means, strict=True):
        spread = rows @ drifted(one).cov @ rows.T + one.own_sd**2 * np.outer(rows[:, 0], rows[:, 0])
        cov += w * (spread + np.outer(here - mean, here - mean))
    return Belief(np.asarray(mean), cov)


def spreads(now: Filters) -> tuple[float, float]:
    """Standard deviation of a part by itself, and from part to part, as believed now (root mean square)."""
    share = weights(now)
    own, drift = (np.array([getattr(one, name) for one in now]) for name in ("own_sd", "drift_sd"))
    return sqrt(float(share @ own**2)), sqrt(float(share @ drift**2))
