"""A belief about several strokings, handed on as readings that are independent of one another.

A job takes what was seen one reading after another. What is known of two bites of one tool hangs together,
though: told as if each stood for itself it would count twice. So as few readings are handed on, and each as
loose, as is right.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, read

Array = NDArray[np.float64]
LEAST_GAIN = 0.02  # nats that one more reading has to bring
_JITTER = 1e-10  # of variance, so that two rows alike can be told


@dataclass(frozen=True)
class Handed:
    """row : index of the row; value : read of it; variance : of the reading"""

    row: int
    value: float
    variance: float


def handed_on(prior: Belief, after: Belief) -> tuple[Handed, ...]:
    """The readings by which the prior comes nearest to what is believed (Kullback-Leibler), chosen one by
    one.

    prior, after : of the same (r,) quantities
    """
    prior, after = _firm(prior), _firm(after)
    chosen: tuple[Handed, ...] = ()
    away = _divergence(after, prior)
    left = set(range(len(after.mean)))
    while left:
        ways = [_handed(prior, after, [*(one.row for one in chosen), row]) for row in sorted(left)]
        found = [(_divergence(after, _conditioned(prior, way)), way) for way in ways if way]
        if not found:
            break
        nearest, way = min(found, key=lambda pair: pair[0])
        if away - nearest < LEAST_GAIN:
            break
        chosen, away = way, nearest
        left -= {one.row for one in chosen}
    return chosen


def _firm(belief: Belief) -> Belief:
    return Belief(belief.mean, belief.cov + _JITTER * np.eye(len(belief.mean)))


def _handed(prior: Belief, after: Belief, rows: list[int]) -> tuple[Handed, ...]:
    """Readings of these rows; none where the belief says less of some mixture of them than the prior did.

    Posterior less prior in the information form is one reading of all of them, with covariance N. A diagonal
    that holds the sums of the rows of |N| is never less than N: nothing is claimed that is not known.
    """
    at = np.ix_(rows, rows)
    more = np.linalg.inv(after.cov[at]) - np.linalg.inv(prior.cov[at])
    if np.linalg.eigvalsh(more)[0] <= 0.0:
        return ()
    together = np.linalg.inv(more)
    told = np.linalg.solve(after.cov[at], after.mean[rows]) - np.linalg.solve(prior.cov[at], prior.mean[rows])
    values, variances = together @ told, np.abs(together).sum(axis=1)
    return tuple(Handed(*one) for one in zip(rows, map(float, values), map(float, variances), strict=True))


def _conditioned(prior: Belief, handed: tuple[Handed, ...]) -> Belief:
    rows = np.eye(len(prior.mean))[[one.row for one in handed]]
    difference = np.array([one.value for one in handed]) - rows @ prior.mean
    return read(prior, rows, difference, np.array([one.variance for one in handed])).belief


def _divergence(after: Belief, by: Belief) -> float:
    """What is lost where ``by`` is believed in place of ``after``, nats."""
    off = by.mean - after.mean
    ratio = np.linalg.solve(by.cov, after.cov)
    shift = float(off @ np.linalg.solve(by.cov, off))
    return 0.5 * (float(np.trace(ratio)) + shift - len(off) - float(np.linalg.slogdet(ratio)[1]))
