"""What one stroke does to a bar: the kink wanted, the bow and the twist that come with it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.geometry.line import Array
from core.geometry.section import Section
from core.geometry.torsion import Warping, warping

POISSON = 0.33  # aluminium; steel 0.30 and copper 0.34 change the reach of a twist by 1 per cent


@dataclass(frozen=True)
class StrokeEffect:
    """Effect of a stroke of unit shortening strain (1) on the tool's patch.

    kink_per_strain_rad : heading change in the plane of curvature, > 0 closes the curve
    bow_per_strain_rad : heading change of the heel line out of plane, towards +z
    heel_per_strain_mm : shortening of the heel line
    warping : the twist that comes with it, None where there is none
    """

    kink_per_strain_rad: float
    bow_per_strain_rad: float
    heel_per_strain_mm: float
    warping: Warping | None

    @property
    def heel_mm(self) -> float:
        """By how much the heel line is shorter, over its curvature."""
        return self.heel_per_strain_mm / self.kink_per_strain_rad


def stroke_effect(
    section: Section, patch_length_mm: float, patch_depth_mm: float, poisson: float = POISSON
) -> StrokeEffect:
    """Elastic balance of a shortened patch, with the full unsymmetric inertia.

    The patch, ``patch_length_mm`` along the bar and ``patch_depth_mm`` from the free edge of each worked
    flange, through the full thickness, wants to be shorter by the strain. The section answers with
    curvatures (kv, kw) from [izz iyz; iyz iyy](kv, kw) = A_patch (y_p - y_c, z_p - z_c); the elastic modulus
    cancels. By finite elements with plasticity and large displacements (tests/reference/fe_strain_ladder.csv)
    the kink of one stroke is within 0.5 % of this up to a strain of 1 %, and at 3 % it is 97 (shrinking) or
    98 % (stretching) of it; the bow 95 % at 1 %, 69 % at 3 %: ``core.estimate.outofplane`` allows for that.
    Raises InputError for a patch of no size or deeper than the flange.
    """
    _checked("tool.patch_length", patch_length_mm)
    _checked("tool.patch_depth", patch_depth_mm)
    if patch_depth_mm > section.flange_mm:
        raise InputError(
            "tool.patch_depth",
            patch_depth_mm,
            f"at most the worked flange, {section.flange_mm:g} mm, can be reached",
        )
    patches = [flange.edge_strip(patch_depth_mm) for flange in section.worked]
    centroid = np.array(section.centroid_mm)
    moment = sum((p.area_mm2 * (np.array(p.centre_mm) - centroid) for p in patches), np.zeros(2))
    bent = np.linalg.solve(section.inertia_mm4, moment) * patch_length_mm
    axial = sum(p.area_mm2 for p in patches) / section.area_mm2 * patch_length_mm
    twist = warping(section, patch_length_mm, patch_depth_mm, poisson)
    return StrokeEffect(float(bent[0]), float(bent[1]), float(axial - bent @ centroid), twist)


# Fitted to finite elements of an angle and a channel, strokes at 12.5 to 187.5 mm from the end
# (tests/reference/fe_end_effects.csv): share = 1 - exp(-(distance/(REACH flange))^POWER).
END_REACH = 0.37
END_POWER = 3.16


def end_loss(distance_to_end_mm: ArrayLike, flange_mm: float) -> Array:
    """(...) share of its work, 0 to 1, that a stroke does at a distance (>= 0) from the bar's nearer end.

    About 0.4 at 0.3 flange widths, 0.92 at half of one, practically all from one flange width inwards.
    """
    distance = np.asarray(distance_to_end_mm, dtype=float)
    if not (distance >= 0.0).all():
        raise InputError(
            "stations", distance_to_end_mm, "a distance of 0 or more from the bar's end is wanted"
        )
    return np.asarray(-np.expm1(-((distance / (END_REACH * flange_mm)) ** END_POWER)))


def _checked(field: str, value: float) -> None:
    if not math.isfinite(value) or value <= 0.0:
        raise InputError(field, value, "a length in mm greater than 0 is wanted")
