"""Work hardening by Hollomon's law, sigma = K eps^n, and what follows from it.

Sources: J. H. Hollomon, Tensile Deformation (Trans. AIME 162, 1945); A. Considère (Annales des Ponts et
Chaussées, 1885): both from memory, as in any textbook of plasticity. The law is for soft metal, from strain
0; it has no elastic part, no effect of speed and none of the Bauschinger kind (softer for a while after the
direction is turned).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.forming.checked import Array, between, natural, positive


def flow_stress_mpa(effective_strain: ArrayLike, k_mpa: ArrayLike, n: ArrayLike) -> Array:
    """(...) stress at which soft metal flows after an effective natural strain (>= 0)."""
    strain = between("effective_strain", effective_strain, 0.0)
    return np.asarray(positive("k", k_mpa, "MPa") * strain ** _exponent(n))


def flow_stress_rise(strain_before: ArrayLike, strain: ArrayLike, n: ArrayLike) -> Array:
    """(...) factor, >= 1, by which the stress at the end of a strain is higher than without the one before.

    strain_before : (...) effective natural strain since the last anneal, >= 0; strain : (...) what comes on
    top, > 0, such as that of a stroke. The factor is ((before + strain)/strain)^n.
    """
    before, further = between("strain_before", strain_before, 0.0), positive("strain", strain)
    return np.asarray((1.0 + before / further) ** _exponent(n))


def uniform_strain(n: ArrayLike) -> Array:
    """(...) natural strain of a pulled strip when it begins to neck, as an amount: n (Considère)."""
    return _exponent(n).copy()


def uniform_elongation(n: ArrayLike) -> Array:
    """(...) the same as a share of the first length, exp(n) - 1."""
    return np.asarray(np.expm1(_exponent(n)))


def tensile_strength_mpa(k_mpa: ArrayLike, n: ArrayLike) -> Array:
    """(...) highest force of a pulled strip over its first area, K (n/e)^n; K itself where n is 0."""
    exponent = _exponent(n)
    return np.asarray(positive("k", k_mpa, "MPa") * (exponent / np.e) ** exponent)


def natural_strain(before_mm: ArrayLike, after_mm: ArrayLike) -> Array:
    """(...) ln(before/after): > 0 where a line got shorter. Strains of steps in a row add."""
    return np.asarray(np.log(positive("before", before_mm, "mm") / positive("after", after_mm, "mm")))


def length_after_mm(before_mm: ArrayLike, strain: ArrayLike) -> Array:
    """(...) length of a line after a natural strain, > 0 makes it shorter."""
    return np.asarray(positive("before", before_mm, "mm") * np.exp(-natural("strain", strain)))


def _exponent(n: ArrayLike) -> Array:
    return between("n", n, 0.0, 1.0)
