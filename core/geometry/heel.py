"""How the heel line of a straight bar moves with one stroke: hinge, and twist where there is any."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array
from core.geometry.stroke import StrokeEffect

PARTS = 16  # strokes side by side that stand for one patch
# Where no warping stiffness holds the section in shape, the worked flange dishes near the patch and the
# bow shows on the heel line over more than the patch: its density fades as exp(-x/(BOW_SPREAD flange)).
# Fitted to finite elements of an angle (tests/reference/fe_influence_angle.csv).
BOW_SPREAD = 0.4


@dataclass(frozen=True)
class HeelMovement:
    """Movement of the heel line per unit shortening strain, one column a stroke.

    in_plane_mm : (r, n) along y, towards the worked edge > 0
    out_of_plane_mm : (r, n) along z
    twist_rad : (r, n) turn of the section from y towards z
    """

    in_plane_mm: Array
    out_of_plane_mm: Array
    twist_rad: Array


def heel_movement(
    effect: StrokeEffect,
    at_mm: ArrayLike,
    strokes_mm: ArrayLike,
    length_mm: float,
    patch_length_mm: float,
    flange_mm: float,
) -> HeelMovement:
    """Movement of points ``at_mm`` (r,) of the heel by a stroke at each of ``strokes_mm`` (n,).

    The part before a stroke stays where it is and the part beyond it swings; twist is measured from
    the bar's ends. Any rigid motion may be added. Small rotations from a straight bar; what a stroke
    near the end loses is left to ``end_loss``.
    """
    at, strokes = np.asarray(at_mm, dtype=float), np.asarray(strokes_mm, dtype=float)
    beyond = at[:, None] - strokes[None, :]
    in_plane = effect.kink_per_strain_rad * hinge_over_patch(beyond, patch_length_mm)
    twist = np.zeros_like(beyond)
    if effect.warping is None:
        out = effect.bow_per_strain_rad * hinge_with_tails(beyond, BOW_SPREAD * flange_mm)
    else:
        out = effect.bow_per_strain_rad * hinge_over_patch(beyond, patch_length_mm)
        part = patch_length_mm * ((np.arange(PARTS) + 0.5) / PARTS - 0.5)
        each = effect.warping.twist_per_strain(at, (strokes[:, None] + part).ravel(), length_mm)
        twist = each.reshape(*beyond.shape, PARTS).mean(axis=-1)
        corner = effect.warping.corner_lever_mm * effect.warping.corner_per_strain(at, strokes, length_mm)
        in_plane = in_plane + effect.warping.heel_lever_mm * twist + corner
        out = out + effect.warping.heel_lever_out_mm * twist - corner
    return HeelMovement(in_plane, out, twist)


def hinge_over_patch(beyond_mm: Array, patch_length_mm: float) -> Array:
    """(...) movement per unit kink (mm/rad) at a distance beyond a kink spread evenly over a patch."""
    half = 0.5 * patch_length_mm
    inside = np.abs(beyond_mm) < half
    return np.where(inside, (beyond_mm + half) ** 2 / (4.0 * half), np.maximum(beyond_mm, 0.0))


def hinge_with_tails(beyond_mm: Array, reach_mm: float) -> Array:
    """(...) the same for a kink whose density falls off as exp(-distance/reach) on either side."""
    return np.maximum(beyond_mm, 0.0) + 0.5 * reach_mm * np.exp(-np.abs(beyond_mm) / reach_mm)
