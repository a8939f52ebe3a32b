"""Whole strokes: as few zones of equal count as the aim allows, single strokes exchanged at the end."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
EXCHANGES = 24
WORTH = 0.1  # of what may be given away for fewer zones, that an exchanged stroke has to bring
LEAST = 0.05  # strokes; a site that wants less wants none
BLOCKS = (12, 6, 3, 2)  # sites that may share a count, widest first


def whole_strokes(
    strokes: Array, work: Callable[[Array], Array], most: Array, free: Array, allowed_mm: float
) -> Array:
    """(n,) whole counts that leave the part as it was aimed at, in as few zones as that allows.

    strokes : (n,) not whole; work : counts (n,) -> unsigned work (n,), site by site; most : (n,)
    largest count allowed; free : (r, n) readings per unit of work with rigid motion taken out;
    allowed_mm : how far a reading may end from the aim for the sake of fewer zones.
    """
    aimed = work(strokes)
    for size in BLOCKS:
        counts = _in_blocks(strokes, work, aimed, most, size)
        if np.abs(free @ (aimed - work(counts))).max() <= allowed_mm:
            return counts
    single = _in_blocks(strokes, work, aimed, most, 1)
    return _exchanged(single, work, aimed, most, free, WORTH * allowed_mm)


def _in_blocks(strokes: Array, work: Callable[[Array], Array], aimed: Array, most: Array, size: int) -> Array:
    """One count for every ``size`` neighbours, chosen so that the sum of work along the part is kept.

    A site that wants nothing, or may not have the count, breaks the block.
    """
    counts, owed = np.zeros(len(strokes)), 0.0
    table = np.array(
        [work(np.minimum(np.full(len(most), float(k)), most)) for k in range(int(max(strokes)) + 4)]
    )
    for block in _blocks(strokes, size):
        want = float(aimed[block].sum()) + owed
        middle = float(np.mean(strokes[block]))
        low = max(int(middle) - 1, 0)
        done = table[low : low + 4, block].sum(axis=1)
        pick = int(np.argmin(np.abs(done - want)))
        counts[block] = np.minimum(low + pick, most[block])
        owed = want - float(done[pick])
        largest = float(done[-1])
        owed = min(max(owed, -largest), largest)  # what a capped block cannot do is not piled on the next
    return counts


def _blocks(strokes: Array, size: int) -> list[slice]:
    """Runs of sites that want strokes, cut into pieces of ``size``."""
    turns = np.diff(np.concatenate([[0], (strokes > LEAST).astype(int), [0]]))
    starts, ends = np.flatnonzero(turns == 1), np.flatnonzero(turns == -1)
    return [
        slice(first, min(first + size, int(end)))
        for start, end in zip(starts, ends, strict=True)
        for first in range(int(start), int(end), size)
    ]


def _exchanged(
    counts: Array, work: Callable[[Array], Array], aimed: Array, most: Array, free: Array, worth_mm: float
) -> Array:
    """Add or take single strokes while each of them brings the widest reading nearer to the aim."""
    n = len(counts)
    best = counts.copy()
    for _ in range(EXCHANGES):
        now = work(best)
        up = np.where(best < most, work(best + 1.0) - now, 0.0)
        down = np.where(best > 0, work(np.maximum(best - 1.0, 0.0)) - now, 0.0)
        off = free @ (aimed - now)
        trial = np.abs(off[:, None] - np.hstack([free * up, free * down])).max(axis=0)
        pick = int(np.argmin(trial))
        if trial[pick] >= np.abs(off).max() - worth_mm:
            break
        best[pick % n] += 1.0 if pick < n else -1.0
    return best
