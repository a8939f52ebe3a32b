"""Small dense linear programs by a primal-dual interior point, many at once.

minimise c·v + v·diag(h) v / 2 subject to A v >= b and v[i] >= 0 for i in ``bounded``.

b may hold a batch. Method: Mehrotra, SIAM J. Optim. 2 (1992) 575, infeasible start. An interior point, not a
vertex, is wanted: among equal answers it lies in the middle, so that strokes come out evenly spread. Where
only the least cost matters, :mod:`core.dual_simplex` is quicker.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
STEPS = 60
HOPELESS = 1e6  # relative; so far from its constraints goes only a program that nothing can satisfy


@dataclass(frozen=True)
class Optimum:
    """values : (..., k) minimisers; gap : (...) remaining duality gap, relative; converged : (...)

    Of a program that nothing can satisfy: values that come near to it, not converged.
    """

    values: Array
    gap: Array
    converged: NDArray[np.bool_]


def minimise(
    cost: Array,
    rows: Array,
    at_least: Array,
    bounded: NDArray[np.bool_],
    curvature: Array | None = None,
    tolerance: float = 1e-5,
) -> Optimum:
    """Solve for every right-hand side.

    cost : (k,); rows : (m, k); at_least : (m,) or (s, m); bounded : (k,) which variables are >= 0;
    curvature : (k,) h >= 0, none for a linear cost.
    """
    single = at_least.ndim == 1
    program = _Program(cost, np.zeros(len(cost)) if curvature is None else curvature, rows, bounded)
    wanted = program.wanted(np.atleast_2d(at_least))
    state = program.start(wanted)
    values, gaps = state[0].copy(), np.full(len(wanted), np.inf)
    converged = np.zeros(len(wanted), dtype=bool)
    alive = np.arange(len(wanted))
    for _ in range(STEPS):
        off = program.off(state, wanted)
        residual, gap = program.sizes(state, wanted, off)
        done = (gap < tolerance) & (residual < tolerance)
        better = done | ~converged[alive] & (residual < HOPELESS)
        values[alive[better]], gaps[alive[better]] = state[0][better], gap[better]
        converged[alive[done]] = True
        going = residual < HOPELESS
        if converged[alive[going]].all():
            break
        if not going.all():
            alive, wanted = alive[going], wanted[going]
            state, off = (tuple(each[going] for each in some) for some in (state, off))
        state = program.step(state, off)
    if single:
        return Optimum(values[0], gaps[0], converged[0])
    return Optimum(values, gaps, converged)


_State = tuple[Array, ...]
"""variables (s, k), slacks (s, m + bounds), multipliers (s, m + bounds)"""


class _Program:
    """What all right-hand sides share. The bounds stand as rows of their own behind the others."""

    def __init__(self, cost: Array, bend: Array, rows: Array, bounded: NDArray[np.bool_]) -> None:
        self._cost, self._bend, self._index = cost, bend, np.flatnonzero(bounded)
        self._rows, self._turned = rows, np.ascontiguousarray(rows.T)

    def wanted(self, at_least: Array) -> Array:
        """Right-hand sides (s, m + bounds)."""
        return np.concatenate([at_least, np.zeros((len(at_least), len(self._index)))], axis=1)

    def start(self, wanted: Array) -> _State:
        """Least-squares start, pushed inside (Mehrotra's)."""
        solve = _scaled_inverse(self._normal(np.ones((1, wanted.shape[1]))))
        v = solve(self._back(wanted))
        slack = self._apply(v) - wanted
        y = np.repeat(self._apply(solve(self._cost[None, :])), len(wanted), axis=0)
        slack = slack + np.maximum(0.0, -1.5 * slack.min(axis=1, keepdims=True))
        y = y + np.maximum(0.0, -1.5 * y.min(axis=1, keepdims=True))
        product = (slack * y).sum(axis=1, keepdims=True)
        slack = slack + 0.5 * product / np.maximum(y.sum(axis=1, keepdims=True), 1e-12) + 1e-6
        y = y + 0.5 * product / np.maximum(slack.sum(axis=1, keepdims=True), 1e-12) + 1e-6
        return v, slack, y

    def _apply(self, v: Array) -> Array:
        return np.concatenate([v @ self._turned, v[:, self._index]], axis=1)

    def _back(self, y: Array) -> Array:
        m = len(self._rows)
        out: Array = y[:, :m] @ self._rows
        out[:, self._index] += y[:, m:]
        return out

    def off(self, state: _State, wanted: Array) -> _State:
        """What rows (s, m + bounds) and the balance of costs (s, k) still lack, and the costs (s, k)."""
        v, slack, y = state
        slope = self._cost + self._bend * v
        return wanted + slack - self._apply(v), slope - self._back(y), slope

    def sizes(self, state: _State, wanted: Array, off: _State) -> tuple[Array, Array]:
        """(s,) of what is lacking and of the duality gap, relative."""
        v, slack, y = state
        primal = np.abs(off[0]).max(axis=1) / (1.0 + np.abs(wanted).max(axis=1))
        dual = np.abs(off[1]).max(axis=1) / (1.0 + np.abs(self._cost).max())
        value = v @ self._cost + 0.5 * (v * v) @ self._bend
        return np.maximum(primal, dual), (slack * y).sum(axis=1) / (1.0 + np.abs(value))

    def step(self, state: _State, off: _State) -> _State:
        """Predictor and corrector."""
        (v, slack, y), (primal, _, slope) = state, off
        weight, product = y / slack, slack * y
        normal, every = self._normal(weight), np.arange(len(self._cost))
        normal[:, every, every] += self._bend
        solve = _scaled_inverse(normal)
        lacking = self._back(weight * primal) - slope

        def direction(centre: Array | None) -> _State:
            pushed = None if centre is None else centre / slack
            dv = solve(lacking if pushed is None else lacking + self._back(pushed))
            ds = self._apply(dv) - primal
            dy = -weight * ds - y
            return dv, ds, dy if pushed is None else dy + pushed

        _, ds, dy = direction(None)
        mean = product.sum(axis=1, keepdims=True) / product.shape[1]
        ahead = (slack + _reach(slack, ds) * ds) * (y + _reach(y, dy) * dy)
        share = ahead.sum(axis=1, keepdims=True) / (product.shape[1] * mean)
        dv, ds, dy = direction(share**3 * mean - ds * dy)
        a, g = 0.995 * _reach(slack, ds), 0.995 * _reach(y, dy)
        return v + a * dv, slack + a * ds, y + g * dy

    def _normal(self, weight: Array) -> Array:
        """(s, k, k) normal matrices of the rows under these weights (s, m + bounds)."""
        m = len(self._rows)
        normal: Array = (self._turned * weight[:, None, :m]) @ self._rows
        normal[:, self._index, self._index] += weight[:, m:]
        return normal


def _scaled_inverse(normal: Array) -> Callable[[Array], Array]:
    """Solver for a batch of normal matrices: equilibrated, and refined once."""
    diagonal = np.arange(normal.shape[-1])
    scale = 1.0 / np.sqrt(normal[:, diagonal, diagonal])
    scaled = normal * scale[:, :, None] * scale[:, None, :]
    scaled[:, diagonal, diagonal] += 1e-14
    inverse = np.linalg.inv(scaled)

    def solve(right: Array) -> Array:
        goal = (right * scale)[:, :, None]
        first = inverse @ goal
        better: Array = (first + inverse @ (goal - scaled @ first))[:, :, 0] * scale
        return better

    return solve


def _reach(value: Array, change: Array) -> Array:
    """Longest step up to 1 that keeps everything positive, (s, 1)."""
    return np.asarray(1.0 / np.maximum(1.0, -(change / value).min(axis=1, keepdims=True)))
