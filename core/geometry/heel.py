"""How the heel line of a straight bar moves with one stroke: hinge, and twist where there is any."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.beside_stroke import beside_stroke
from core.geometry.line import Array
from core.geometry.section import Section
from core.geometry.stroke import POISSON, StrokeEffect, stroke_effect

PARTS = 16  # strokes side by side that stand for one patch


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
    section: Section,
    at_mm: ArrayLike,
    strokes_mm: ArrayLike,
    length_mm: float,
    patch_mm: tuple[float, float],
    poisson: float = POISSON,
) -> HeelMovement:
    """Movement of points ``at_mm`` (r,) of the heel by a stroke at each of ``strokes_mm`` (n,).

    patch_mm : length along the bar and depth from the free edge. As :func:`beam_movement`, and what the
    walls do beside the stroke.
    """
    effect = stroke_effect(section, *patch_mm, poisson)
    beam = beam_movement(effect, at_mm, strokes_mm, length_mm, patch_mm[0])
    beside = beside_stroke(section, *patch_mm, poisson, effect.warping is not None)
    in_plane, out = beside.movement(np.subtract.outer(np.asarray(at_mm), np.asarray(strokes_mm)))
    return HeelMovement(beam.in_plane_mm + in_plane, beam.out_of_plane_mm + out, beam.twist_rad)


def beam_movement(
    effect: StrokeEffect, at_mm: ArrayLike, strokes_mm: ArrayLike, length_mm: float, patch_length_mm: float
) -> HeelMovement:
    """The same by bending and torsion of beams alone; near a stroke that leaves out some 0.1 mm a unit.

    The part before a stroke stays where it is and the part beyond it swings. Any rigid motion may be
    added. Small rotations from a straight bar; what the kink of a stroke near the end loses is left to
    ``end_loss``.
    """
    at, strokes = np.asarray(at_mm, dtype=float), np.asarray(strokes_mm, dtype=float)
    hinge = hinge_over_patch(at[:, None] - strokes[None, :], patch_length_mm)
    in_plane, out = effect.kink_per_strain_rad * hinge, effect.bow_per_strain_rad * hinge
    if effect.warping is None:
        return HeelMovement(in_plane, out, np.zeros_like(hinge))
    part = patch_length_mm * ((np.arange(PARTS) + 0.5) / PARTS - 0.5)
    each = effect.warping.twist_per_strain(at, (strokes[:, None] + part).ravel(), length_mm)
    twist = each.reshape(*hinge.shape, PARTS).mean(axis=-1)
    corner = effect.warping.corner_lever_mm * effect.warping.corner_per_strain(at, strokes, length_mm)
    return HeelMovement(
        in_plane + effect.warping.heel_lever_mm * twist + corner,
        out + effect.warping.heel_lever_out_mm * twist - corner,
        twist,
    )


def hinge_over_patch(beyond_mm: Array, patch_length_mm: float) -> Array:
    """(...) movement per unit kink (mm/rad) at a distance beyond a kink spread evenly over a patch."""
    half = 0.5 * patch_length_mm
    inside = np.abs(beyond_mm) < half
    return np.where(inside, (beyond_mm + half) ** 2 / (4.0 * half), np.maximum(beyond_mm, 0.0))


def middle_over_ends(moved: Array) -> Array:
    """(n,) what each stroke moves the middle by against the two ends; moved : (r, n) at an odd number of
    even places."""
    return np.asarray(moved[len(moved) // 2] - 0.5 * (moved[0] + moved[-1]))
