"""How far a disc as it is stands off the meridian that it should have, along the meridian's normals.

The profile is a smooth curve through the nodes of its shape, in the plane of r + iz. Where it lies more than
60 degrees across the target, as a flat disc to the rim of a bowl, the direction of measuring leans as it does
for a bar (:mod:`core.geometry.leaning`).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.geometry.leaning import Plane, crossing, dot, excess_rad
from core.geometry.spline import CubicSpline

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Spots:
    """Places on the profile (r,): arc length along it, point and tangent of length 1, straight on beyond the
    ends."""

    along_mm: Array
    point_mm: Plane
    tangent: Plane


class Profile:
    """The profile through nodes (m + 1, 2) of r and z from the pole; slopes (m + 1, 2, n) of their motion."""

    def __init__(self, nodes_mm: Array, slopes: Array) -> None:
        self.nodes_mm = nodes_mm
        nodes, moves = nodes_mm[:, 0] + 1j * nodes_mm[:, 1], slopes[:, 0] + 1j * slopes[:, 1]
        self._along = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(nodes)))])
        both: Any = CubicSpline(self._along, np.column_stack([nodes, moves]))  # of the plane
        self._line, self._moves = both[0], both[1:]

    def along_mm(self, flat_mm: Array, at_mm: Array) -> Array:
        """(r,) arc length along the profile of radii (r,) of the flat disc; flat_mm : (m + 1,) of the
        nodes."""
        return np.asarray(np.interp(at_mm, flat_mm, self._along))

    def spots(self, along_mm: Array) -> Spots:
        """The profile at these arc lengths."""
        inside = self._inside(along_mm)
        point, tangent = self._line.with_slope(inside)
        tangent = tangent / np.abs(tangent)
        return Spots(along_mm, point + (along_mm - inside) * tangent, tangent)

    def motion(self, along_mm: Array) -> Plane:
        """(r, n) motion of these places per unit of each change."""
        inside = self._inside(along_mm)
        tail = (along_mm - inside)[:, None]
        moves: Plane = self._moves(inside)
        return moves + tail * self._moves(inside, 1) if tail.any() else moves

    def gap(self, target_mm: Array, heading_rad: Array, start_mm: Array, lift_mm: float) -> tuple[Array, ...]:
        """Deviation (r,), its slopes (r, n) by the changes and (r,) by the profile's own shift outward at the
        pole.

        target_mm : (r, 2) places of the target and their headings (r,); start_mm : (r,) arc length at which
        each is looked for; lift_mm : the profile is shifted outward at the pole by so much, against the axis.
        """
        target = target_mm[:, 0] + 1j * (target_mm[:, 1] + lift_mm)  # as the shifted profile sees it
        start = self.spots(start_mm)
        excess, _ = excess_rad(np.angle(start.tangent) - heading_rad)
        along = np.exp(1j * (heading_rad + excess))

        def gone(spots: Spots) -> tuple[Array, Array]:
            return dot(spots.point_mm - target, along), dot(spots.tangent, along)

        met = self.spots(crossing(lambda place: gone(self.spots(place)), start_mm, gone(start)))
        outward, normal = -1j * along, -1j * met.tangent
        normal = normal / dot(normal, outward)
        slopes = dot(normal[:, None], self.motion(met.along_mm))
        return dot(met.point_mm - target, outward), slopes, -normal.imag

    def rim(self) -> tuple[Array, Array]:
        """Of the last place: (2,) radius and height over the first, mm, and their slopes (2, n)."""
        ends = np.array([0.0, self._along[-1]])
        (first, last), moves = self.spots(ends).point_mm, self.motion(ends)
        out, turned = last - first, moves[1] - moves[0]
        return np.array([out.real, out.imag]), np.array([turned.real, turned.imag])

    def _inside(self, along_mm: Array) -> Array:
        return np.asarray(np.minimum(np.maximum(along_mm, 0.0), self._along[-1]))
