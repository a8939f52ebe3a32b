"""How far sectors of a flange may stand apart while some wait for the tool that turns them up.

Between two sectors side by side, whose middles lie w apart and whose angles differ by d, the flange is
twisted. Its free edge, h from the outline, then goes aside by 2 h sin(d/2), so that it is longer than w by
the factor

    sqrt(1 + (2 h sin(d/2) / w)^2).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
STEP_RAD = float(np.radians(30.0))  # from one sector to the next, at most (common practice, no source)


def steps_rad(width_mm: Array, height_mm: float, takes: float, closed: bool) -> Array:
    """(n,) by which the angle of each sector may differ from the next one's, and the last one's from the
    first's: STEP_RAD at most, and so that the twist stretches the free edge by no more natural strain than it
    takes (inf where that is not known). closed : the last is the neighbour of the first, inf where it is not
    """
    aside = 0.5 * (width_mm + np.roll(width_mm, -1)) * np.sqrt(np.expm1(2.0 * takes))
    steps = np.minimum(STEP_RAD, 2.0 * np.arcsin(np.minimum(aside / (2.0 * height_mm), 1.0)))
    return np.append(steps[:-1], steps[-1] if closed else np.inf)


def least_beside(angles_rad: Array, sides: Array, steps: Array) -> Array:
    """(n,) angle up to which no sector stands more than a step above the next, on the way to those of the
    other side, which stay at these angles (n,); inf where there are none.

    sides : (n,) +1 or -1; steps : (n,) see :func:`steps_rad`
    """
    along = np.concatenate([[0.0], np.cumsum(steps[:-1])])
    one_way = np.abs(along[:, None] - along)
    up = np.minimum(one_way, along[-1] + steps[-1] - one_way)
    other = sides[:, None] != sides
    return np.asarray(np.min(np.where(other, angles_rad + up, np.inf), axis=1))
