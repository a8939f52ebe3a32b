"""Torsion with warping of thin-walled open sections (Vlasov), as a stroke on one flange causes it.

Source: V. Z. Vlasov, Thin-Walled Elastic Beams (2nd ed. 1959, from memory). The section's constants keep
the finite thickness (:mod:`core.geometry.sectorial`); at the free ends the walls bend
(:mod:`core.geometry.wall_bending`), so that the bar warps as if it were a little shorter.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array
from core.geometry.section import Section
from core.geometry.sectorial import patch_integral, sectorial
from core.geometry.wall_bending import EndLayer, end_layer

NEGLIGIBLE = 1e-9  # share of area * size^4 below which a stroke causes no twist at all


@dataclass(frozen=True)
class Warping:
    """Twist that comes with a stroke of unit shortening strain, and what it does to the heel line.

    shear_centre_mm : (y, z); iw_mm6 : warping constant; j_mm4 : torsion constant
    decay_mm : 1/k, k = sqrt(G J/(E Iw)); twist fades over this length
    kink_per_strain : change of the twist rate at the stroke, rad/mm per unit shortening strain
    heel_lever_mm : the heel line moves by this times the twist in the plane of curvature (along y)
    heel_lever_out_mm : the same out of plane (along z)
    corner_lever_mm : the same, either way (+y, -z), for a turn of the heel's corner alone
    end : what happens at the bar's free ends
    """

    shear_centre_mm: tuple[float, float]
    iw_mm6: float
    j_mm4: float
    decay_mm: float
    kink_per_strain: float
    heel_lever_mm: float
    heel_lever_out_mm: float
    corner_lever_mm: float
    end: EndLayer

    def twist_per_strain(self, at_mm: ArrayLike, strokes_mm: ArrayLike, length_mm: float) -> Array:
        """(r, n) twist at points (r,) by a stroke at each of (n,) places, rad per unit shortening strain.

        Twist is from y towards z, of the section as a whole. The bar is free to warp and to bend its walls
        at both ends; a turn of the bar as a whole is no matter of shape. The reach of an end is taken as no
        more than a quarter of the bar.
        """
        at = np.asarray(at_mm, dtype=float)[:, None]
        strokes = np.asarray(strokes_mm, dtype=float)[None, :]
        reach = min(self.end.reach_mm, 0.25 * length_mm)
        share, far_end, whole = reach / self.end.reach_mm, length_mm - reach, length_mm - 2.0 * reach
        both = self._fading(np.minimum(at, strokes) - reach, far_end - np.maximum(at, strokes), whole)
        # A stroke within the reach of an end meets some of the warping that the end has left.
        near = self.end.missing(strokes) * self._faded(far_end - at, whole)
        far = self.end.missing(length_mm - strokes) * self._faded(at - reach, whole)
        return np.asarray(-self.kink_per_strain * (both + share * (near + far)))

    def corner_per_strain(self, at_mm: ArrayLike, strokes_mm: ArrayLike, length_mm: float) -> Array:
        """(r, n) turn of the heel's corner beyond that of the section, near the ends, rad per unit strain."""
        from_end = np.abs(np.asarray(at_mm, dtype=float)[:, None] - np.array([0.0, length_mm]))
        twist = self.twist_per_strain([0.0, 1.0, length_mm - 1.0, length_mm], strokes_mm, length_mm)
        rates = np.array(
            [twist[1] - twist[0], twist[2] - twist[3]]
        )  # over the outermost mm, away from the end
        return np.asarray(self.end.corner_turn(from_end) @ rates)

    def _faded(self, one_mm: Array, whole_mm: float) -> Array:
        """sinh(one)/sinh(whole), lengths by the decay, written so that a long bar does not overflow."""
        one, whole = one_mm / self.decay_mm, whole_mm / self.decay_mm
        return np.asarray(np.exp(one - whole) * np.expm1(-2.0 * one) / np.expm1(-2.0 * whole))

    def _fading(self, one_mm: Array, other_mm: Array, whole_mm: float) -> Array:
        """decay sinh(one) sinh(other)/sinh(whole), mm, in the same way."""
        one, other, whole = one_mm / self.decay_mm, other_mm / self.decay_mm, whole_mm / self.decay_mm
        fade = 0.5 * self.decay_mm * np.exp(one + other - whole)
        return np.asarray(-fade * np.expm1(-2.0 * one) * np.expm1(-2.0 * other) / np.expm1(-2.0 * whole))


def warping(
    section: Section, patch_length_mm: float, patch_depth_mm: float, poisson: float
) -> Warping | None:
    """Twist from a stroke on the worked patches; None where the section or the stroke causes none.

    A section whose twist fades within its own size (angle, T, flat bar) has no warping to speak of.
    """
    sector = sectorial(section)
    size = max(np.ptp(np.array(section.nodes_mm), axis=0))
    bimoment = patch_integral(section, sector, patch_depth_mm)
    decay = float(np.sqrt(2.0 * (1.0 + poisson) * sector.iw_mm6 / sector.j_mm4))
    if decay < size or abs(bimoment) < NEGLIGIBLE * section.area_mm2 * size**4:
        return None
    return Warping(
        shear_centre_mm=sector.shear_centre_mm,
        iw_mm6=sector.iw_mm6,
        j_mm4=sector.j_mm4,
        decay_mm=decay,
        kink_per_strain=patch_length_mm * bimoment / sector.iw_mm6,
        heel_lever_mm=sector.shear_centre_mm[1],
        heel_lever_out_mm=-sector.shear_centre_mm[0],
        corner_lever_mm=0.5 * section.thickness_mm,
        end=end_layer(section, sector.j_mm4, poisson),
    )
