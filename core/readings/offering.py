"""A part offered up to its template as well as it goes, exactly, however wide the gaps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from core.kinds.base import Linearised, Part
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
    """Where the gap counts: at every station, in their order, and between neighbours; on a ring where it
    begins, too."""
    at = part.sites.position_mm
    between = [(1.0 - share) * at[:-1] + share * at[1:] for share in part.sites.between]
    begins = [0.0] if part.sites.closed else []
    return template.layout(np.concatenate([at, *between, begins]), part.length_mm)


def readable_mm(part: Part, template: Template) -> Array:
    """(r,) the places of those where this template can be read."""
    layout = layout_of(part, template)
    return layout.points_mm[layout.readable]


def offer(
    part: Part, template: Template, work: Array, start: Array | None = None, lobes: Array | float = 0.0
) -> Offered:
    """Seat the template at its best on the part with this remaining work (n,).

    start : (k,) a seating to begin from; lobes : (r,) mm, what its lobes add to the readings on one meridian.
    """
    return offers(part, template, work, start, np.atleast_2d(lobes))[0]


def offers(part: Part, template: Template, work: Array, start: Array | None, lobes: Array) -> list[Offered]:
    """Seat the template at its best on several meridians of the part with this remaining work (n,).

    start : (k,) or (s, k) seatings to begin from; lobes : (s, r) mm, what its lobes add to the readings on
    each.
    The seating is exact for the linearised geometry; the geometry is taken anew until it rests.
    """
    layout, many, motions = layout_of(part, template), len(lobes), len(part.seat_sd)
    places = layout.points_mm[layout.readable]
    seats = np.array(np.broadcast_to(np.zeros(motions) if start is None else start, (many, motions)))
    foreseen, gaps = np.full((2, many, len(places)), np.nan)
    here, going = dict[int, Linearised](), list(range(many))
    for _ in range(MOST_TRIES):
        here |= {i: readings_of(part, template, work, seats[i], places) for i in going}
        shown = np.array([here[i].deviation_mm for i in going]) + lobes[going]
        off = np.max(np.abs(shown - foreseen[going]), axis=1, initial=0.0)
        moves = ~(off < FORESEEN_MM)  # for the others the best is the best still
        going, shown = list(compress(going, moves)), shown[moves]
        if not going:
            break
        columns = np.array([here[i].seating for i in going])
        bounds = (-part.seat_bound - seats[going], part.seat_bound - seats[going])
        best = best_seating(shown, columns, bounds, template.rigid)
        gaps[going] = best.gaps_mm
        change = (columns @ best.motion[:, :, None])[:, :, 0]
        far = np.max(np.abs(change), axis=1, initial=0.0) >= SETTLED_MM
        going = list(compress(going, far))
        if not going:
            break
        seats[going] += best.motion[far]
        foreseen[going] = (shown + change)[far]
    return [_offered(part, seats[i], gaps[i], here[i], layout) for i in range(many)]


def _offered(part: Part, seat: Array, gaps: Array, here: Linearised, layout: Layout) -> Offered:
    points_mm, at = layout.points_mm, np.flatnonzero(layout.readable)
    widest = float(np.max(np.abs(gaps)))
    # At its best a template meets several places.
    place = int(at[np.argmax(np.abs(gaps) >= widest - EQUAL_MM)])
    # A place between two stations goes by the one before it.
    station = int(np.searchsorted(part.sites.position_mm, points_mm[place], "right") - 1) % len(part.sites)
    return Offered(seat, gaps, widest, here.influence, here.seating, station)


def widest_gaps(
    parts: Sequence[Part], template: Template, works: Array, starts: Array, lobes: Array | float = 0.0
) -> Array:
    """(s,) widest gap in mm of each of several shapes of one part, each seated at its best.

    parts : (s,) that part as it was then; works : (s, n) remaining work; starts : (s, k) seatings to begin
    from; lobes : (s, r) mm, what the lobes of each add to its readings. All are seated together, with the
    slopes of the last one, until they move by less than a tenth: near enough to compare them.
    """
    part = parts[-1]
    layout, seats = layout_of(part, template), starts
    places = layout.points_mm[layout.readable]
    for _ in range(ROUGH_TRIES):
        shapes = zip(parts, works, seats, strict=True)
        here = [readings_of(then, template, work, seat, places) for then, work, seat in shapes]
        readings, columns = np.array([h.deviation_mm for h in here]) + lobes, here[-1].seating
        bounds = (-part.seat_bound - seats, part.seat_bound - seats)
        best = best_seating(readings, columns, bounds, template.rigid)
        if np.max(np.abs(best.motion @ columns.T), initial=0.0) < ROUGHLY_MM:
            break
        seats = seats + best.motion
    return best.widest_mm
