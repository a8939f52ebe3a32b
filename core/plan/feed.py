"""Strokes and feed are the same thing: zones of equal count, and how fast to move through them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.advice import Zone
from core.jobtypes import Tool
from core.kinds.base import Sites


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
