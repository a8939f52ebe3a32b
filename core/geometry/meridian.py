"""The meridian of a dish: half of its section, from the pole outwards.

A meridian is a line of :mod:`core.geometry.line` in the plane of r (from the axis) and z (along it, from the
pole). The dish lies with its hollow up: z rises towards the rim, the heading phi is the angle of the surface
against the plane of the rim, 0 at the pole, and curvature is > 0. Outward is the line's right-hand normal,
(sin phi, -cos phi).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import acos, asin, pi

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.geometry.curve import SplineLine
from core.geometry.fairness import fairness_warnings
from core.geometry.line import Array, TargetLine
from core.geometry.points import checked_points, chord_lengths
from core.geometry.segments import from_arc, from_segments
from core.geometry.spline import CubicSpline
from core.geometry.traced import LEAST_TRACED, scatter_warnings, smooth_curve

LEAST_POINTS = 3
NEXT_TO_AXIS = 0.25  # share of the rim's radius within which a tracing has to begin


@dataclass(frozen=True)
class Meridian:
    """One meridian, addressed by arc length s from the pole.

    line : starts at the pole, or before it where it was mirrored about the axis; pole_mm : arc length of the
    line at the pole; warnings : what looks doubtful, one sentence each
    """

    line: TargetLine
    pole_mm: float = 0.0
    warnings: tuple[str, ...] = ()

    @property
    def length_mm(self) -> float:
        """From the pole to the rim."""
        return self.line.length_mm - self.pole_mm

    def points_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) r and z, mm; z is 0 at the pole."""
        return np.asarray(self.line.point_mm(self.pole_mm + np.asarray(s_mm, dtype=float)) - self._pole)

    @cached_property
    def _pole(self) -> Array:
        return self.line.point_mm(self.pole_mm)

    def slope_rad(self, s_mm: ArrayLike) -> Array:
        """(...) phi, the angle of the surface against the plane of the rim."""
        return self.line.heading_rad(self.pole_mm + np.asarray(s_mm, dtype=float))

    def curvature_per_mm(self, s_mm: ArrayLike) -> Array:
        """(...) curvature along the meridian, > 0 where it is hollow."""
        return self.line.curvature_per_mm(self.pole_mm + np.asarray(s_mm, dtype=float))

    @property
    def rim_mm(self) -> tuple[float, float]:
        """Radius of the rim, and its depth over the pole."""
        radius, depth = self.points_mm(self.length_mm)
        return float(radius), float(depth)

    def area_mm2(self) -> float:
        """Of the whole dish, by Simpson's rule."""
        s = np.linspace(0.0, self.length_mm, 4001)
        weight = np.full(len(s), 2.0)
        weight[1::2], weight[[0, -1]] = 4.0, 1.0
        return float(2.0 * pi * weight @ self.points_mm(s)[:, 0] * (s[1] - s[0]) / 3.0)


def spherical(radius_mm: float, *, depth_mm: float | None = None, angle_rad: float | None = None) -> Meridian:
    """Cap of a sphere of this radius, to a depth h or to a rim whose slope is an angle; a quarter turn and h
    = R are a hemisphere, and the most. Meridian R phi, rim R sin phi, h = R (1 - cos phi).

    Raises InputError, ``shape.radius``, ``shape.depth`` or ``shape.angle``.
    """
    _above_none("shape.radius", radius_mm)
    if (depth_mm is None) == (angle_rad is None):
        raise InputError("shape", (depth_mm, angle_rad), "either the depth or the angle of the rim is wanted")
    if depth_mm is not None:
        _above_none("shape.depth", depth_mm)
        if depth_mm > radius_mm * (1.0 + 1e-12):
            raise InputError("shape.depth", depth_mm, f"at most the radius, {radius_mm:g} mm, is wanted")
        angle = acos(max(0.0, 1.0 - depth_mm / radius_mm))
    else:
        angle = float(angle_rad or 0.0)
        if not 0.0 < angle <= 0.5 * pi * (1.0 + 1e-12):
            raise InputError("shape.angle", angle_rad, "an angle above 0 and up to 90 degrees is wanted")
    return Meridian(from_arc(radius_mm, angle_rad=angle))


def over_rim(diameter_mm: float, depth_mm: float) -> Meridian:
    """Cap of a sphere over a rim of this diameter d: R = (d^2/4 + h^2)/(2 h). Raises InputError as
    ``spherical``."""
    _above_none("shape.diameter", diameter_mm)
    _above_none("shape.depth", depth_mm)
    half = 0.5 * diameter_mm
    if depth_mm > half * (1.0 + 1e-12):
        raise InputError("shape.depth", depth_mm, f"at most half the diameter, {half:g} mm, is wanted")
    return spherical((half**2 + depth_mm**2) / (2.0 * depth_mm), depth_mm=depth_mm)


