"""Small dense linear programs by a primal-dual interior point, many at once.

minimise c·v + v·diag(h) v / 2 subject to A v >= b and v[i] >= 0 for i in ``bounded``.

A and b may each hold a batch. Method: Mehrotra, SIAM J. Optim. 2 (1992) 575, infeasible start.
An interior point, not a vertex, is wanted: among equal answers it lies in the middle, so that strokes
come out evenly spread.
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

    cost : (k,); rows : (m, k) or (s, m, k); at_least : (m,) or (s, m); bounded : (k,) which variables
    are >= 0; curvature : (k,) h >= 0, none for a linear cost.
    """
    single = at_least.ndim == 1
    b = np.atleast_2d(at_least)
    index = np.flatnonzero(bounded)
    bend = np.zeros(len(cost)) if curvature is None else curvature
    state = _start(cost, rows, b, index)
    values, gaps = state[0].copy(), np.full(len(b), np.inf)
    converged = np.zeros(len(b), dtype=bool)
    alive = np.arange(len(b))
    for _ in range(STEPS):
        residual, gap = _residuals(cost, bend, rows, b[alive], index, state)
        done = (gap < tolerance) & (residual < tolerance)
        better = done | ~converged[alive] & (residual < HOPELESS)
        values[alive[better]], gaps[alive[better]] = state[0][better], gap[better]
        converged[alive[done]] = True
        going = residual < HOPELESS
        if converged[alive[going]].all():
            break
        if not going.all():
            alive, state = alive[going], (state[0][going], state[1][going], state[2][going])
            rows = rows if rows.ndim == 2 else rows[going]
        state = _step(cost, bend, rows, b[alive], index, state)
    if single:
        return Optimum(values[0], gaps[0], converged[0])
    return Optimum(values, gaps, converged)


_State = tuple[Array, Array, Array]
"""variables (s, k), slacks (s, m + bounds), multipliers (s, m + bounds)"""


def _apply(rows: Array, index: NDArray[np.intp], v: Array) -> Array:
    made = v @ rows.T if rows.ndim == 2 else (rows @ v[:, :, None])[:, :, 0]
    return np.concatenate([made, v[:, index]], axis=1)


def _back(rows: Array, index: NDArray[np.intp], y: Array) -> Array:
    m = rows.shape[-2]
    out: Array = y[:, :m] @ rows if rows.ndim == 2 else (y[:, None, :m] @ rows)[:, 0, :]
    out[:, index] += y[:, m:]
    return out


def _wanted(b: Array, index: NDArray[np.intp]) -> Array:
    return np.concatenate([b, np.zeros((len(b), len(index)))], axis=1)


def _start(cost: Array, rows: Array, b: Array, index: NDArray[np.intp]) -> _State:
    """Least-squares start, by the mean of the rows, pushed inside (Mehrotra's)."""
    s, k = len(b), len(cost)
    full = np.vstack([rows if rows.ndim == 2 else rows.mean(axis=0), np.eye(k)[index]])
    inverse = np.linalg.pinv(full)
    wanted = _wanted(b, index)
    v = wanted @ inverse.T
    slack = _apply(rows, index, v) - wanted
    y = np.repeat((cost @ inverse)[None, :], s, axis=0)
    slack = slack + np.maximum(0.0, -1.5 * slack.min(axis=1, keepdims=True))
    y = y + np.maximum(0.0, -1.5 * y.min(axis=1, keepdims=True))
    product = np.sum(slack * y, axis=1, keepdims=True)
    slack = slack + 0.5 * product / np.maximum(y.sum(axis=1, keepdims=True), 1e-12) + 1e-6
    y = y + 0.5 * product / np.maximum(slack.sum(axis=1, keepdims=True), 1e-12) + 1e-6
    return v, slack, y


def _residuals(
    cost: Array, bend: Array, rows: Array, b: Array, index: NDArray[np.intp], state: _State
) -> tuple[Array, Array]:
    v, slack, y = state
    wanted = _wanted(b, index)
    primal = np.abs(_apply(rows, index, v) - slack - wanted).max(axis=1) / (1.0 + np.abs(wanted).max(axis=1))
    dual = np.abs(_back(rows, index, y) - cost - bend * v).max(axis=1) / (1.0 + np.abs(cost).max())
    value = v @ cost + 0.5 * (v * v) @ bend
    gap = np.sum(slack * y, axis=1) / (1.0 + np.abs(value))
    return np.maximum(primal, dual), gap


def _step(cost: Array, bend: Array, rows: Array, b: Array, index: NDArray[np.intp], state: _State) -> _State:
    v, slack, y = state
    m = rows.shape[-2]
    weight = y / slack
    normal = (np.swapaxes(rows, -1, -2) * weight[:, None, :m]) @ rows
    normal[:, index, index] += weight[:, m:]
    normal[:, np.arange(len(cost)), np.arange(len(cost))] += bend
    solve = _scaled_inverse(normal)
    primal = _wanted(b, index) + slack - _apply(rows, index, v)
    dual = cost + bend * v - _back(rows, index, y)
    mean = np.mean(slack * y, axis=1, keepdims=True)

    def direction(centre: Array) -> _State:
        right = _back(rows, index, weight * primal + centre / slack - y) - dual
        dv = solve(right)
        ds = _apply(rows, index, dv) - primal
        dy = (centre - y * ds) / slack - y
        return dv, ds, dy

    _, ds, dy = direction(np.zeros_like(slack))
    ahead = np.mean((slack + _reach(slack, ds) * ds) * (y + _reach(y, dy) * dy), axis=1, keepdims=True)
    dv, ds, dy = direction((ahead / mean) ** 3 * mean - ds * dy)
    a, g = 0.995 * _reach(slack, ds), 0.995 * _reach(y, dy)
    return v + a * dv, slack + a * ds, y + g * dy


def _scaled_inverse(normal: Array) -> Callable[[Array], Array]:
    """Solver for a batch of normal matrices: equilibrated, and refined once."""
    diagonal = np.arange(normal.shape[-1])
    scale = 1.0 / np.sqrt(normal[:, diagonal, diagonal])
    scaled = normal * scale[:, :, None] * scale[:, None, :]
    scaled[:, diagonal, diagonal] += 1e-14
    inverse = np.linalg.inv(scaled)

    def solve(right: Array) -> Array:
        goal = right * scale
        first = (inverse @ goal[:, :, None])[:, :, 0]
        rest = goal - (scaled @ first[:, :, None])[:, :, 0]
        better: Array = (first + (inverse @ rest[:, :, None])[:, :, 0]) * scale
        return better

    return solve


def _reach(value: Array, change: Array) -> Array:
    """Longest step up to 1 that keeps everything positive, (s, 1)."""
    ratio = np.where(change < 0.0, -value / np.where(change < 0.0, change, -1.0), np.inf)
    return np.asarray(np.minimum(1.0, ratio.min(axis=1, keepdims=True)))
