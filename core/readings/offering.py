"""A part offered up to its template as well as it goes, exactly, however wide the gaps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.kinds.base import Linearised, Part
from core.readings.seating import best_seating
from core.readings.templates import Layout, Template

Array = NDArray[np.float64]
SETTLED_MM = 1e-3
MOST_TRIES = 8


@dataclass(frozen=True)
class Offered:
    """The best seating of a part of one shape.

    seat : (k,) rigid motion of the part; here : geometry in that seating; readings_mm : (r,) at the
    readable stations; widest_mm : the largest of them; rows, columns : (r, n), (r, k) their slopes;
    at : index of the station with the widest reading
    """

    seat: Array
    here: Linearised
    readings_mm: Array
    widest_mm: float
    rows: Array
    columns: Array
    at: int


def layout_of(part: Part, template: Template) -> Layout:
    """Where the template compares on this part."""
    return template.layout(part.sites.position_mm, part.length_mm)


def offer(part: Part, template: Template, work: Array) -> Offered:
    """Seat the template at its best on the part with this remaining work (n,).

    The seating is exact for the linearised geometry; the geometry is taken anew until it rests.
    """
    layout = layout_of(part, template)
    combine = layout.combine[layout.readable]
    seat = np.zeros(len(part.seat_sd))
    for _ in range(MOST_TRIES):
        here = part.linearise(work, seat, layout.points_mm)
        readings, columns = combine @ here.deviation_mm, combine @ here.seating
        bounds = (-part.seat_bound - seat, part.seat_bound - seat)
        best = best_seating(readings, columns, bounds, template.rigid)
        moved = np.max(np.abs(columns @ best.motion), initial=0.0)
        if moved < SETTLED_MM:
            break
        seat = seat + best.motion
    at = int(np.flatnonzero(layout.readable)[np.argmax(np.abs(best.gaps_mm))])
    return Offered(
        seat, here, best.gaps_mm, float(best.widest_mm), combine @ here.influence, columns, at
    )
