"""Whole strokes: carry what rounding leaves along the part, then exchange single strokes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
EXCHANGES = 24


def whole_strokes(strokes: Array, work: Callable[[Array], Array], most: Array, free: Array) -> Array:
    """(n,) whole counts whose work leaves the part as near as may be to what was aimed at.

    strokes : (n,) not whole; work : counts (n,) -> unsigned work (n,), site by site; most : (n,)
    largest count allowed; free : (r, n) readings per unit of work with rigid motion taken out.
    """
    aimed = work(strokes)
    counts = _carried(strokes, work, aimed, most)
    return _exchanged(counts, work, aimed, most, free)


def _carried(strokes: Array, work: Callable[[Array], Array], aimed: Array, most: Array) -> Array:
    """Round so that the sum of work along the part is kept."""
    n = len(strokes)
    below = np.minimum(np.floor(strokes), most)
    above = np.minimum(below + 1.0, most)
    low, high = np.where(below > 0, work(below), 0.0), np.where(above > 0, work(above), 0.0)
    counts, owed = np.zeros(n), 0.0
    for j in range(n):
        want = aimed[j] + owed
        up = abs(high[j] - want) < abs(low[j] - want)
        counts[j] = above[j] if up else below[j]
        owed = want - (high[j] if up else low[j])
        owed = min(max(owed, -high[j]), high[j])  # what a capped site cannot do is not piled on the next
    return counts


def _exchanged(counts: Array, work: Callable[[Array], Array], aimed: Array, most: Array, free: Array) -> Array:
    """Add or take single strokes while that brings the widest reading nearer to the aim."""
    n = len(counts)
    best = counts.copy()
    for _ in range(EXCHANGES):
        now = np.where(best > 0, work(best), 0.0)
        up = np.where(best < most, work(best + 1.0) - now, 0.0)
        fewer = np.maximum(best - 1.0, 0.0)
        down = np.where(best > 0, np.where(fewer > 0, work(fewer), 0.0) - now, 0.0)
        off = free @ (aimed - now)
        trial = np.hstack([np.abs(off[:, None] - free * up), np.abs(off[:, None] - free * down)]).max(axis=0)
        pick = int(np.argmin(trial))
        if trial[pick] >= np.abs(off).max() * (1.0 - 1e-6):
            break
        best[pick % n] += 1.0 if pick < n else -1.0
    return best
