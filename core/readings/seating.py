"""The best seating of a template: the one that makes the widest gap as small as it can be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.linear_program import minimise

Array = NDArray[np.float64]
FAINT = 1e-4  # rigid motions that change the readings less than this share of the strongest are left out


@dataclass(frozen=True)
class Seated:
    """widest_mm : (...) widest gap; motion : (..., k) of the part that gives it; gaps_mm : (..., r)"""

    widest_mm: Array
    motion: Array
    gaps_mm: Array


def best_seating(readings_mm: Array, columns: Array, rigid: bool) -> Seated:
    """Seat the template as well as it goes, for one or many sets of readings.

    readings_mm : (r,) or (s, r) as read under some seating; columns : (r, k) mm per unit of each
    rigid motion; rigid : no reading may fall below zero, else the largest either way counts.
    """
    many = np.atleast_2d(readings_mm)
    reach, back = _independent(columns)
    k = reach.shape[1]
    ones = np.ones((len(columns), 1))
    if rigid:
        rows = np.vstack([np.hstack([reach, 0.0 * ones]), np.hstack([-reach, ones])])
    else:
        rows = np.vstack([np.hstack([reach, ones]), np.hstack([-reach, ones])])
    size = np.maximum(np.abs(many).max(axis=1, keepdims=True), 1e-9)
    right = np.hstack([-many, many]) / size
    cost = np.zeros(k + 1)
    cost[-1] = 1.0
    best = minimise(cost, rows, right, np.zeros(k + 1, dtype=bool)).values * size
    gaps = many + best[:, :k] @ reach.T
    if rigid:
        gaps = gaps - np.minimum(gaps.min(axis=1, keepdims=True), 0.0)
    widest = np.abs(gaps).max(axis=1)
    motion = best[:, :k] @ back.T
    if readings_mm.ndim == 1:
        return Seated(widest[0], motion[0], gaps[0])
    return Seated(widest, motion, gaps)


def rigid_free(columns: Array) -> Array:
    """(r, r) projection that takes every rigid motion out of a set of readings (least squares)."""
    reach, _ = _independent(columns)
    q, _ = np.linalg.qr(reach)
    free: Array = np.eye(len(columns)) - q @ q.T
    return free


def _independent(columns: Array) -> tuple[Array, Array]:
    """Rigid motions that do something, as unit columns (r, q), and the way back to (k, q) motions."""
    u, sigma, vt = np.linalg.svd(columns, full_matrices=False)
    kept = sigma > max(FAINT * sigma.max(initial=0.0), 1e-9)
    scale = np.sqrt(len(columns))
    return u[:, kept] * scale, vt[kept].T * (scale / sigma[kept])
