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
    """Linearised round: value = offset + rows_x @ x + rows_seat @ seat + noise of variance (r,); x : the
    first unknowns, work and lobes."""

    stations: NDArray[np.intp]
    value: Array
    offset: Array
    rows_x: Array
    rows_seat: Array
    variance: Array


class Turn:
    """The orthogonal matrix that makes columns (r, k) upper triangular; triangle : (r, k).

    A product of few mirrors I - scale v v', kept as I - V' core V (Schreiber and Van Loan, SIAM J. Sci. Stat.
    Comput. 10 (1989) 53).
    """

    def __init__(self, columns: Array) -> None:
        packed, scale = np.linalg.qr(columns, mode="raw")
        count = len(scale)
        self.triangle, self._mirrors, self._core = packed.T.copy(), packed[:count].copy(), np.diag(scale)
        for i in range(count):
            self.triangle[i + 1 :, i] = self._mirrors[i, :i] = 0.0
            self._mirrors[i, i] = 1.0
            before = self._mirrors[:i] @ self._mirrors[i]
            self._core[:i, i] = -scale[i] * (self._core[:i, :i] @ before)

    def onto(self, rows: Array) -> Array:
        """Rows (r, m) turned as the columns were."""
        return np.asarray(rows - self._mirrors.T @ (self._core.T @ (self._mirrors @ rows)))

    def back(self, rows: Array) -> Array:
        """Rows (r, m) turned the other way."""
        return np.asarray(rows - self._mirrors.T @ (self._core @ (self._mirrors @ rows)))


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
    covariance = across[:, :n] @ rows[:, :n].T
    covariance.flat[:: r + 1] += 1.0
    covariance[:k, :k] += shifted[:k] @ shifted[:k].T
    update = known(joint, across, rows[:, n], covariance)
    return Update(update.belief, innovation, update.turned, lambda factor: sd[:, None] * turn.back(factor))
