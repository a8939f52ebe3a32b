"""What one action alone can still put right: the widest gap left after the best further work with it.

A pass has overshot when more of the same can no longer bring the part within its tolerance. That is a
linear program for every shape that may be found; further work is taken from a few smooth humps
along the part, which is as fine as a tolerance can tell.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.linear_program import minimise
from core.plan.outlook import Goal

Array = NDArray[np.float64]
HUMPS = 9
PLACES = 36  # readings that are enough to see what humps of that size do
NEAR_ENOUGH = 2e-3  # of the widest reading


def left_by(goal: Goal, work: Array, action: str) -> Array:
    """(s,) widest gap that this action alone cannot take away, mm.

    work : (s, n) remaining work of each shape that may be found.
    """
    places = np.linspace(0, goal.read - 1, min(goal.read, PLACES)).round().astype(int)
    readings = goal.offset[places] + work @ goal.rows[places].T
    humps = SIGN[action] * goal.felt_rows[places] @ _humps(goal)
    reach = np.abs(humps).max(axis=0)
    humps = humps[:, reach > 0.0] / reach[reach > 0.0]
    columns = goal.columns[places][:, goal.loose]
    columns = columns / np.abs(columns).max(axis=0, initial=1e-9)
    ones = np.ones((len(humps), 1))
    rigid = goal.job.template.rigid
    rows = np.vstack([np.hstack([-humps, columns, ones * (not rigid)]), np.hstack([humps, -columns, ones])])
    size = np.abs(readings).max(axis=1, keepdims=True)
    right = np.hstack([-readings, readings]) / size
    cost = np.zeros(rows.shape[1])
    cost[-1] = 1.0
    bounded = np.zeros(rows.shape[1], dtype=bool)
    bounded[: humps.shape[1]] = True
    best = minimise(cost, rows, right, bounded, tolerance=NEAR_ENOUGH).values
    widest: Array = np.maximum(best[:, -1], 0.0) * size[:, 0]
    return widest


def _humps(goal: Goal) -> Array:
    """(n, HUMPS) triangles side by side over the sites that are felt."""
    n = len(goal.silent)
    centres = np.linspace(0.0, n - 1.0, min(HUMPS, n))
    apart = centres[1] - centres[0]
    humps: Array = np.maximum(0.0, 1.0 - np.abs(np.arange(n)[:, None] - centres) / apart)
    return np.asarray(humps * ~goal.silent[:, None])
