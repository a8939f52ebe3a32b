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
    """values : (s, k) minimisers; solved : (s,) False for a program that nothing satisfies; rows : (s, k)
    those that are met there; lower and then upper bounds count behind the rows of the program"""

    values: Array
    solved: NDArray[np.bool_]
    rows: NDArray[np.intp]


@dataclass
class _At:
    """The corners where programs stand.

    rows : (s, k) those that each meets; inverse : (s, k, k) of their matrix; values : (s, k) of the variables
    there; price : (s, k) what the cost rises by for every unit that such a row is exceeded
    """

    rows: NDArray[np.intp]
    inverse: Array
    values: Array
    price: Array

    def of(self, which: NDArray[np.bool_]) -> _At:
        """These programs alone."""
        return _At(self.rows[which], self.inverse[which], self.values[which], self.price[which])

    def exchange(
        self,
        going: NDArray[np.bool_],
        leaving: NDArray[np.intp],
        entering: NDArray[np.intp],
        slope: Array,
        short: Array,
    ) -> None:
        """Put a row in the place of another, for those that are going on.

        slope : (s, k) of it along the edges that leave the corner; short : (s,) what it lacks yet.
        """
        each = np.arange(len(leaving))
        self.rows[each, leaving] = np.where(going, entering, self.rows[each, leaving])
        steepness = np.where(going, slope[each, leaving], np.inf)
        edge = self.inverse[each, :, leaving] / steepness[:, None]
        paid = self.price[each, leaving] / steepness
        slope = slope.copy()
        slope[each, leaving] -= 1.0
        self.values += edge * short[:, None]
        self.price -= paid[:, None] * slope
        self.inverse -= edge[:, :, None] * slope[:, None, :]


def least(
    cost: Array, rows: Array, at_least: Array, upper: Array, start: NDArray[np.intp] | None = None
) -> Corner:
    """Solve for every right-hand side.

    cost : (k,); rows : (m, k) or (s, m, k); at_least : (s, m); upper : (k,) or (s, k), infinite for none, but
    finite where the cost is below zero; start : rows met by the answers to other right-hand sides, which are
    near. Programs that are through wait until they are half of them.
    """
    s, k = len(at_least), len(cost)
    cost = cost + APART * np.abs(cost).max() * np.linspace(1.0, 2.0, k)
    box = np.vstack([np.eye(k), -np.eye(k)])
    rows = np.concatenate([rows, np.broadcast_to(box, (*rows.shape[:-2], 2 * k, k))], axis=-2)
    upper = np.broadcast_to(upper, (s, k))
    wanted = np.hstack([at_least, np.zeros((s, k)), -upper])
    now = _of_box(cost, wanted) if start is None else _corner(cost, rows, wanted, start)
    values, solved, alive = np.zeros((s, k)), np.zeros(s, dtype=bool), np.arange(s)
    ended = np.zeros((s, k), dtype=np.intp)
    for _ in range(STEPS):
        v = now.values
        short = wanted - (v @ rows.T if rows.ndim == 2 else (rows @ v[:, :, None])[:, :, 0])
        each, entering = np.arange(len(v)), short.argmax(axis=1)
        lacking = short[each, entering]
        met = lacking <= MISSED
        row = rows[entering] if rows.ndim == 2 else rows[each, entering]
        slope = (row[:, None, :] @ now.inverse)[:, 0, :]
        ratio = np.where(slope > FLAT, now.price / np.maximum(slope, FLAT), np.inf)
        leaving = ratio.argmin(axis=1)
        going = ~met & np.isfinite(ratio[each, leaving])
        count = np.count_nonzero(going)
        if count <= len(v) // 2:
            values[alive], solved[alive], ended[alive] = v, met, now.rows
            if not count:
                break
            alive, now, wanted, lacking = alive[going], now.of(going), wanted[going], lacking[going]
            slope, leaving, entering = slope[going], leaving[going], entering[going]
            rows = rows if rows.ndim == 2 else rows[going]
            going = going[going]
        now.exchange(going, leaving, entering, slope, lacking)
    else:
        values[alive], ended[alive] = now.values, now.rows
    return Corner(values, solved, ended)


def _of_box(cost: Array, wanted: Array) -> _At:
    """The corner of the box that costs least."""
    s, k = len(wanted), len(cost)
    full = cost < 0.0
    met = np.where(full, k, 0) + np.arange(k) + wanted.shape[1] - 2 * k
    inverse = np.tile(np.diag(np.where(full, -1.0, 1.0)), (s, 1, 1))
    values = np.where(full, -wanted[:, -k:], 0.0)
    return _At(np.tile(met, (s, 1)), inverse, values, np.tile(np.abs(cost), (s, 1)))


def _corner(cost: Array, rows: Array, wanted: Array, met: NDArray[np.intp]) -> _At:
    """The corners on these rows (s, k) of all, bounds included."""
    each = np.arange(len(met))[:, None]
    matrix: Array = rows[met] if rows.ndim == 2 else rows[each, met]
    inverse = np.asarray(np.linalg.inv(matrix), dtype=float)
    values = (inverse @ wanted[each, met][:, :, None])[:, :, 0]
    return _At(met.copy(), inverse, values, cost @ inverse)
