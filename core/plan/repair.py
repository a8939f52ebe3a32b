"""What one action alone can still put right: the widest gap left after the best further work with it.

A pass has overshot when more of the same can no longer bring the part within its tolerance. That is a
linear program for every shape that may be found; further work is taken from smooth humps along the part, as
many as readings can tell apart: a few of a bar, nearly every ring of a dish.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.dual_simplex import least
from core.estimate.response import SIGN
from core.plan.outlook import Goal

Array = NDArray[np.float64]
HUMPS = 8  # of a bar
PLACES = 24  # readings that are enough to see what humps of that size do
MOST_SHARE = 2.0


def left_by(
    goal: Goal, work: Array, action: str, start: NDArray[np.intp] | None = None
) -> tuple[Array, NDArray[np.intp]]:
    """(s,) widest gap that this action alone cannot take away, mm; and where it was found, to start from for
    shapes that are near.

    work : (s, n) remaining work of each shape that may be found.
    """
    places = _places(goal)
    readings = goal.offset[places] + work @ goal.rows[places].T
    free = _mending(goal, action)
    up = np.ones((len(free), 1))
    rows = np.vstack([np.hstack([free, up * (not goal.job.template.rigid)]), np.hstack([-free, up])])
    size = np.abs(readings).max(axis=1, keepdims=True)
    cost = np.eye(rows.shape[1])[-1]
    best = least(cost, rows, np.hstack([-readings, readings]) / size, np.full(len(cost), np.inf), start)
    return best.values[:, -1] * size[:, 0], best.rows


def share_mendable(
    goal: Goal,
    work: Array,
    done: Array,
    action: str,
    limit_mm: Array,
    start: NDArray[np.intp] | None = None,
) -> tuple[Array, NDArray[np.intp]]:
    """(s,) largest share of a pass after which this action alone can still mend the part, MOST_SHARE at most;
    and where it was found, to start from for other limits.

    work : (s, n) remaining work before it; done : (s, n) signed work of the whole pass; limit_mm : (s,)
    widest gap that counts as mended, within reach of a pass of no strokes.
    """
    places = _places(goal)
    readings = goal.offset[places] + work @ goal.rows[places].T
    slopes = -(done @ goal.rows[places].T)
    free = _mending(goal, action)
    size = np.abs(readings).max(axis=1, keepdims=True)
    rows = np.concatenate(
        [np.broadcast_to(free, (len(work), *free.shape)), (slopes / size)[:, :, None]], axis=2
    )
    low = np.zeros_like(readings) if goal.job.template.rigid else -limit_mm[:, None]
    at_least = np.hstack([(low - readings) / size, (readings - limit_mm[:, None]) / size])
    cost, upper = np.zeros(rows.shape[2]), np.full(rows.shape[2], np.inf)
    cost[-1], upper[-1] = -1.0, MOST_SHARE
    best = least(cost, np.concatenate([rows, -rows], axis=1), at_least, upper, start)
    return np.where(best.solved, best.values[:, -1], 0.0), best.rows  # nothing allowed where nothing mends it


def _places(goal: Goal) -> NDArray[np.intp]:
    return np.linspace(0, goal.read - 1, min(goal.read, PLACES)).round().astype(np.intp)


def _mending(goal: Goal, action: str) -> Array:
    """(p, h + 2 k) what further humps of work, and rigid motions forth and back, do to the readings, each
    scaled to 1; none of them is ever negative."""
    places = _places(goal)
    humps = -SIGN[action] * goal.felt_rows[places] @ _humps(goal)
    columns = goal.columns[places][:, goal.loose]
    mending = np.hstack([humps, columns, -columns])
    reach = np.abs(mending).max(axis=0, initial=0.0)
    return np.asarray(mending[:, reach > 0.0] / reach[reach > 0.0])


def _humps(goal: Goal) -> Array:
    """(n, h) triangles side by side over the sites that are felt; where the template has no play, and what a
    stroke does is read at its own site, single sites."""
    n = len(goal.silent)
    if not goal.columns.shape[1]:
        return np.asarray(np.eye(n)[:, _places(goal)] * ~goal.silent[:, None])
    centres = np.linspace(0.0, n - 1.0, min(max(HUMPS, goal.told) if goal.apart else HUMPS, n))
    apart = centres[1] - centres[0]
    humps: Array = np.maximum(0.0, 1.0 - np.abs(np.arange(n)[:, None] - centres) / apart)
    return np.asarray(humps * ~goal.silent[:, None])
