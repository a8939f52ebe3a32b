"""What an edge that is worked along its length does across: it thickens where it is shortened.

Volume is kept (elastic strain left out). A free edge carries stress along itself alone, so the other two
strains share what is to be made up for: evenly in a metal without direction, else by the normal anisotropy
r, strain across the width over strain through the thickness (ISO 10113, from memory). Farther in than the
edge the flange holds itself across, and more of it goes into the thickness.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.forming.checked import Array, between, natural, positive


def thickness_strain(edge_strain: ArrayLike, r: ArrayLike = 1.0) -> Array:
    """(...) natural strain through the thickness, -e/(1 + r), of a free edge shortened by e.

    Sign as for the edge: < 0 is thicker. r : (...) normal anisotropy, >= 0, 1 for a metal without
    direction. Across the width it is r times that.
    """
    return np.asarray(-natural("edge_strain", edge_strain) / (1.0 + between("r", r, 0.0)))


def thickness_after_mm(thickness_mm: ArrayLike, edge_strain: ArrayLike, r: ArrayLike = 1.0) -> Array:
    """(...) thickness of a free edge after a natural strain along it; shortened (> 0) it is thicker."""
    return np.asarray(positive("thickness", thickness_mm, "mm") * np.exp(-thickness_strain(edge_strain, r)))


def effective_strain(first: ArrayLike, second: ArrayLike, third: ArrayLike) -> Array:
    """(...) von Mises' strain of three principal plastic strains, sqrt(2/3 (e1^2 + e2^2 + e3^2)), >= 0.

    For a metal without direction (r = 1), strained in one proportion; the three should add up to 0, which is
    not asked for.
    """
    squares = [natural(name, e) ** 2 for name, e in (("first", first), ("second", second), ("third", third))]
    return np.asarray(np.sqrt(2.0 / 3.0 * sum(squares)))
