"""How far a disc as it is stands off the meridian that it should have, along the meridian's normals.

The profile is a smooth curve through the nodes of its shape. Where it lies more than 60 degrees across the
target, as a flat disc to the rim of a bowl, the direction of measuring leans as it does for a bar
(:mod:`core.geometry.leaning`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.leaning import crossing, excess_rad
from core.geometry.spline import CubicSpline

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Spots:
    """Places on the profile (r,): arc length along it, point (r, 2), heading, straight on beyond the ends."""

    along_mm: Array
    point_mm: Array
    heading_rad: Array


class Profile:
    """The profile through nodes (m + 1, 2) of r and z from the pole; slopes (m + 1, 2, n) of their motion."""

    def __init__(self, nodes_mm: Array, slopes: Array) -> None:
        self._along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(nodes_mm, axis=0).T))])
        self._spline = CubicSpline(self._along, nodes_mm)
        self._moves = CubicSpline(self._along, slopes)

    def along_mm(self, flat_mm: Array, at_mm: Array) -> Array:
        """(r,) arc length along the profile of radii (r,) of the flat disc; flat_mm : (m + 1,) of the
        nodes."""
        return np.asarray(np.interp(at_mm, flat_mm, self._along))

    def spots(self, along_mm: Array) -> Spots:
        """The profile at these arc lengths."""
        inside = np.clip(along_mm, 0.0, self._along[-1])
        tangent = self._spline(inside, 1)
        tangent = tangent / np.hypot(*tangent.T)[:, None]
        point = self._spline(inside) + (along_mm - inside)[:, None] * tangent
        return Spots(along_mm, point, np.arctan2(tangent[:, 1], tangent[:, 0]))

    def motion(self, along_mm: Array) -> Array:
        """(r, 2, n) motion of these places per unit of each change."""
        inside = np.clip(along_mm, 0.0, self._along[-1])
        tail = (along_mm - inside)[:, None, None]
        moves = self._moves(inside)
        return moves + tail * self._moves(inside, 1) if tail.any() else moves

    def gap(self, target_mm: Array, heading_rad: Array, start_mm: Array, lift_mm: float) -> tuple[Array, ...]:
        """Deviation (r,), its slopes (r, n) by the changes and (r,) by the profile's own shift outward at the
        pole.

        target_mm : (r, 2) places of the target and their headings (r,); start_mm : (r,) arc length at which
        each is looked for; lift_mm : the profile is shifted outward at the pole by so much, against the axis.
        """
        shift = np.array([0.0, -lift_mm])
        excess, _ = excess_rad(self.spots(start_mm).heading_rad - heading_rad)
        along = np.column_stack([np.cos(heading_rad + excess), np.sin(heading_rad + excess)])
        outward = np.column_stack([along[:, 1], -along[:, 0]])

        def gone(place: Array) -> tuple[Array, Array]:
            spots = self.spots(place)
            heading = np.column_stack([np.cos(spots.heading_rad), np.sin(spots.heading_rad)])
            return np.sum((spots.point_mm + shift - target_mm) * along, axis=1), np.sum(
                along * heading, axis=1
            )

        met = self.spots(crossing(gone, start_mm))
        normal = np.column_stack([np.sin(met.heading_rad), -np.cos(met.heading_rad)])
        normal = normal / np.sum(normal * outward, axis=1)[:, None]
        deviation = np.sum((met.point_mm + shift - target_mm) * outward, axis=1)
        return deviation, np.einsum("rk,rkn->rn", normal, self.motion(met.along_mm)), -normal[:, 1]

    def rim(self) -> tuple[Array, Array]:
        """Of the last place: (2,) radius and height over the first, mm, and their slopes (2, n)."""
        ends = np.array([0.0, self._along[-1]])
        (first, last), moves = self.spots(ends).point_mm, self.motion(ends)
        return last - first, np.asarray(moves[1] - moves[0])
