"""Cross-sections made of thin rectangles, and their properties.

Axes: y lies in the plane of curvature and points from the heel (y = 0) to the free edge of the worked
flange; z is out of plane. Corners are sharp; a bend radius is left out (it changes the area of a thin
folded section by about 1 per cent).

Second moments are named after the axis that is bent about, as in tables: ``izz_mm4`` is the integral of
(y - yc)^2 dA and resists bending in the plane of curvature; ``iyy_mm4`` that of (z - zc)^2 dA; ``iyz_mm4``
that of (y - yc)(z - zc) dA.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from core.geometry.line import Array


@dataclass(frozen=True)
class Rectangle:
    """One rectangle of a section, mm; free_edge : its side "y0", "y1" or "z1" that is free, if one is."""

    y0: float
    y1: float
    z0: float
    z1: float
    free_edge: str = "y1"

    @property
    def area_mm2(self) -> float:
        """Area, mm^2."""
        return (self.y1 - self.y0) * (self.z1 - self.z0)

    @property
    def centre_mm(self) -> tuple[float, float]:
        """Centre (y, z), mm."""
        return 0.5 * (self.y0 + self.y1), 0.5 * (self.z0 + self.z1)

    def edge_strip(self, depth_mm: float) -> Rectangle:
        """The strip of this rectangle along its free edge."""
        if self.free_edge == "y0":
            return replace(self, y1=self.y0 + depth_mm)
        if self.free_edge == "z1":
            return replace(self, z0=self.z1 - depth_mm)
        return replace(self, y0=self.y1 - depth_mm)


@dataclass(frozen=True)
class Wall:
    """One wall of the section's middle line, from one node to another.

    start, end : numbers of the nodes; walls are listed so that ``start`` was reached before
    """

    start: int
    end: int
    thickness_mm: float


@dataclass(frozen=True)
class OtherFlange:
    """A flange with a free edge that the work leaves alone.

    name : as the trade says; rectangle : with its free edge; wall : index of the wall under it, whose ``end``
    is the free edge; width_mm : over the outside
    """

    name: str
    rectangle: Rectangle
    wall: int
    width_mm: float


@dataclass(frozen=True)
class Section:
    """A section of thin walls.

    shape : trade name of the shape; thickness_mm : of the wall
    flange_mm : width of the worked flange
    rectangles : parts that do not overlap and fill the section
    worked : rectangles that the tool reaches, each with its free edge at y1
    nodes_mm : (y, z) of the middle line's nodes; walls : between them, no closed loop
    worked_walls : index of the wall under each worked rectangle; its ``end`` is the free edge
    other : the flange on the side z > 0 that is not worked; None where there is no such edge
    """

    shape: str
    thickness_mm: float
    flange_mm: float
    rectangles: tuple[Rectangle, ...]
    worked: tuple[Rectangle, ...]
    nodes_mm: tuple[tuple[float, float], ...]
    walls: tuple[Wall, ...]
    worked_walls: tuple[int, ...]
    other: OtherFlange | None = None

    def turned_to(self, other: OtherFlange) -> Section:
        """The same section in the same axes with this flange worked instead."""
        return replace(
            self, worked=(other.rectangle,), worked_walls=(other.wall,), flange_mm=other.width_mm, other=None
        )

    @cached_property
    def area_mm2(self) -> float:
        """Area, mm^2."""
        return sum(part.area_mm2 for part in self.rectangles)

    @cached_property
    def centroid_mm(self) -> tuple[float, float]:
        """Centroid (y, z) from the heel, mm."""
        y, z = self._areas @ self._centres / self.area_mm2
        return float(y), float(z)

    @cached_property
    def inertia_mm4(self) -> Array:
        """(2, 2) second moments about the centroid, [[izz, iyz], [iyz, iyy]], mm^4."""
        lever = self._centres - np.array(self.centroid_mm)
        sides = np.array([(part.y1 - part.y0, part.z1 - part.z0) for part in self.rectangles])
        own = np.diag(self._areas @ sides**2 / 12.0)
        return np.asarray(own + np.einsum("k,ki,kj->ij", self._areas, lever, lever))

    @property
    def izz_mm4(self) -> float:
        """Second moment that resists bending in the plane of curvature, mm^4."""
        return float(self.inertia_mm4[0, 0])

    @property
    def iyy_mm4(self) -> float:
        """Second moment that resists bending out of plane, mm^4."""
        return float(self.inertia_mm4[1, 1])

    @property
    def iyz_mm4(self) -> float:
        """Product of inertia, mm^4; 0 for a section that is symmetric in y or in z."""
        return float(self.inertia_mm4[0, 1])

    @cached_property
    def principal_mm4(self) -> tuple[float, float]:
        """Principal second moments, larger first, mm^4."""
        small, large = np.linalg.eigvalsh(self.inertia_mm4)
        return float(large), float(small)

    @cached_property
    def principal_angle_rad(self) -> float:
        """Angle from y towards z of the direction with the larger moment, -pi/2 to pi/2, rad."""
        return float(0.5 * np.arctan2(2.0 * self.iyz_mm4, self.izz_mm4 - self.iyy_mm4))

    @property
    def worked_edge_distance_mm(self) -> float:
        """From the centroid to the free edge of the worked flange, in the plane of curvature, mm."""
        return self.worked[0].y1 - self.centroid_mm[0]

    @cached_property
    def _areas(self) -> Array:
        return np.array([part.area_mm2 for part in self.rectangles])

    @cached_property
    def _centres(self) -> Array:
        return np.array([part.centre_mm for part in self.rectangles])
