"""A part offered up to its template as well as it goes, exactly, however wide the gaps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.kinds.base import Part
from core.readings.reading import readings_of
from core.readings.seating import best_seating
from core.readings.templates import Layout, Template

Array = NDArray[np.float64]
SETTLED_MM = 5e-3
ROUGHLY_MM = 0.1
FORESEEN_MM = 1e-4  # off what the slopes said: the seating that was the best by them is
MOST_TRIES = 8
ROUGH_TRIES = 2
EQUAL_MM = 1e-6  # gaps that differ by less are as wide: the first is told, whatever the last digit says


@dataclass(frozen=True)
class Offered:
    """The best seating of a part of one shape.

    seat : (k,) rigid motion of the part; readings_mm : (r,) where it can be read, stations first, then
    half-way between them; widest_mm : the largest of them; rows, columns : (r, n), (r, k) their slopes;
    at : index of the station with the widest reading, or before it
    """

    seat: Array
    readings_mm: Array
    widest_mm: float
    rows: Array
    columns: Array
    at: int


def layout_of(part: Part, template: Template) -> Layout:
    """Where the gap counts: at every station, in their order, and half-way between neighbours; on a ring
    where it begins, too."""
    at = part.sites.position_mm
    begins = [0.0] if part.sites.closed else []
    return template.layout(np.concatenate([at, 0.5 * (at[1:] + at[:-1]), begins]), part.length_mm)


def readable_mm(part: Part, template: Template) -> Array:
    """(r,) the places of those where this template can be read."""
    layout = layout_of(part, template)
    return layout.points_mm[layout.readable]


def offer(
    part: Part, template: Template, work: Array, start: Array | None = None, lobes: Array | float = 0.0
) -> Offered:
    """Seat the template at its best on the part with this remaining work (n,).

    start : (k,) a seating to begin from; lobes : (r,) mm, what its lobes add to the readings on one meridian.
    The seating is exact for the linearised geometry; the geometry is taken anew until it rests.
    """
    layout = layout_of(part, template)
    places = layout.points_mm[layout.readable]
    seat = np.zeros(len(part.seat_sd)) if start is None else start
    foreseen: Array | None = None
    for _ in range(MOST_TRIES):
        here = readings_of(part, template, work, seat, places)
        shown = here.deviation_mm + lobes
        if foreseen is not None and np.max(np.abs(shown - foreseen), initial=0.0) < FORESEEN_MM:
            break  # the best still
        bounds = (-part.seat_bound - seat, part.seat_bound - seat)
        best = best_seating(shown, here.seating, bounds, template.rigid)
        moved = np.max(np.abs(here.seating @ best.motion), initial=0.0)
        if moved < SETTLED_MM:
            break
        seat, foreseen = seat + best.motion, shown + here.seating @ best.motion
    widest = np.abs(best.gaps_mm) >= best.widest_mm - EQUAL_MM  # at its best a template meets several
    place = int(np.flatnonzero(layout.readable)[np.argmax(widest)])
    at = place % len(part.sites)  # a place between two stations goes by the one before it
    return Offered(seat, best.gaps_mm, float(best.widest_mm), here.influence, here.seating, at)


def widest_gaps(
    part: Part, template: Template, works: Array, starts: Array, lobes: Array | float = 0.0
) -> Array:
    """(s,) widest gap in mm of each of several shapes of one part, each seated at its best.

    works : (s, n) remaining work; starts : (s, k) seatings to begin from; lobes : (s, r) mm, what the lobes
    of each add to its readings. All are seated together, with the slopes of the last one, until they move by
    less than a tenth: near enough to compare them.
    """
    layout, seats = layout_of(part, template), starts
    places = layout.points_mm[layout.readable]
    for _ in range(ROUGH_TRIES):
        here = [readings_of(part, template, *shape, places) for shape in zip(works, seats, strict=True)]
        readings, columns = np.array([h.deviation_mm for h in here]) + lobes, here[-1].seating
        bounds = (-part.seat_bound - seats, part.seat_bound - seats)
        best = best_seating(readings, columns, bounds, template.rigid)
        if np.max(np.abs(best.motion @ columns.T), initial=0.0) < ROUGHLY_MM:
            break
        seats = seats + best.motion
    return best.widest_mm
