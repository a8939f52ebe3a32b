"""Does a table of offsets hold a point that was mistyped?

Each point is compared with the cubic through its two neighbours on either side. One wrong point
leaves a signature in these differences that alternates (for even spacing 1/6, -2/3, 1, -2/3, 1/6 of
the error, the fourth difference that loftsmen and table makers look at), while a change of curvature
does not. The point whose correction would take most of the roughness around it away is named.
"""

from __future__ import annotations

import numpy as np

from core.geometry.line import Array
from core.geometry.points import chord_lengths

LEAST_POINTS = 9
REACH = 4  # differences looked at on either side of a point
SHARE = 0.95  # of the roughness nearby that one correction must take away
TIMES_TYPICAL = 4.0  # how much larger than the roughness left elsewhere the error must be
RESOLUTION = 1e-6  # of the line's length: smaller errors are rounding


def fairness_warnings(points_mm: Array) -> tuple[str, ...]:
    """One sentence for the point that looks mistyped, or none; points count from 1.

    points_mm : (k, 2). Below 9 points nothing is said. The first and the last point have neighbours on one
    side only: a wrong one and a curve that changes there look the same, so the sentence asks for both.
    """
    if len(points_mm) < LEAST_POINTS:
        return ()
    along = chord_lengths(points_mm)
    lean = neighbour_differences(along)
    shift, share = _corrections(lean, lean @ points_mm)
    size = np.hypot(*shift.T)
    worst = _most_likely(size, share)
    mended = points_mm.copy()
    mended[worst] -= shift[worst]
    seen = float(np.abs(lean[:, worst]).max())  # of an error: all of it inside, a sixth of it at an end
    floor = max(TIMES_TYPICAL * _roughness(lean @ mended) / seen, RESOLUTION * along[-1])
    if share[worst] <= SHARE or size[worst] <= floor:
        return ()
    x, y = points_mm[worst]
    end = worst in (0, len(points_mm) - 1)
    asked = "was it mistyped, or does the line change its curve there?" if end else "was it mistyped?"
    return (
        f"Point {worst + 1} ({x:g} mm, {y:g} mm) lies {size[worst]:.3g} mm off the curve of its neighbours; "
        f"{asked}",
    )


def _most_likely(size: Array, share: Array) -> int:
    """The point with the largest error among those that explain the roughness nearby; or the one beside it
    that explains it better: an end and the point next to it leave much the same mark."""
    worst = int(np.argmax(np.where(share > SHARE, size, 0.0)))
    near = range(max(0, worst - 2), min(len(share), worst + 3))
    return max(near, key=lambda i: share[i])


def neighbour_differences(along_mm: Array) -> Array:
    """(k, k) matrix: point minus the cubic through the two points on either side of it.

    The first and last two rows are zero: those points have too few neighbours.
    """
    k = len(along_mm)
    matrix = np.zeros((k, k))
    for i in range(2, k - 2):
        near = np.array([i - 2, i - 1, i + 1, i + 2])
        matrix[i, i] = 1.0
        for j in near:
            others = along_mm[near[near != j]]
            matrix[i, j] = -np.prod((along_mm[i] - others) / (along_mm[j] - others))
    return matrix


def _corrections(lean: Array, rough: Array) -> tuple[Array, Array]:
    """For each point its likely error (k, 2) and the share (k,) of nearby roughness that it explains.

    What is the same for all differences nearby belongs to the shape, so it is taken out first.
    """
    k = len(rough)
    shift, share = np.zeros((k, 2)), np.zeros(k)
    for i in range(k):
        first = min(max(2, i - REACH), max(2, k - 3 - 2 * REACH))
        near = slice(first, min(k - 2, first + 2 * REACH + 1))
        both = np.column_stack([lean[near, i], rough[near]])
        both = both - both.mean(axis=0)
        mark, seen = both[:, 0], both[:, 1:]
        total, strength = float(np.sum(seen**2)), float(mark @ mark)
        if total > 0.0 and strength > 0.0:
            shift[i] = mark @ seen / strength
            share[i] = strength * np.sum(shift[i] ** 2) / total
    return shift, share


def _roughness(rough: Array) -> float:
    """Typical departure of a difference from the mean of those beside it, mm."""
    inner = rough[2:-2]
    if len(inner) < 3:
        return 0.0
    return float(np.median(np.hypot(*(inner[1:-1] - 0.5 * (inner[:-2] + inner[2:])).T)))
