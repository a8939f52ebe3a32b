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

    work : counts (..., n) -> unsigned work (..., n), site by site; most : (n,) largest count allowed;
    wanted : (n,) unsigned work; rest : (r,) readings that exactly this work leaves, zeros to come near to it
    and no more; free : (r, n) what a lack of work adds to them, rigid motion taken out; width : readings
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
    table = aim.work(np.minimum(np.arange(int(max(strokes)) + 4.0)[:, None], aim.most))
    for size in BLOCKS:
        counts = _in_blocks(strokes, aim, table, size)
        if counts.any() and aim.missed_mm(counts) <= aim.allowed_mm:
            return counts
    found = _exchanged(_in_blocks(strokes, aim, table, 1), aim)
    if aim.missed_mm(found) <= aim.allowed_mm:
        return found
    return min(found, _exchanged(_in_blocks(strokes, aim, table, 1, -1), aim), key=aim.missed_mm)


def _in_blocks(strokes: Array, aim: Aim, table: Array, size: int, step: int = 1) -> Array:
    """One count for every ``size`` neighbours, chosen so that the sum of work along the part is kept.

    A site that wants nothing, or may not have the count, breaks the block. table : (counts, n) work of every
    count at each site; step : -1 to go from the far end to the near one.
    """
    counts, blocks = np.zeros(len(strokes)), _blocks(strokes, size, aim.closed)
    if not blocks:
        return counts
    order, sizes = np.concatenate(blocks), np.array([len(block) for block in blocks])
    first = np.concatenate([[0], np.cumsum(sizes)[:-1]])
    low = np.maximum((np.add.reduceat(strokes[order], first) / sizes).astype(np.intp) - 1, 0)
    done = np.add.reduceat(table[:, order], first, axis=1)[low + np.arange(4)[:, None], np.arange(len(low))].T
    wanted = np.add.reduceat(aim.wanted[order], first)
    picked = low + _picks(wanted[::step].tolist(), done[::step].tolist())[::step]
    counts[order] = np.minimum(np.repeat(picked, sizes), aim.most[order])
    return counts


def _picks(wanted: list[float], done: list[list[float]]) -> NDArray[np.intp]:
    """Which of the works that each block may do come nearest to what it wants and is owed so far."""
    picks, owed = [], 0.0
    for want, works in zip(wanted, done, strict=True):
        owed += want
        pick = min(range(len(works)), key=[abs(work - owed) for work in works].__getitem__)
        picks.append(pick)
        largest = works[-1]
        owed = min(
            max(owed - works[pick], -largest), largest
        )  # what a capped block cannot do is not piled up
    return np.array(picks, dtype=np.intp)


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
    """The best two of these single changes together, and the gap they leave.

    A pair that leaves too wide a gap where single changes leave most is not looked at elsewhere.
    """
    count, moved = len(order), left[order] - now
    if count < 2:
        return [int(order[0])], np.inf
    most = np.unique([left[order].argmax(axis=1), left[order].argmin(axis=1)])
    there = now[most] + moved[:, None, most] + moved[None, :, most]
    least = aim.width(there.reshape(-1, len(most))).reshape(count, count)
    np.fill_diagonal(least, np.inf)
    near = np.array(divmod(int(np.argmin(least)), count))
    one, other = np.nonzero(least <= aim.width((now + moved[near].sum(axis=0))[None, :]) + 1e-9)
    found = aim.width(now + moved[one] + moved[other])
    best = int(np.argmin(found))
    return [int(order[one[best]]), int(order[other[best]])], float(found[best])
