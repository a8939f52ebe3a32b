"""Tables of points as they come from a drawing or a tracing: what they must be to be used."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.geometry.line import Array

LARGEST_TABLE = 2000


def checked_points(field: str, points_mm: ArrayLike, least: int) -> Array:
    """(k, 2) finite points, none the same as the one before it; InputError names the first bad one.

    Rows are counted from 0 in field names, as in ``line.offsets_mm[3]``.
    """
    try:
        points = np.array(points_mm, dtype=float)
    except (TypeError, ValueError) as error:
        raise InputError(field, points_mm, "a list of [x, y] pairs in mm is wanted") from error
    if points.ndim != 2 or points.shape[1] != 2:
        raise InputError(field, points_mm, "a list of [x, y] pairs in mm is wanted")
    if not least <= len(points) <= LARGEST_TABLE:
        so_far = f"{len(points)} points so far" if len(points) < least else f"{len(points)} points"
        raise InputError(field, so_far, f"{least} to {LARGEST_TABLE} points are wanted")
    lost = np.flatnonzero(~np.isfinite(points).all(axis=1))
    if lost.size:
        raise InputError(f"{field}[{lost[0]}]", points[lost[0]].tolist(), "two plain numbers are wanted")
    same = np.flatnonzero((np.diff(points, axis=0) == 0.0).all(axis=1))
    if same.size:
        raise InputError(
            f"{field}[{same[0] + 1}]",
            points[same[0] + 1].tolist(),
            "a point other than the one before it is wanted",
        )
    return points


def chord_lengths(points_mm: Array) -> Array:
    """(k,) length along the polygon through the points, mm, first 0."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points_mm, axis=0).T))])
