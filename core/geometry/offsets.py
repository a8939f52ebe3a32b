"""Target line through a table of offsets."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.curve import SplineLine
from core.geometry.fairness import fairness_warnings
from core.geometry.line import Array
from core.geometry.points import checked_points, chord_lengths
from core.geometry.spline import CubicSpline

LEAST_OFFSETS = 3
TURNS_BACK_RAD = np.radians(120.0)


def from_offsets(points_mm: ArrayLike, sd_mm: float = 0.0) -> SplineLine:
    """Spline through (k, 2) points in mm, k >= 3, in the order in which they are listed.

    A cubic spline in x and in y over cumulative chord length, its ends not-a-knot so that the end
    curvature is free. sd_mm : how far off the line itself may be, where it was measured. Curvature is > 0
    where the line turns left in the order given. ``warnings`` names a point that looks mistyped or out of
    order. Raises InputError with a field of ``line.offsets_mm``.
    """
    points = checked_points("line.offsets_mm", points_mm, LEAST_OFFSETS)
    spline = CubicSpline(chord_lengths(points), points)
    odd = _order_warnings(points) + fairness_warnings(points)
    return SplineLine(spline, warnings=odd, smoothing_sd_mm=sd_mm)


def _order_warnings(points: Array) -> tuple[str, ...]:
    """A sentence if the polygon turns back on itself, as rows in the wrong order do."""
    steps = np.diff(points, axis=0)
    turn = np.diff(np.arctan2(steps[:, 1], steps[:, 0]))
    sharp = np.flatnonzero(np.abs(np.remainder(turn + np.pi, 2 * np.pi) - np.pi) > TURNS_BACK_RAD)
    if not sharp.size:
        return ()
    k = int(sharp[0]) + 1
    x, y = points[k]
    return (f"The line turns back on itself at point {k + 1} ({x:g} mm, {y:g} mm); are the points in order?",)
