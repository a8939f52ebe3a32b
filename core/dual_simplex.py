"""Small dense linear programs of which the least cost is wanted, many at once, by the dual simplex method.

minimise c·v subject to A v >= b and 0 <= v <= upper. Method: Lemke, Naval Res. Logist. Q. 1 (1954) 36, with
the inverse kept. Exact, and cheap for few variables: from the best corner of the box each step goes to the
corner on the row that is missed most, and costs one product with all rows. Among equal answers the one is
found that needs least of the variables, the last before the first; :mod:`core.linear_program` finds the
middle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
MISSED = 1e-8  # by which a row may be missed, where rows and answers are about one
FLAT = 1e-9  # slope along an edge that is none
STEPS = 300
APART = 1e-6  # cost added to each variable, up to twice that: no two corners cost the same, none comes twice


@dataclass(frozen=True)
class Corner:
    """values : (s, k) minimisers; solved : (s,) False for a program that nothing satisfies"""

    values: Array
    solved: NDArray[np.bool_]


@dataclass
class _At:
    """The corners where programs stand: the k rows that each meets, by the inverse (s, k, k) of their matrix
    and their right-hand sides (s, k)."""

    inverse: Array
    level: Array

    def values(self) -> Array:
        """(s, k) of the variables."""
        return np.asarray((self.inverse @ self.level[:, :, None])[:, :, 0])

    def of(self, which: NDArray[np.bool_]) -> _At:
        """These programs alone."""
        return _At(self.inverse[which], self.level[which])

    def exchange(self, leaving: NDArray[np.intp], slope: Array, wanted: Array) -> None:
        """Put a row in the place of another; slope : (s, k) of it along the edges that leave the corner."""
        each = np.arange(len(leaving))
        edge = self.inverse[each, :, leaving] / slope[each, leaving][:, None]
        slope = slope.copy()
        slope[each, leaving] -= 1.0
        self.inverse -= edge[:, :, None] * slope[:, None, :]
        self.level[each, leaving] = wanted


def least(cost: Array, rows: Array, at_least: Array, upper: Array) -> Corner:
    """Solve for every right-hand side.

    cost : (k,); rows : (m, k) or (s, m, k); at_least : (s, m); upper : (k,) or (s, k), infinite for none, but
    finite where the cost is below zero.
    """
    s, k = len(at_least), len(cost)
    cost = cost + APART * np.abs(cost).max() * np.linspace(1.0, 2.0, k)
    box = np.vstack([np.eye(k), -np.eye(k)])
    rows = np.concatenate([rows, np.broadcast_to(box, (*rows.shape[:-2], 2 * k, k))], axis=-2)
    wanted = np.hstack([at_least, np.zeros((s, k)), np.broadcast_to(-upper, (s, k))])
    full = cost < 0.0
    start = np.diag(np.where(full, -1.0, 1.0))
    now = _At(np.tile(start, (s, 1, 1)), np.where(full, wanted[:, -k:], 0.0))
    values, solved, alive = np.zeros((s, k)), np.zeros(s, dtype=bool), np.arange(s)
    for _ in range(STEPS):
        values[alive] = v = now.values()
        short = wanted - (v @ rows.T if rows.ndim == 2 else (rows @ v[:, :, None])[:, :, 0])
        each, entering = np.arange(len(v)), short.argmax(axis=1)
        solved[alive] = met = short[each, entering] <= MISSED
        row = rows[entering] if rows.ndim == 2 else rows[each, entering]
        slope = (row[:, None, :] @ now.inverse)[:, 0, :]
        ratio = np.where(slope > FLAT, (cost @ now.inverse) / np.maximum(slope, FLAT), np.inf)
        leaving = ratio.argmin(axis=1)
        going = ~met & np.isfinite(ratio[each, leaving])
        if not going.any():
            break
        if not going.all():
            alive, now, wanted, each = alive[going], now.of(going), wanted[going], each[: going.sum()]
            slope, leaving, entering = slope[going], leaving[going], entering[going]
            rows = rows if rows.ndim == 2 else rows[going]
        now.exchange(leaving, slope, wanted[each, entering])
    return Corner(values, solved)
