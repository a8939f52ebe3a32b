"""The line on the plate about which a flange is turned, cut into sectors.

It consists of arcs and straights; convex arcs (radius > 0) bulge away from the plate, concave ones (< 0) are
saddles in its edge, and a hole is concave all round. Arc length runs along it as it is drawn, the plate on
the left of convex arcs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.segments import SegmentLine, from_segments

Array = NDArray[np.float64]
MEETS, MEETS_RAD = 0.005, np.radians(1.0)  # share of the length, and turn, within which the ends meet


@dataclass(frozen=True)
class Sectors:
    """position_mm : (n,) middle of each along the outline; width_mm : (n,); curvature_per_mm : (n,) > 0
    convex, 0 straight; one sector never lies on two segments."""

    position_mm: Array
    width_mm: Array
    curvature_per_mm: Array

    @property
    def ends_mm(self) -> Array:
        """(n, 2) where each begins and ends."""
        half = 0.5 * self.width_mm
        return np.column_stack([self.position_mm - half, self.position_mm + half])


@dataclass(frozen=True)
class FlangeOutline:
    """Segments in order, each with length and signed radius in mm, None for a straight."""

    segments: tuple[tuple[float, float | None], ...]

    @classmethod
    def circle(cls, diameter_mm: float, convex: bool) -> FlangeOutline:
        """A full turn: the rim of a disc, or a hole."""
        radius = 0.5 * diameter_mm
        return cls(((2.0 * np.pi * radius, radius if convex else -radius),))

    @property
    def length_mm(self) -> float:
        """Of all segments together."""
        return float(sum(length for length, _ in self.segments))

    @property
    def line(self) -> SegmentLine:
        """The outline as it is drawn."""
        return from_segments(list(self.segments))

    @property
    def closed(self) -> bool:
        """Whether it comes back to where it began, going the same way."""
        line, ends = self.line, np.array([0.0, self.length_mm])
        apart = float(np.hypot(*np.diff(line.point_mm(ends), axis=0)[0]))
        turn = abs(float(np.diff(line.heading_rad(ends))[0]))
        return apart <= MEETS * self.length_mm and abs(turn - 2.0 * np.pi) <= MEETS_RAD

    def sectors(self, pitch_mm: float) -> Sectors:
        """Every segment cut evenly into sectors as near to the pitch as whole numbers allow."""
        found = [_cut(length, radius, pitch_mm) for length, radius in self.segments]
        width = np.concatenate([widths for widths, _ in found])
        curvature = np.concatenate([curvatures for _, curvatures in found])
        return Sectors(np.cumsum(width) - 0.5 * width, width, curvature)

    def points_mm(self, count: int) -> Array:
        """(count, 2) evenly along the outline."""
        return self.line.point_mm(np.linspace(0.0, self.length_mm, count))


def _cut(length_mm: float, radius_mm: float | None, pitch_mm: float) -> tuple[Array, Array]:
    count = max(1, round(length_mm / pitch_mm))
    curvature = 0.0 if radius_mm is None else 1.0 / radius_mm
    return np.full(count, length_mm / count), np.full(count, curvature)


def sides_of(curvature_per_mm: Array) -> Array:
    """(n,) +1 where turning a flange up shortens its edge, -1 where it lengthens it. Straight sectors, where
    it does neither, go with the convex ones, and with the concave ones on an outline that has no others."""
    sides = np.sign(curvature_per_mm)
    straight = -1.0 if np.any(sides < 0.0) and not np.any(sides > 0.0) else 1.0
    return np.asarray(np.where(sides == 0.0, straight, sides))
