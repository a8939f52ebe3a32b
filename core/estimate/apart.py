"""What rounds of one shape say by how they differ: there the error that they share is none.

Each round of a shape is read as unsure as makes their mean as unsure as it is (:mod:`shared_error`). Taken as
independent of one another they are then too unsure of what differs between meridians, which is all that tells
lobes: the template as cut, and what the geometry leaves out near the end, are the same in all and cancel. So
what is missing is given once all rounds of a shape are read: their differences once more, at such a variance
that both together say what the gauge leaves.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from core.estimate.around import About
from core.estimate.gaussian import Belief, read
from core.estimate.memory import Memory
from core.estimate.seated import Reading
from core.estimate.uneven import Uneven
from core.kinds.base import ReadOnMeridians
from core.readings.rounds import HeightsRead, RimRead, Round, Step

Array = NDArray[np.float64]
TELLS = (Round, RimRead, HeightsRead)  # steps that leave the shape as it is
LEAST = 1.05  # times its own variance, that a reading was taken to have: by less nothing is missing


def with_differences(
    uneven: Uneven, steps: Sequence[Step], k: int, memory: Memory, belief: Belief
) -> tuple[Belief, list[Reading]]:
    """The belief (n + ...) once round k is read, with what the rounds of its shape say by how they differ
    where it is the last of them; and that, if anything."""
    last = steps[k]
    if not uneven.lobes or isinstance(steps[k + 1] if k + 1 < len(steps) else None, TELLS):
        return belief, []
    rounds = []
    for i in range(k, -1, -1):
        step = steps[i]
        if not isinstance(step, TELLS):
            break
        if isinstance(step, Round) and isinstance(last, Round) and step.template == last.template:
            rounds.append((step, memory.geometry[i], set(memory.set_aside.get(i, {}))))
    told = differences(uneven, rounds, memory.alone_mm[k])
    if told is None:
        return belief, []
    size = told.rows_x.shape[1]
    rows = np.hstack([told.rows_x, np.zeros((len(told.value), len(belief.mean) - size))])
    return read(belief, rows, told.value - told.offset - rows @ belief.mean, told.variance).belief, [told]


def differences(
    uneven: Uneven, rounds: Sequence[tuple[Round, About, set[int]]], alone_mm: Array
) -> Reading | None:
    """How rounds of one shape and template differ, as far as lobes show along a meridian, in standard
    deviations of what is missing; None where that is nothing, or too little was read.

    rounds : each as unsure as it was read, what it was read about, and stations that were set aside;
    alone_mm : (n,) sd of how one differs from another
    """
    part, n, at = uneven.job.part, uneven.sites, _read_by_all(rounds)
    if not isinstance(part, ReadOnMeridians) or len(rounds) < 2:
        return None
    taken = np.mean([step.sd_mm[at] ** 2 for step, _, _ in rounds], axis=0)
    alone = alone_mm[at] ** 2
    seating = rounds[-1][1][0].seating[at]
    if len(at) <= len(part.lobes) + seating.shape[1] or np.any(taken < LEAST * alone):
        return None
    weight = np.sqrt(1.0 / alone - 1.0 / taken)[:, None]
    still = np.linalg.qr(weight * seating)[0]
    shapes = weight * part.lobes_mm(part.sites.position_mm[at])
    turned = (weight * np.linalg.qr(shapes - still @ (still.T @ shapes))[0]).T
    own = []
    for step, (lin, x, seat), _ in rounds:
        offset = lin.deviation_mm - lin.influence @ x - lin.seating @ seat
        beside = uneven.rows(step)
        own.append(turned @ np.column_stack([lin.influence, beside, offset, step.gaps_mm])[at])
    apart = np.tensordot(_contrasts(len(rounds)), np.array(own), axes=1).reshape(-1, n + uneven.size + 2)
    count = len(apart)
    return Reading(
        np.arange(count),
        apart[:, -1],
        apart[:, -2],
        apart[:, :-2],
        np.zeros((count, seating.shape[1])),
        np.ones(count),
    )


def _read_by_all(rounds: Sequence[tuple[Round, About, set[int]]]) -> NDArray[np.intp]:
    read = [np.isfinite(step.gaps_mm) for step, _, _ in rounds]
    for which, (_, _, aside) in zip(read, rounds, strict=True):
        which[list(aside)] = False
    return np.flatnonzero(np.all(read, axis=0))


def _contrasts(count: int) -> Array:
    """(count - 1, count) orthonormal rows whose sums are nothing (Helmert's)."""
    rows = np.tril(np.ones((count, count)), -1)[1:] - np.diag(np.arange(count, dtype=float))[1:]
    return np.asarray(rows / np.linalg.norm(rows, axis=1)[:, None])
