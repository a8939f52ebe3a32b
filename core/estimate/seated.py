"""Conditioning on a round of gaps whose template sits nobody knows how.

The seating has a wide prior of its own. The readings are turned (Householder, J. ACM 5 (1958) 339) so that it
meets a few of them only; otherwise its square drowns the rest, and eight digits of the answer with it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, Update, known

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Reading:
    """Linearised round: value = offset + rows_x @ x + rows_seat @ seat + noise of variance (r,)."""

    stations: NDArray[np.intp]
    value: Array
    offset: Array
    rows_x: Array
    rows_seat: Array
    variance: Array


class Turn:
    """The orthogonal matrix that makes columns (r, k) upper triangular; triangle : (r, k)."""

    def __init__(self, columns: Array) -> None:
        packed, self._scale = np.linalg.qr(columns, mode="raw")
        self.triangle = np.triu(packed.T)
        self._mirrors = np.tril(packed.T, -1).T[: len(self._scale)]
        self._mirrors[np.arange(len(self._scale)), np.arange(len(self._scale))] = 1.0

    def onto(self, rows: Array) -> Array:
        """Rows (r, m) turned as the columns were."""
        turned = rows
        for mirror, scale in zip(self._mirrors, self._scale, strict=True):
            turned = turned - np.outer(scale * mirror, mirror @ turned)
        return turned

    def back(self, rows: Array) -> Array:
        """Rows (r, m) turned the other way."""
        turned = rows
        for mirror, scale in zip(self._mirrors[::-1], self._scale[::-1], strict=True):
            turned = turned - np.outer(scale * mirror, mirror @ turned)
        return turned


def read_seated(belief: Belief, reading: Reading, seat_sd: Array) -> Update:
    """Belief over the unknowns and, behind them, the seating (k,) of this round."""
    n, r, size, k = reading.rows_x.shape[1], len(reading.value), len(belief.mean), len(seat_sd)
    joint = belief.widened(np.zeros(k), np.diag(seat_sd**2))
    sd = np.sqrt(reading.variance)
    innovation = reading.value - reading.offset - reading.rows_x @ belief.mean[:n]
    turn = Turn(reading.rows_seat / sd[:, None])
    rows = turn.onto(np.column_stack([reading.rows_x, innovation]) / sd[:, None])
    shifted = turn.triangle * seat_sd
    across = np.zeros((r, size + k))
    across[:, :size] = rows[:, :n] @ belief.cov[:n]
    across[:, size:] = shifted * seat_sd
    covariance = across[:, :n] @ rows[:, :n].T + np.eye(r)
    covariance[:k, :k] += shifted[:k] @ shifted[:k].T
    update = known(joint, across, rows[:, n], covariance)
    return Update(update.belief, innovation, sd[:, None] * turn.back(update.factor))
