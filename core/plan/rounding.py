"""Whole strokes: as few zones of equal count as the aim allows, single strokes exchanged at the end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
EXCHANGES = 40
WORTH = 0.05  # of what may be given away for fewer zones, that an exchanged stroke has to bring
LEAST = 0.05  # strokes; a site that wants less wants none
BLOCKS = (12, 6, 3, 2)  # sites that may share a count, widest first
TRIED = 60  # single exchanges, the best ones, that are also tried two at a time


@dataclass(frozen=True)
class Aim:
    """What whole counts should come near to.

    work : counts (n,) -> unsigned work (n,), site by site; most : (n,) largest count allowed; wanted : (n,)
    unsigned work; rest : (r,) readings that exactly this work leaves, zeros to come near to it and no
    more; free : (r, n) what a lack of work adds to them, rigid motion taken out; width : readings
    (s, r) -> (s,) widest gap; allowed_mm : widest gap that is near enough for the sake of fewer zones;
    closed : the last site is the neighbour of the first
    """

    work: Callable[[Array], Array]
    most: Array
    wanted: Array
    rest: Array
    free: Array
    width: Callable[[Array], Array]
    allowed_mm: float
    closed: bool = False

    def readings(self, counts: Array) -> Array:
        """(r,) what these counts leave."""
        return np.asarray(self.rest + self.free @ (self.wanted - self.work(counts)))

    def missed_mm(self, counts: Array) -> float:
        """Widest gap that these counts leave."""
        return float(self.width(self.readings(counts)[None, :])[0])


def whole_strokes(strokes: Array, aim: Aim) -> Array:
    """(n,) whole counts that leave the part as it was aimed at, in as few zones as that allows.

    strokes : (n,) not whole, that do the wanted work.
    """
    for size in BLOCKS:
        counts = _in_blocks(strokes, aim, size)
        if counts.any() and aim.missed_mm(counts) <= aim.allowed_mm:
            return counts
    found = _exchanged(_in_blocks(strokes, aim, 1), aim)
    if aim.missed_mm(found) <= aim.allowed_mm:
        return found
    return min(found, _exchanged(_in_blocks(strokes, aim, 1, -1), aim), key=aim.missed_mm)


def _in_blocks(strokes: Array, aim: Aim, size: int, step: int = 1) -> Array:
    """One count for every ``size`` neighbours, chosen so that the sum of work along the part is kept.

    A site that wants nothing, or may not have the count, breaks the block. step : -1 to go from the far
    end to the near one.
    """
    counts, owed = np.zeros(len(strokes)), 0.0
    table = np.array(
        [
            aim.work(np.minimum(np.full(len(strokes), float(k)), aim.most))
            for k in range(int(max(strokes)) + 4)
        ]
    )
    for block in _blocks(strokes, size, aim.closed)[::step]:
        want = float(aim.wanted[block].sum()) + owed
        middle = float(np.mean(strokes[block]))
        low = max(int(middle) - 1, 0)
        done = table[low : low + 4, block].sum(axis=1)
        pick = int(np.argmin(np.abs(done - want)))
        counts[block] = np.minimum(low + pick, aim.most[block])
        owed = want - float(done[pick])
        largest = float(done[-1])
        owed = min(max(owed, -largest), largest)  # what a capped block cannot do is not piled on the next
    return counts


def _blocks(strokes: Array, size: int, closed: bool) -> list[NDArray[np.intp]]:
    """Runs of sites that want strokes, cut into pieces of ``size``; a ring is opened where none are."""
    wants = strokes > LEAST
    order = np.roll(np.arange(len(wants)), -int(np.argmin(wants)) if closed else 0)
    turns = np.diff(np.concatenate([[0], wants[order].astype(int), [0]]))
    starts, ends = np.flatnonzero(turns == 1), np.flatnonzero(turns == -1)
    return [
        order[first : min(first + size, int(end))]
        for start, end in zip(starts, ends, strict=True)
        for first in range(int(start), int(end), size)
    ]


def _exchanged(counts: Array, aim: Aim) -> Array:
    """Add or take strokes, one or two at a time, while that leaves a clearly smaller gap."""
    best, missed = counts.copy(), aim.missed_mm(counts)
    for _ in range(EXCHANGES):
        changes, left = _single_changes(best, aim)
        if not changes:  # no site may have a stroke, none has one
            break
        found = aim.width(left)
        order = np.argsort(found)[:TRIED]
        pick, least = [int(order[0])], float(found[order[0]])
        if least >= missed - WORTH * aim.allowed_mm:
            pick, least = _two_changes(order, left, aim, aim.readings(best))
        if least >= missed - WORTH * aim.allowed_mm:
            break
        for one in pick:
            best[changes[one][0]] += changes[one][1]
        best, missed = np.clip(best, 0.0, aim.most), least
    return best


def _single_changes(counts: Array, aim: Aim) -> tuple[list[tuple[int, float]], Array]:
    """Every stroke that may be added or taken, as (site, +1 or -1), and the readings (c, r) it leaves."""
    now, at = aim.work(counts), aim.readings(counts)
    up, down = np.flatnonzero(counts < aim.most), np.flatnonzero(counts > 0)
    more = aim.work(np.minimum(counts + 1.0, aim.most)) - now
    less = aim.work(np.maximum(counts - 1.0, 0.0)) - now
    changes = [(int(i), 1.0) for i in up] + [(int(i), -1.0) for i in down]
    moved = np.hstack([aim.free[:, up] * more[up], aim.free[:, down] * less[down]])
    return changes, np.asarray(at - moved.T)


def _two_changes(order: NDArray[np.intp], left: Array, aim: Aim, now: Array) -> tuple[list[int], float]:
    """The best two of these single changes together, and the gap they leave."""
    moved = left[order] - now
    both = now + moved[:, None, :] + moved[None, :, :]
    found = aim.width(both.reshape(-1, len(now))).reshape(len(order), len(order))
    np.fill_diagonal(found, np.inf)
    i, k = divmod(int(np.argmin(found)), len(order))
    return [int(order[i]), int(order[k])], float(found[i, k])
