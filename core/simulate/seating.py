"""The best seating of a rigid template: the one whose widest gap is least, with no overlap.

Each step is a small linear programme in four unknowns (widest gap, two shifts, one rotation), solved by
the simplex method on its dual, whose basis is only 4 by 4; the geometry is then taken anew, until the
seating stops moving.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
View = Callable[[Array], tuple[Array, Array]]
"""pose (3,) -> gaps (r,) in mm and their slopes (r, 3) with the pose"""


def least_widest(gaps: Array, slopes: Array, low: Array, high: Array, overlap: bool) -> tuple[float, Array]:
    """Least possible widest gap and the motion that gives it.

    gaps : (r,) mm; slopes : (r, k) per unit of motion; low, high : (k,) bounds of the motion,
    low <= 0 <= high; overlap : False for 0 <= gap, True where the size of a signed gap counts
    """
    r, k = slopes.shape
    ones = np.ones((r, 1))
    lower = ones if overlap else np.zeros((r, 1))
    rows = np.vstack(
        [
            np.hstack([ones, -slopes]),
            np.hstack([lower, slopes]),
            np.hstack([np.zeros((k, 1)), np.eye(k)]),
            np.hstack([np.zeros((k, 1)), -np.eye(k)]),
        ]
    )
    right = np.concatenate([gaps, -gaps, low, -high])
    widest = int(np.argmax(gaps))
    # A basis that is feasible from the start: the widest gap, and one bound for each motion.
    bounds = [2 * r + j + (0 if slopes[widest, j] >= 0 else k) for j in range(k)]
    answer = _dual_simplex(rows, right, [widest, *bounds])
    return float(answer[0]), answer[1:]


def _dual_simplex(rows: Array, right: Array, basis: list[int]) -> Array:
    """y with least y[0] under rows @ y >= right, from a basis feasible for the dual."""
    first = np.zeros(rows.shape[1])
    first[0] = 1.0
    for turn in range(1000):
        square = rows[basis].T
        y = np.asarray(np.linalg.solve(square.T, right[basis]), dtype=np.float64)
        slack = rows @ y - right
        short = np.flatnonzero(slack < -1e-9)
        if not len(short):
            return y
        # The worst one first; the lowest index later on, which cannot cycle (Bland's rule).
        enters = int(np.argmin(slack)) if turn < 60 else int(short[0])
        share = np.linalg.solve(square, first)
        change = np.linalg.solve(square, rows[enters])
        usable = np.flatnonzero(change > 1e-12)
        if not len(usable):
            raise ArithmeticError("no seating within the bounds is free of overlap")
        ratio = share[usable] / change[usable]
        ties = usable[ratio <= ratio.min() + 1e-15]
        basis[min(ties, key=lambda i: basis[i])] = enters
    raise ArithmeticError("the seating was not found in 1000 steps")


def best_pose(view: View, start: Array, slip: Array, slip_mm: float, reach_mm: float, overlap: bool) -> Array:
    """Pose (3,) with the least widest gap.

    slip : (2,) unit vector along the bar; the template is held to marks, so that it may slide by
    no more than slip_mm from the start along it, while it may move by reach_mm across and turn freely
    """
    turn = np.array([[slip[0], -slip[1], 0.0], [slip[1], slip[0], 0.0], [0.0, 0.0, 2.0 / reach_mm]])
    pose = start.copy()
    for _ in range(40):
        gaps, slopes = view(pose)
        gone = float((pose - start)[:2] @ slip)
        low = np.array([min(-slip_mm - gone, 0.0), -reach_mm, -0.1 * reach_mm])
        high = np.array([max(slip_mm - gone, 0.0), reach_mm, 0.1 * reach_mm])
        _, motion = least_widest(gaps, slopes @ turn, low, high, overlap)
        pose = pose + turn @ motion
        if float(np.max(np.abs(motion))) < 1e-7:
            break
    return pose


def in_contact(view: View, pose: Array, across: Array) -> Array:
    """The pose moved along ``across`` (unit vector, outward of the gap) until the least gap is zero."""
    for _ in range(20):
        gaps, slopes = view(pose)
        gain = slopes[:, :2] @ across
        step = float(np.max(-gaps / np.where(gain > 0.05, gain, np.inf)))
        pose = pose + np.array([across[0], across[1], 0.0]) * step
        if abs(step) < 1e-7:
            break
    return pose
