"""How far an edge can be stretched before it cracks, from the hole expansion test.

ISO 16630 (definition in words seen in a secondary source, formula from memory): a hole of 10 mm is punched
with 12 % clearance and widened by a cone until a crack goes through the sheet; the ratio is (Dh - D0)/D0.
An edge that was cut otherwise cracks at another strain: filed or deburred later, sheared with a worn blade
much sooner. Ratios of one steel scatter widely (Barlo et al., IOP Conf. Ser. Mater. Sci. Eng. 1238, 2022,
012031), so a limit is best taken from a low one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.forming.checked import Array, between, natural, positive


def hole_expansion_ratio(before_mm: ArrayLike, after_mm: ArrayLike) -> Array:
    """(...) (Dh - D0)/D0 as a share, 0.75 for 75 %; the hole cannot have got smaller."""
    before, after = positive("before", before_mm, "mm"), positive("after", after_mm, "mm")
    if not (after >= before).all():
        raise InputError("after", after_mm, "a hole at least as wide as before is wanted")
    return np.asarray((after - before) / before)


def edge_strain_limit(ratio: ArrayLike) -> Array:
    """(...) natural strain of an edge when it cracks, -ln(1 + ratio): < 0 as all stretching; ratio >= 0."""
    return np.asarray(-np.log1p(between("ratio", ratio, 0.0)))


def stretch_left(edge_strain: ArrayLike, ratio: ArrayLike) -> Array:
    """(...) by how much an edge can still be stretched, as an amount; < 0 where it is beyond the limit.

    edge_strain : (...) natural strain of the edge since the last anneal, < 0 where stretched. An edge that
    was shortened before gets no credit for it: that used up ductility too.
    """
    return np.asarray(np.minimum(natural("edge_strain", edge_strain), 0.0) - edge_strain_limit(ratio))
