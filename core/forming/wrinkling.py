"""A guard against folds: how far one stroke can shorten a patch before it buckles. No rating of a tool.

The patch is a thin flat plate. Its length w lies between the gripping halves of the tool, which clamp it;
its depth b goes from the free edge to the metal behind, which holds it as a hinge would, or better; its
thickness is t. It is shortened evenly all over; shortened at its free edge alone it would fold later.

**Elastic.** By Rayleigh's principle, with the shape y (1 - cos(2 pi x/w)), the buckling coefficient is at
most

    k = 4 (b/w)^2 + 6 (1 - nu)/pi^2,   critical strain k pi^2/(12 (1 - nu^2)) (t/b)^2.

The first term is bending along w, the second twist. For nu = 0.3 the second is 0.426, the 0.425 of
handbooks for a plate with hinged loaded edges, k = (b/w)^2 + 0.425 (Timoshenko and Gere, Theory of Elastic
Stability, 1961, from memory); clamped ones halve the length of a wave. Against an eigenvalue computation k
is 0 to 1.4 % high (nu 0.3, b/w 0.1 to 3; at nu 0.5 up to 6 %).

**Plastic.** Deformation theory with nu = 0.5 (E. Z. Stowell, A Unified Theory of Plastic Buckling of
Columns and Plates, NACA TN 1556, 1948: its summary seen, the equations from memory and derived again).
Twist resists with the secant modulus Es. Bending along the compression resists with Es (1 + 3 Et/Es)/4 if
the plate cannot curve across, and with the tangent modulus Et alone if it is free to, as a column is. For
sigma = K eps^n, Et/Es = n at every strain and Es cancels, so that a strain comes out:

    (t/b)^2/3 + pi^2/36 (1 + 3 n) (3 + n) (t/w)^2

(3 + n)/4 is fitted: how much the plate saves by curving across. Against the eigenvalues of Stowell's plate
the whole is 10 % low to 3 % high (n 0 to 0.5, b/w 0.1 to 2; 13 % low at 3). Twist alone gives (t/b)^2/3:
the stress is G (t/b)^2 with G = Es/3. Where the 0.425 of nu = 0.3 is put together with the plate stiffness
of nu = 0.5, 0.47 (t/b)^2 comes out: 40 % too bold.

Assumed besides: the metal is soft, its strain counted from 0 (hardened metal has a lower tangent modulus
and folds sooner); flat before the stroke (a fold that is there already grows from the start); the jaws do
not press on the patch between them; t small against w and b (a limit above 0.1 or so says no more than that
folds need not be feared).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.forming.checked import Array, between, positive


def elastic_coefficient(length_mm: ArrayLike, depth_mm: ArrayLike, poisson: ArrayLike = 0.3) -> Array:
    """(...) k of a patch w long and b deep: it buckles at a stress k pi^2 E/(12 (1 - nu^2)) (t/b)^2."""
    ratio = positive("depth", depth_mm, "mm") / positive("length", length_mm, "mm")
    return np.asarray(4.0 * ratio**2 + 6.0 * (1.0 - between("poisson", poisson, 0.0, 0.5)) / np.pi**2)


def elastic_strain_limit(
    thickness_mm: ArrayLike, length_mm: ArrayLike, depth_mm: ArrayLike, poisson: ArrayLike = 0.3
) -> Array:
    """(...) shortening, > 0, at which the patch buckles if it stays elastic until then."""
    k = elastic_coefficient(length_mm, depth_mm, poisson)
    slenderness = positive("thickness", thickness_mm, "mm") / np.asarray(depth_mm, dtype=float)
    stiffness = np.pi**2 / (12.0 * (1.0 - np.asarray(poisson, dtype=float) ** 2))
    return np.asarray(k * stiffness * slenderness**2)


def stroke_strain_limit(
    thickness_mm: ArrayLike, length_mm: ArrayLike, depth_mm: ArrayLike, n: ArrayLike | None = None
) -> Array:
    """(...) largest natural strain, > 0, by which one stroke shortens a flat soft patch without a fold.

    length_mm : (...) between the gripping halves, across the gap; depth_mm : (...) from the free edge to
    where the flange is held; n : (...) hardening exponent, 0 to 1. Where it is not known, 0 is taken, the
    most cautious: bending then keeps 3/16 of its elastic share.
    """
    exponent = between("n", 0.0 if n is None else n, 0.0, 1.0)
    thickness = positive("thickness", thickness_mm, "mm")
    twist = (thickness / positive("depth", depth_mm, "mm")) ** 2 / 3.0
    bending = (thickness / positive("length", length_mm, "mm")) ** 2 * np.pi**2 / 36.0
    return np.asarray(twist + bending * (1.0 + 3.0 * exponent) * (3.0 + exponent))
