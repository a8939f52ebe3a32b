"""What the gauge should show at each station in the round that is open.

The refit says what it should show with the template seated at its best. In a real round the template
sits a little otherwise, which shifts all readings alike nearby: so what was read so far, less what was
expected there, is added to what is expected beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from statistics import median

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def residuals(read_mm: Mapping[int, float], mean_mm: Array) -> dict[int, float]:
    """Read less expected, by station (from 0), where both are known, in the order of stations."""
    return {i: read_mm[i] - float(mean_mm[i]) for i in sorted(read_mm) if np.isfinite(mean_mm[i])}


def shifted(mean_mm: Array, found: Mapping[int, float], position_mm: Array) -> Array:
    """(n,) expected readings moved by the residuals found, between them in proportion, beyond them alike."""
    if not found:
        return mean_mm
    at = [float(position_mm[i]) for i in found]
    return mean_mm + np.interp(position_mm, at, list(found.values()))


def candidates(station: int, mean_mm: Array, found: Mapping[int, float], position_mm: Array) -> list[float]:
    """What could be read there, by several ways of reading the neighbours; none may fit before it is doubted.

    As best seated; like the nearest; on the line through the two nearest; like the middle of the three
    nearest, which one wrong neighbour does not move. The station's own reading does not count.
    """
    others = {i: r for i, r in found.items() if i != station}
    nearest = sorted(others, key=lambda i: abs(position_mm[i] - position_mm[station]))
    moves = [0.0]
    if nearest:
        moves.append(others[nearest[0]])
    if len(nearest) > 1:
        a, b = nearest[:2]
        slope = (others[a] - others[b]) / float(position_mm[a] - position_mm[b])
        moves.append(others[a] + slope * float(position_mm[station] - position_mm[a]))
    if len(nearest) > 2:
        moves.append(median(others[i] for i in nearest[:3]))
    return [float(mean_mm[station]) + move for move in moves]
