"""What one action alone can still put right: the widest gap left after the best further work with it.

A pass has overshot when more of the same can no longer bring the part within its tolerance. That is a
linear program for every shape that may be found; further work is taken from a few smooth humps along the
part, which is as fine as a tolerance can tell of a bar.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.linear_program import minimise
from core.plan.outlook import Goal

Array = NDArray[np.float64]
HUMPS = 8
PLACES = 24  # readings that are enough to see what humps of that size do
NEAR_ENOUGH = 2e-3  # of the widest reading
MOST_SHARE = 2.0


def left_by(goal: Goal, work: Array, action: str) -> Array:
    """(s,) widest gap that this action alone cannot take away, mm.

    work : (s, n) remaining work of each shape that may be found.
    """
    places = _places(goal)
    readings = goal.offset[places] + work @ goal.rows[places].T
    free, columns = _mending(goal, action)
    up = np.ones((len(free), 1)) * (not goal.job.template.rigid)
    rows = np.vstack([np.hstack([free, columns, up]), np.hstack([-free, -columns, np.ones_like(up)])])
    size = np.abs(readings).max(axis=1, keepdims=True)
    right = np.hstack([-readings, readings]) / size
    cost = np.zeros(rows.shape[1])
    cost[-1] = 1.0
    best = minimise(cost, rows, right, _bounded(free, columns, 1), tolerance=NEAR_ENOUGH).values
    widest: Array = np.maximum(best[:, -1], 0.0) * size[:, 0]
    return widest


def share_mendable(goal: Goal, work: Array, done: Array, action: str, limit_mm: Array) -> Array:
    """(s,) largest share of a pass after which this action alone can still mend the part, MOST_SHARE at most.

    work : (s, n) remaining work before it; done : (s, n) signed work of the whole pass; limit_mm : (s,)
    widest gap that counts as mended, within reach of a pass of no strokes.
    """
    places = _places(goal)
    readings = goal.offset[places] + work @ goal.rows[places].T
    slopes = -(done @ goal.rows[places].T)
    free, columns = _mending(goal, action)
    size = np.abs(readings).max(axis=1, keepdims=True)
    upper = np.broadcast_to(
        np.hstack([free, columns]), (len(work), len(places), free.shape[1] + columns.shape[1])
    )
    rows = np.concatenate([upper, (slopes / size)[:, :, None]], axis=2)
    low = np.zeros_like(readings) if goal.job.template.rigid else -limit_mm[:, None]
    capped = np.zeros((len(work), 1, rows.shape[2]))
    capped[:, :, -1] = -1.0
    at_least = np.hstack(
        [(low - readings) / size, (readings - limit_mm[:, None]) / size, np.full((len(work), 1), -MOST_SHARE)]
    )
    cost = np.zeros(rows.shape[2])
    cost[-1] = -1.0
    best = minimise(
        cost,
        np.concatenate([rows, -rows, capped], axis=1),
        at_least,
        _bounded(free, columns, 1),
        tolerance=NEAR_ENOUGH,
    )
    return np.where(best.converged, best.values[:, -1], 0.0)  # nothing allowed where nothing mends it


def _places(goal: Goal) -> NDArray[np.intp]:
    return np.linspace(0, goal.read - 1, min(goal.read, PLACES)).round().astype(np.intp)


def _mending(goal: Goal, action: str) -> tuple[Array, Array]:
    """What further humps of work (p, h) and rigid motions (p, k) do to the readings, each scaled to 1."""
    places = _places(goal)
    humps = -SIGN[action] * goal.felt_rows[places] @ _humps(goal)
    reach = np.abs(humps).max(axis=0)
    columns = goal.columns[places][:, goal.loose]
    return humps[:, reach > 0.0] / reach[reach > 0.0], columns / np.abs(columns).max(axis=0, initial=1e-9)


def _bounded(humps: Array, columns: Array, last: int) -> NDArray[np.bool_]:
    """Humps and the last variables are never negative."""
    return np.array([True] * humps.shape[1] + [False] * columns.shape[1] + [True] * last)


def _humps(goal: Goal) -> Array:
    """(n, h) triangles side by side over the sites that are felt; where the template has no play, and what a
    stroke does is read at its own site, single sites."""
    n = len(goal.silent)
    if not goal.columns.shape[1]:
        return np.asarray(np.eye(n)[:, _places(goal)] * ~goal.silent[:, None])
    centres = np.linspace(0.0, n - 1.0, min(HUMPS, n))
    apart = centres[1] - centres[0]
    humps: Array = np.maximum(0.0, 1.0 - np.abs(np.arange(n)[:, None] - centres) / apart)
    return np.asarray(humps * ~goal.silent[:, None])
