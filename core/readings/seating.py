"""The best seating of a template: the one that makes the widest gap as small as it can be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.dual_simplex import Corner, least

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

    readings_mm : (r,) or (s, r) as read under some seating; columns : (r, k) or (s, r, k) mm per unit of each
    rigid motion; bounds : (k,) or (s, k) least and most of each, infinite where free;
    rigid : no reading may fall below zero, else the largest either way counts. (A shape that no rigid
    motion frees of overlap is laid as a signed one, and its readings count from the lowest.) Among equal
    seatings it is one near the middle of the bounds that moves least, the last motions before the first.
    """
    columns = columns[0] if columns.ndim == 3 and len(columns) == 1 else columns  # quicker
    reach = np.abs(columns).max(axis=-2, initial=0.0)
    used = np.flatnonzero(np.all(np.atleast_2d(reach) > FAINT_MM, axis=0))
    reach = reach[..., used]
    unit = columns[..., used] / reach[..., None, :]
    low, high = (np.atleast_2d(bound)[:, used] * reach for bound in bounds)
    held = np.isfinite(high)
    middle = 0.5 * np.where(held, low + np.where(held, high, 0.0), 0.0)
    many = np.atleast_2d(readings_mm) + _shifted(unit, middle)
    size = np.maximum(np.abs(many).max(axis=1, keepdims=True), 1e-9)
    motion = np.zeros((len(many), columns.shape[-1]))
    moved = _least_widest(many / size, unit, (high - middle) / size, rigid) * size
    motion[:, used] = (middle + moved) / reach
    gaps = many + _shifted(unit, moved)
    if rigid:
        gaps = gaps - np.minimum(gaps.min(axis=1, keepdims=True), 0.0)
    widest = np.abs(gaps).max(axis=1)
    if readings_mm.ndim == 1:
        return Seated(widest[0], motion[0], gaps[0])
    return Seated(widest, motion, gaps)


def _least_widest(readings: Array, unit: Array, room: Array, rigid: bool) -> Array:
    """(s, k) motions within this room (s, k) either way; readings (s, r) and columns (r, k) or (s, r, k) are
    about one."""
    either = np.repeat(unit, 2, axis=-1) * np.tile([1.0, -1.0], unit.shape[-1])  # forth and back, >= 0
    cost, ones = np.eye(either.shape[-1] + 1)[-1], np.ones((*unit.shape[:-1], 1))
    upper = np.hstack([np.repeat(room, 2, axis=1), np.full((len(room), 1), np.inf)])
    upper, right = np.broadcast_to(upper, (len(readings), len(cost))), np.hstack([-readings, readings])

    def seated(overlap: bool, of: NDArray[np.bool_]) -> Corner:
        sides = ([either, ones * overlap], [-either, ones])
        rows = np.concatenate([np.concatenate(side, axis=-1) for side in sides], axis=-2)
        return least(cost, rows if rows.ndim == 2 else rows[of], right[of], upper[of])

    found = seated(not rigid, np.ones(len(readings), dtype=bool))
    best, stuck = found.values, ~found.solved
    if rigid and stuck.any():
        best[stuck] = seated(True, stuck).values
    return np.asarray(best[:, :-1:2] - best[:, 1:-1:2])


def _shifted(columns: Array, motion: Array) -> Array:
    """(s, r) what motions (s, k) change of the readings."""
    return np.asarray(motion @ columns.T if columns.ndim == 2 else (columns @ motion[:, :, None])[:, :, 0])


def rigid_free(columns: Array) -> Array:
    """(r, r) projection that takes these rigid motions out of a set of readings (least squares)."""
    reach = np.abs(columns).max(axis=0, initial=0.0)
    u, sigma, _ = np.linalg.svd(columns[:, reach > FAINT_MM], full_matrices=False)
    q = u[:, sigma > 1e-9 * sigma.max(initial=0.0)]
    free: Array = np.eye(len(columns)) - q @ q.T
    return free
