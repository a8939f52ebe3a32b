"""A Gaussian belief and the three things that can happen to it: moving, being read, being censored.

Exact for linear relations (Kalman 1960); checked in the tests against batch least squares and against
an independent state-space library.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import erfc, exp, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


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
    """Belief after readings; innovation (r,) and its covariance (r, r) before them."""

    belief: Belief
    innovation: Array
    covariance: Array


def read(belief: Belief, rows: Array, difference: Array, variance: Array) -> Update:
    """Condition on readings.

    rows : (r, n); difference : (r,) reading less what the mean predicts; variance : (r,) of reading.
    """
    gain_rows = rows @ belief.cov
    covariance = gain_rows @ rows.T
    covariance[np.arange(len(difference)), np.arange(len(difference))] += variance
    factor = np.linalg.cholesky(covariance)
    white = np.linalg.solve(factor, np.column_stack([gain_rows, difference]))
    mean = belief.mean + white[:, :-1].T @ white[:, -1]
    cov = belief.cov - white[:, :-1].T @ white[:, :-1]
    return Update(Belief(mean, 0.5 * (cov + cov.T)), difference, covariance)


def censored(belief: Belief, row: Array, excess: float, variance: float) -> Belief:
    """Condition on one reading known only to be larger than the gauge's reach.

    row : (n,); excess : reach less what the mean predicts. The exact posterior is a cut-off Gaussian;
    its mean and variance are kept (moment matching).
    """
    across = belief.cov @ row
    known = float(row @ across)
    if known <= 0.0:  # nothing left to learn along this row
        return belief
    total = known + variance
    spread = sqrt(total)
    lift, shrink = _beyond(excess / spread)
    mean = belief.mean + across * (lift / spread)
    cov = belief.cov - np.outer(across, across) * (shrink / total)
    return Belief(mean, cov)


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
    inverse = np.linalg.inv(update.covariance)
    weight = np.diag(inverse)
    residual = (inverse @ update.innovation) / weight
    sd = 1.0 / np.sqrt(weight)
    return residual / sd, residual, sd