def torispherical(
    crown_radius_mm: float, knuckle_radius_mm: float, diameter_mm: float, straight_mm: float = 0.0
) -> Meridian:
    """Dished end: a crown of radius R, a knuckle of radius r about it, a straight flange of this height.

    diameter_mm : D of the flange. The crown ends at sin phi = (D/2 - r)/(R - r); the depth without the flange
    is R - sqrt((R - r)^2 - (D/2 - r)^2) (any text on pressure vessels; all three of one face of the sheet).
    Raises InputError for radii that do not go together.
    """
    half = 0.5 * diameter_mm
    for name, value in (("diameter", diameter_mm), ("knuckle_radius", knuckle_radius_mm)):
        _above_none(f"shape.{name}", value)
    if not knuckle_radius_mm < half:
        wanted = f"less than half the diameter, {half:g} mm, is wanted"
        raise InputError("shape.knuckle_radius", knuckle_radius_mm, wanted)
    if not crown_radius_mm >= half:
        wanted = f"at least half the diameter, {half:g} mm, is wanted"
        raise InputError("shape.crown_radius", crown_radius_mm, wanted)
    crown = asin((half - knuckle_radius_mm) / (crown_radius_mm - knuckle_radius_mm))
    pieces: list[tuple[float, float | None]] = [(crown_radius_mm * crown, crown_radius_mm)]
    pieces.append((knuckle_radius_mm * (0.5 * pi - crown), knuckle_radius_mm))
    if straight_mm:
        _above_none("shape.straight", straight_mm)
        pieces.append((straight_mm, None))
    return Meridian(from_segments(pieces))


def through_profile(points_mm: ArrayLike, sd_mm: float = 0.0) -> Meridian:
    """Spline through a table of (r, z), (k, 2), k >= 3, from the pole to the rim; the first row has r = 0.

    The table is mirrored about the axis, so that the dish is smooth at its pole. sd_mm : how far a table that
    was measured may be off. Raises InputError,
    ``shape.profile_mm``.
    """
    points = _from_the_axis("shape.profile_mm", points_mm, LEAST_POINTS)
    if points[0, 0] != 0.0:
        raise InputError("shape.profile_mm[0]", points[0].tolist(), "the pole, r = 0, is wanted first")
    both = np.vstack([points[:0:-1] * [-1.0, 1.0], points])
    along = chord_lengths(both)
    line = SplineLine(CubicSpline(along, both), smoothing_sd_mm=sd_mm)
    return Meridian(line, 0.5 * line.length_mm, fairness_warnings(points))


def traced_profile(points_mm: ArrayLike, sd_mm: float) -> Meridian:
    """Smooth meridian through traced points of (r, z), (k, 2), k >= 8, from the pole to the rim; noisy.

    sd_mm : standard deviation of a point across the profile. Mirrored about the axis and smoothed as a traced
    line is (:mod:`core.geometry.traced`). Raises InputError, ``shape.traced_mm`` or ``shape.tracing_sd``.
    """
    points = _from_the_axis("shape.traced_mm", points_mm, LEAST_TRACED)
    _above_none("shape.tracing_sd", sd_mm)
    first, rim = points[[0, -1], 0]
    if first > NEXT_TO_AXIS * rim:
        wanted = f"a first point next to the pole, r up to {NEXT_TO_AXIS * rim:.3g} mm, is wanted"
        raise InputError("shape.traced_mm[0]", points[0].tolist(), wanted)
    beside = points[points[:, 0] > 0.0]
    smoothed, error = smooth_curve(np.vstack([beside[::-1] * [-1.0, 1.0], points]), sd_mm)
    fitted = smoothed.fitted[len(beside) :]
    odd = scatter_warnings(points, fitted, 0.5 * smoothed.freedom, sd_mm)
    line = SplineLine(smoothed.spline, smoothing_sd_mm=error)
    return Meridian(line, 0.5 * line.length_mm, odd)


def _from_the_axis(field: str, points_mm: ArrayLike, least: int) -> Array:
    """(k, 2) points none of which lies on the far side of the axis, the last one the farthest out and higher
    than the first."""
    points = checked_points(field, points_mm, least)
    beyond = np.flatnonzero(points[:, 0] < 0.0)
    if beyond.size:
        k = int(beyond[0])
        raise InputError(
            f"{field}[{k}]", points[k].tolist(), "a distance from the axis of 0 or more is wanted first"
        )
    if points[0, 0] >= points[-1, 0]:
        raise InputError(field, points[-1].tolist(), "points from the pole outwards are wanted")
    if points[-1, 1] <= points[0, 1]:
        wanted = (
            "a rim that is higher than the middle is wanted: heights z rise from the middle to the rim, "
            "hollow up; of a dome that was measured as it stands, turn the sign of every z"
        )
        raise InputError(f"{field}[{len(points) - 1}]", points[-1].tolist(), wanted)
    return points


def _above_none(field: str, value: float) -> None:
    if not value > 0.0:
        raise InputError(field, value, "more than 0 is wanted")
