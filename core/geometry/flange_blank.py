"""How much plate a flange takes: bend allowance, and the blank beyond the outline.

    allowance = alpha (r + K t),   setback = (r + t) tan(alpha/2),   deduction = 2 setback - allowance

r the inside radius of the bend, t the thickness, K the place of the neutral line as a share of t. Outside
lengths of the two legs, less the deduction, are the flat length (any handbook of sheet metal work). K is by
default that of the empirical rule of aircraft work, (0.01743 R + 0.0078 T) per degree (FAA-H-8083-31,
Aviation Maintenance Technician Handbook, Airframe, vol. 1, and US Navy training manuals, seen as quoted):
0.0078 * 180/pi = 0.447. Machinery's Handbook has 0.55, 0.64 and 0.71 t for the arc of 90 degrees in soft,
medium and hard metal (from memory; as K: 0.35, 0.41, 0.45).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.errors import InputError

Array = NDArray[np.float64]
NEUTRAL = 0.0078 * 180.0 / np.pi


def bend_allowance_mm(
    angle_rad: ArrayLike, inside_mm: ArrayLike, thickness_mm: ArrayLike, neutral: ArrayLike = NEUTRAL
) -> Array:
    """(...) length of the neutral line round the bend; neutral : K, 0 to 1."""
    return np.asarray(np.asarray(angle_rad) * (np.asarray(inside_mm) + np.asarray(neutral) * thickness_mm))


def setback_mm(angle_rad: ArrayLike, inside_mm: ArrayLike, thickness_mm: ArrayLike) -> Array:
    """(...) from the end of the bend to where the two outer faces would meet; angle below 180 degrees."""
    return np.asarray((np.asarray(inside_mm) + thickness_mm) * np.tan(0.5 * np.asarray(angle_rad)))


def bend_deduction_mm(
    angle_rad: ArrayLike, inside_mm: ArrayLike, thickness_mm: ArrayLike, neutral: ArrayLike = NEUTRAL
) -> Array:
    """(...) by how much the flat is shorter than the two outside lengths together."""
    around = bend_allowance_mm(angle_rad, inside_mm, thickness_mm, neutral)
    return np.asarray(2.0 * setback_mm(angle_rad, inside_mm, thickness_mm) - around)


def beyond_outline_mm(
    height_mm: float, angle_rad: float, inside_mm: float, thickness_mm: float, neutral: float = NEUTRAL
) -> float:
    """How far the flat plate goes beyond the outline, where the outer faces of plate and flange meet.

    height_mm : of the flange, over its outer face. Raises InputError for a flange that is all bend.
    """
    least = float(setback_mm(angle_rad, inside_mm, thickness_mm))
    if not height_mm > least:
        wanted = f"more than {least:.4g} mm, where the bend of this radius ends, is wanted"
        raise InputError("height", height_mm, wanted)
    return height_mm - float(bend_deduction_mm(angle_rad, inside_mm, thickness_mm, neutral))


def blank_diameter_mm(diameter_mm: float, convex: bool, beyond_mm: float) -> float:
    """Diameter of the flat disc, or of the hole to be cut, for a flange round a full circle.

    diameter_mm : of the outline; convex : a rim, else a hole; beyond_mm : of :func:`beyond_outline_mm`. The
    flange keeps its length square to the outline. Raises InputError where no hole is left.
    """
    blank = diameter_mm + (2.0 if convex else -2.0) * beyond_mm
    if not blank > 0.0:
        wanted = f"less than the radius of the hole, {0.5 * diameter_mm:g} mm, is wanted"
        raise InputError("height", beyond_mm, wanted)
    return blank
