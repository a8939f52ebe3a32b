"""A round of gaps made linear about an assumed shape and seating."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, censored
from core.estimate.seated import Reading
from core.jobtypes import Job
from core.kinds.base import Linearised
from core.readings.reading import readings_of
from core.readings.rounds import Round

Array = NDArray[np.float64]
About = tuple[Linearised, Array, Array]  # what the round's template shows; of which work, in which seating


def about(job: Job, step: Round, x: Array, seat: Array) -> About:
    """What the round's template shows about this work left and seating, and these."""
    return readings_of(job.part, step.template, x, seat, step.layout.points_mm), x, seat


def linear_reading(step: Round, assumed: About, aside: set[int], beside: Array) -> Reading:
    """The round without the readings set aside. beside : (n, size) what it shows of lobes."""
    lin, x, seat = assumed
    stations = step.read
    if aside:
        stations = stations[~np.isin(stations, list(aside))]
    rows_x, rows_seat = lin.influence[stations], lin.seating[stations]
    offset = lin.deviation_mm[stations] - rows_x @ x - rows_seat @ seat
    variance = step.sd_mm[stations] ** 2
    rows = np.hstack([rows_x, beside[stations]]) if beside.shape[1] else rows_x
    return Reading(stations, step.gaps_mm[stations], offset, rows, rows_seat, variance)


def beyond(step: Round, assumed: About, belief: Belief, beside: Array, aside: set[int]) -> Belief:
    """Readings known only to be larger than the gauge reaches, one after another, without those set aside."""
    if not step.beyond.any():
        return belief
    at, rows, expected = shown_of(step, assumed, belief, beside, aside)
    return censored(belief, rows, step.reach_mm[at] - expected, step.sd_mm[at] ** 2)


def shown_of(
    step: Round, assumed: About, belief: Belief, beside: Array, aside: set[int]
) -> tuple[NDArray[np.intp], Array, Array]:
    """Stations (r,) beyond the gauge and not set aside, their rows over the unknowns with the seating last,
    and what is expected there, mm."""
    at = np.array([i for i in np.flatnonzero(step.beyond) if i not in aside], dtype=np.intp)
    lin, x, seat = assumed
    rows = np.zeros((len(at), len(belief.mean)))
    shape = np.hstack([lin.influence[at], beside[at]])
    rows[:, : shape.shape[1]], rows[:, len(belief.mean) - len(seat) :] = shape, lin.seating[at]
    offset = lin.deviation_mm[at] - lin.influence[at] @ x - lin.seating[at] @ seat
    return at, rows, offset + rows @ belief.mean
