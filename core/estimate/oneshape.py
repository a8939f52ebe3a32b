"""Rounds of one shape, read about the shape that all of them say it is.

Each round is read about what was believed once it was read itself. Where the first of several does not tell
work from lobes, that is far from what the last one leaves, and the slopes of the first are of another shape.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from core.estimate.around import About, about
from core.estimate.gaussian import Belief
from core.estimate.memory import Memory
from core.estimate.standing import of
from core.estimate.uneven import Uneven
from core.readings.rounds import HeightsRead, RimRead, Round, Step

Array = NDArray[np.float64]


def about_the_last(
    uneven: Uneven,
    steps: list[Step],
    after: Mapping[int, Belief],
    memory: Memory,
    least_mm: float,
) -> dict[int, About]:
    """Geometry of rounds, by index, where theirs shows something else by so much than what is believed once
    all of their shape is read; the template lies as their readings say.

    after : by round and by diameters, the belief over work, lobes and response once they are read; memory :
    of what rounds were read about
    """
    found: dict[int, About] = {}
    for together in _together(steps):
        last = after[together[-1]].mean
        x, lobes = last[: uneven.sites], last[uneven.sites : uneven.sites + uneven.size]
        for k in together:
            step = steps[k]
            if not isinstance(step, Round):
                continue
            lin, x_was, seat_was = memory.geometry[k]
            moved = lin.influence @ (x - x_was)
            if np.max(np.abs(moved)) < least_mm or not len(step.read):
                continue
            off = (step.gaps_mm - lin.deviation_mm - moved - uneven.rows(step) @ lobes)[step.read]
            seat = seat_was + np.linalg.lstsq(lin.seating[step.read], off, rcond=1e-9)[0]
            found[k] = about(of(uneven.job, memory.on[k]), step, x, seat)
    return found


def _together(steps: list[Step]) -> list[list[int]]:
    """Indices of rounds, diameters and heights with nothing else between them."""
    found: list[list[int]] = [[]]
    for k, step in enumerate(steps):
        if isinstance(step, Round | RimRead | HeightsRead):
            found[-1].append(k)
        else:
            found.append([])
    return [together for together in found if together]
