"""A Gaussian belief and the three things that can happen to it: moving, being read, being censored.

Exact for linear relations (Kalman 1960); checked in the tests against batch least squares and against
an independent state-space library. Covariances stay symmetric to the last digit: only symmetric terms are
added to them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import erfc, exp, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
BLOCK = 32  # rows of a triangular system, at most, that are solved at once
CERTAIN = 8.0  # standard deviations; what is known so well is not worth telling (1e-15)


@dataclass(frozen=True)
class Belief:
    """mean : (n,); cov : (n, n)"""

    mean: Array
    cov: Array

    def widened(self, mean: Array, cov: Array) -> Belief:
        """The same belief with independent unknowns appended."""
        n, k = len(self.mean), len(mean)
        joint = np.zeros((n + k, n + k))
        joint[:n, :n] = self.cov
        joint[n:, n:] = cov
        return Belief(np.concatenate([self.mean, mean]), joint)

    def first(self, n: int) -> Belief:
        """The belief about the first n unknowns alone."""
        return Belief(self.mean[:n], self.cov[:n, :n])


@dataclass(frozen=True)
class Update:
    """Belief after readings; innovation (r,) before them, of which ``turned`` (r, r) is a factor of the
    covariance once it is turned back."""

    belief: Belief
    innovation: Array
    turned: Array
    back: Callable[[Array], Array] = np.asarray

    @cached_property
    def factor(self) -> Array:
        """(r, r) factor of the covariance of the innovation."""
        return self.back(self.turned)

    @property
    def covariance(self) -> Array:
        """(r, r) covariance of the innovation."""
        return self.factor @ self.factor.T


def read(belief: Belief, rows: Array, difference: Array, variance: Array) -> Update:
    """Condition on readings.

    rows : (r, n); difference : (r,) reading less what the mean predicts; variance : (r,) of reading.
    """
    across = rows @ belief.cov
    covariance = across @ rows.T
    covariance[np.arange(len(difference)), np.arange(len(difference))] += variance
    return known(belief, across, difference, covariance)


def known(belief: Belief, across: Array, difference: Array, covariance: Array) -> Update:
    """Condition on quantities of which the covariance (r, r) and that with the unknowns (r, n) are given."""
    factor: Array = np.linalg.cholesky(covariance).astype(float, copy=False)
    white = forward(factor, np.column_stack([across, difference]))
    toward, surprise = white[:, :-1], white[:, -1]
    mean = belief.mean + surprise @ toward
    return Update(Belief(mean, belief.cov - toward.T @ toward), difference, factor)


def forward(lower: Array, right: Array) -> Array:
    """Solve a lower triangular system (r, r) for right-hand sides (r, m), one half after the other."""
    if len(lower) <= BLOCK:
        return np.asarray(np.linalg.inv(lower) @ right)
    half = len(lower) // 2
    first = forward(lower[:half, :half], right[:half])
    rest = right[half:] - lower[half:, :half] @ first
    return np.concatenate([first, forward(lower[half:, half:], rest)])


def censored(belief: Belief, rows: Array, excess: Array, variance: Array) -> Belief:
    """Condition on readings known only to be larger than the gauge's reach, one after another.

    rows : (r, n); excess : (r,) reach less what the mean predicts; variance : (r,) of reading. The exact
    posterior of each is a cut-off Gaussian; its mean and variance are kept (moment matching).
    """
    across, taken, moved = rows @ belief.cov, np.zeros(rows.shape), np.zeros(len(belief.mean))
    for i, row in enumerate(rows):
        toward = across[i] - (taken[:i] @ row) @ taken[:i]
        along = float(row @ toward)
        spread = sqrt(max(along, 0.0) + variance[i])
        short = float(excess[i] - row @ moved) / spread
        if along <= 0.0 or short < -CERTAIN:  # nothing is learned
            continue
        lift, shrink = _beyond(short)
        moved += toward * (lift / spread)
        taken[i] = toward * (sqrt(shrink) / spread)
    return Belief(belief.mean + moved, belief.cov - taken.T @ taken)


def _beyond(z: float) -> tuple[float, float]:
    """Mean of a standard normal above z, and how much its variance falls."""
    if z > 25.0:  # far tail: the asymptotic series, before erfc underflows
        hazard = z + 1.0 / z - 2.0 / z**3 + 10.0 / z**5
    else:
        hazard = exp(-0.5 * z * z) / sqrt(2.0 * pi) / (0.5 * erfc(z / sqrt(2.0)))
    return hazard, hazard * (hazard - z)


def disagreement(update: Update) -> tuple[Array, Array, Array]:
    """Each reading against everything else: score, expected change (r,) and its sd (r,).

    Score is the leave-one-out residual over its own standard deviation.
    """
    whitening = np.linalg.inv(update.factor)
    weight = np.sum(whitening**2, axis=0)
    residual = (whitening @ update.innovation) @ whitening / weight
    sd = 1.0 / np.sqrt(weight)
    return residual / sd, residual, sd
