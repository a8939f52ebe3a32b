"""Strokes and feed are the same thing: zones of equal count, and how fast to move through them.

A machine, or the hand, feeds within limits. Where a zone would be too fast the whole pass is run at a lower
stroke rate, as that is set once; where one would be too slow it is gone over several times, there and back.
Strokes farther apart than the patch is long, and those at one mark alone, need no feed: where it would be too
fast they are made standing, side by side as far as the strokes and the length at the mark go.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Tool
from core.kinds.base import Sites
from core.machine import Machine
from core.planned import Zone

Array = NDArray[np.float64]
HOLD_S = 3.0  # to take hold of the part, and to move on to a place further along (common practice, no source)
NEARLY = 1.0 + 1e-9  # feeds that were typed alike are alike


@dataclass(frozen=True)
class Fed:
    """strokes_per_minute : rate of the whole pass; zones : in the order of work"""

    strokes_per_minute: float
    zones: tuple[Zone, ...]


def fed(
    sites: Sites,
    tool: Tool,
    strokes: NDArray[np.int64],
    machine: Machine | None,
    wanted: float | None = None,
) -> Fed:
    """The pass as the machine can feed it. wanted : strokes a minute, those of the tool where none are
    given."""
    rate, able = wanted or tool.strokes_per_minute, machine or Machine()
    zones, patch = feed_zones(sites, tool, strokes, rate), tool.patch_length_mm * NEARLY
    fastest, ringed = able.feeds_mm_per_s[1], sites.round_mm is not None
    moved = [zone.feed_mm_per_s for zone in zones if ringed or zone.first != zone.last]
    most = max((feed for feed in moved if 60.0 * feed / rate <= patch), default=0.0)
    if most > fastest * NEARLY:
        rate = able.rate(_whole(rate * fastest / most))
        zones = feed_zones(sites, tool, strokes, rate)
    around = sites.spots(tool.patch_length_mm)
    beside = sites.beside(tool.patch_length_mm)
    return Fed(rate, tuple(_as_fed(zone, able, around, beside) for zone in zones))


def _whole(rate: float) -> float:
    """Strokes a minute as they are set, not above this."""
    return float(floor(rate * NEARLY)) if rate >= 2.0 else rate


def _as_fed(zone: Zone, machine: Machine, around: Array, beside: Array) -> Zone:
    """Gone over so often that it is fed fast enough, once a stroke at most; where no feed will do, standing,
    with the time to move on to each spot: around : (n,) that each get all strokes; beside : (n,) that share
    them."""
    slowest, fastest = machine.feeds_mm_per_s
    goes = min(max(ceil(slowest / zone.feed_mm_per_s / NEARLY), 1), zone.strokes)
    feed = goes * zone.feed_mm_per_s
    if slowest <= feed * NEARLY and feed <= fastest * NEARLY:
        return replace(zone, feed_mm_per_s=feed, goes=goes)
    here = slice(zone.first, zone.last + 1)
    spots = min(zone.strokes, int(beside[here].max()))
    moves = HOLD_S * (float(np.sum(around[here])) * spots - 1.0)
    length = zone.feed_mm_per_s * zone.seconds
    seconds = zone.seconds + moves
    return replace(zone, feed_mm_per_s=length / seconds, seconds=seconds, standing=True, spots=spots)


def feed_zones(
    sites: Sites, tool: Tool, strokes: NDArray[np.int64], strokes_per_minute: float | None = None
) -> tuple[Zone, ...]:
    """Neighbouring sites with one count, from one end to the other; sites without strokes are left out.

    A zone of length l whose sites get m strokes each is fed at l*f/(60*M) mm/s, M strokes in the zone
    at f strokes a minute, those of the tool where none are given. A site that goes all round the part gets
    its strokes on every spot, and the length is the way round.
    """
    rate = strokes_per_minute or tool.strokes_per_minute
    way, spots = sites.way_mm(), sites.spots(tool.patch_length_mm)
    edges = np.flatnonzero(np.diff(strokes)) + 1
    bounds = [0, *edges.tolist(), len(strokes)]
    zones = []
    for first, end in pairwise(bounds):
        count = int(strokes[first])
        if count == 0:
            continue
        seconds = 60.0 * count * float(np.sum(spots[first:end])) / rate
        length = float(np.sum(way[first:end]))
        zones.append(Zone(first, end - 1, count, length / seconds, seconds))
    return tuple(zones)
