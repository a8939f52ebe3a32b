"""The best seating of a template: the one that makes the widest gap as small as it can be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.linear_program import Optimum, minimise

Array = NDArray[np.float64]
FAINT_MM = 1e-9  # a rigid motion that changes no reading by more than this is no motion for it


@dataclass(frozen=True)
class Seated:
    """widest_mm : (...) widest gap; motion : (..., k) of the part that gives it; gaps_mm : (..., r)"""

    widest_mm: Array
    motion: Array
    gaps_mm: Array


def best_seating(readings_mm: Array, columns: Array, bounds: tuple[Array, Array], rigid: bool) -> Seated:
    """Seat the template as well as it goes, for one or many sets of readings.

    readings_mm : (r,) or (s, r) as read under some seating; columns : (r, k) mm per unit of each
    rigid motion; bounds : (k,) or (s, k) least and most of each, infinite where free;
    rigid : no reading may fall below zero, else the largest either way counts. (A shape that no rigid
    motion frees of overlap is laid as a signed one, and its readings count from the lowest.)
    """
    many = np.atleast_2d(readings_mm)
    if rigid and columns.shape[1] == 1 and np.isinf(bounds).all() and _one_way(columns):
        motion = _pressed(many, columns)
    else:
        motion = _laid(many, columns, bounds, rigid)
    gaps = many + motion @ columns.T
    if rigid:
        gaps = gaps - np.minimum(gaps.min(axis=1, keepdims=True), 0.0)
    widest = np.abs(gaps).max(axis=1)
    if readings_mm.ndim == 1:
        return Seated(widest[0], motion[0], gaps[0])
    return Seated(widest, motion, gaps)


def _one_way(columns: Array) -> bool:
    """Whether the one motion (r, 1) opens all readings or closes all."""
    return bool(np.all(columns > FAINT_MM) or np.all(columns < -FAINT_MM))


def _pressed(many: Array, columns: Array) -> Array:
    """(s, 1) motion of a rigid template that goes one way until it touches: any further, and every gap
    grows."""
    touches = np.max(-many / np.abs(columns[:, 0]), axis=1, keepdims=True)
    return np.asarray(np.sign(columns[0, 0]) * touches)


def _laid(many: Array, columns: Array, bounds: tuple[Array, Array], rigid: bool) -> Array:
    """(s, k) motions, by linear programs."""
    size = np.maximum(np.abs(many).max(axis=1, keepdims=True), 1e-9)
    reach = np.abs(columns).max(axis=0, initial=0.0)
    used = np.flatnonzero(reach > FAINT_MM)
    unit = columns[:, used] / reach[used]
    k, ones = len(used), np.ones((len(columns), 1))
    least, most = (np.atleast_2d(bound)[:, used] * reach[used] for bound in bounds)
    held = np.flatnonzero(np.isfinite(most[0]))
    hold = np.hstack([np.eye(k)[held], np.zeros((len(held), 1))])
    limits = np.hstack([least[:, held], -most[:, held]])
    right = np.hstack([-many, many, np.broadcast_to(limits, (len(many), limits.shape[1]))]) / size
    cost, free = np.eye(k + 1)[-1], np.zeros(k + 1, dtype=bool)

    def least_widest(overlap: bool, of: NDArray[np.bool_]) -> Optimum:
        low = np.hstack([unit, ones * overlap])
        rows = np.vstack([low, np.hstack([-unit, ones]), hold, -hold])
        return minimise(cost, rows, right[of], free)

    found = least_widest(not rigid, np.ones(len(many), dtype=bool))
    best, stuck = found.values * size, ~found.converged
    if rigid and stuck.any():
        best[stuck] = least_widest(True, stuck).values * size[stuck]
    motion = np.zeros((len(many), columns.shape[1]))
    motion[:, used] = best[:, :k] / reach[used]
    return motion


def rigid_free(columns: Array) -> Array:
    """(r, r) projection that takes these rigid motions out of a set of readings (least squares)."""
    reach = np.abs(columns).max(axis=0, initial=0.0)
    u, sigma, _ = np.linalg.svd(columns[:, reach > FAINT_MM], full_matrices=False)
    q = u[:, sigma > 1e-9 * sigma.max(initial=0.0)]
    free: Array = np.eye(len(columns)) - q @ q.T
    return free
