"""Exact plane geometry of a bar against its target line.

The bar is straight stock with a kink at every site, each spread evenly over a short reach. Deviations
are measured along the target's outward normal (away from the centre of curvature where curvature is
positive), so a bar that is still straight is treated exactly, not by a small-angle formula.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.geometry.line import TargetLine

Array = NDArray[np.float64]
CELL_MM = 10.0  # a cell is short enough when the heading is near enough linear over it
SEAT_PARTS = 3  # outward shift (mm), tilt (rad, > 0 moves the far end outward), slide (mm)


@dataclass(frozen=True)
class _Shape:
    """The bar as laid against the template: nodes of the grid and what is needed between them."""

    heading: Array
    curvature: Array
    points: Array
    origin: Array


class BarGeometry:
    """Deviation of a bar from its target line, with slopes.

    line : the target; reach_mm : (n, 2) start and end of the stretch that each site's kink covers.
    """

    def __init__(self, line: TargetLine, reach_mm: Array) -> None:
        self.line = line
        self.reach_mm = reach_mm
        self.grid_mm = _grid(line.length_mm, reach_mm)
        self._middle = 0.5 * line.length_mm
        self._ramp_nodes = self.ramp(self.grid_mm)
        self._reach_nodes = tuple(
            np.abs(self.grid_mm[:, None] - reach_mm[:, k]).argmin(axis=0) for k in (0, 1)
        )
        self._ramp_middle = self.ramp(np.array([self._middle]))[0]
        self._heading_middle = float(line.heading_rad(np.array([self._middle]))[0])
        self._point_middle = line.point_mm(np.array([self._middle]))[0]

    def ramp(self, s_mm: Array) -> Array:
        """(len(s), n) share of each site's kink that lies before s."""
        start, end = self.reach_mm[:, 0], self.reach_mm[:, 1]
        share: Array = np.clip((s_mm[:, None] - start) / (end - start), 0.0, 1.0)
        return share

    def linearise(self, kinks: Array, seat: Array, at_mm: Array) -> tuple[Array, Array, Array]:
        """Deviation (r,), influence (r, n) and seating columns (r, 3) at points of the target.

        kinks : (n,) rad made so far, > 0 closing; influence is by kinks still to be made, so a slope
        > 0 says how far a missing kink leaves the bar outward; seat : (3,) shift, tilt,
        slide of the bar; at_mm : (r,).
        """
        shape = self._lay(kinks, seat)
        target = self.line.point_mm(at_mm)
        psi = self.line.heading_rad(at_mm)
        tangent = np.stack([np.cos(psi), np.sin(psi)], axis=1)
        outward = np.stack([np.sin(psi), -np.cos(psi)], axis=1)
        sigma = self._meet(shape, target, tangent, at_mm)
        cell, point, heading = self._on_bar(shape, sigma)
        normal = np.stack([np.sin(heading), -np.cos(heading)], axis=1)
        normal /= np.sum(normal * outward, axis=1, keepdims=True)
        moved = self._kink_motion(shape, sigma, cell, point)
        influence = np.einsum("rc,rnc->rn", normal, moved)
        arm = point - shape.origin
        tilt = normal[:, 0] * arm[:, 1] - normal[:, 1] * arm[:, 0]
        t0, n0 = self._frame()
        seating = np.stack([normal @ n0, tilt, normal @ t0], axis=1)
        deviation = np.sum((point - target) * outward, axis=1)
        return deviation, influence, seating

    def sagitta(self, kinks: Array, at_mm: Array, chord_mm: float) -> tuple[Array, Array]:
        """Mid-height over a short chord, target less bar (r,), and its slopes by missing kinks (r, n).

        at_mm : (r,) middles of the chord along the bar; > 0 where the bar is too open there.
        """
        shape = self._lay(kinks, np.zeros(SEAT_PARTS))
        places = [at_mm - 0.5 * chord_mm, at_mm, at_mm + 0.5 * chord_mm]
        near, middle, far = (self._on_bar(shape, s) for s in places)
        target = [self.line.point_mm(s) for s in places]
        moved = [
            self._kink_motion(shape, s, node, point)
            for s, (node, point, _) in zip(places, (near, middle, far), strict=True)
        ]
        along = far[1] - near[1]
        reach = np.hypot(along[:, 0], along[:, 1])[:, None]
        unit = along / reach
        outward = -_left(unit)
        foot = np.sum((middle[1] - near[1]) * unit, axis=1)[:, None] / reach
        rise = moved[1] - moved[0] - foot[:, :, None] * (moved[2] - moved[0])
        slopes = -np.einsum("rc,rnc->rn", outward, rise)
        return _height(*target) - _height(near[1], middle[1], far[1]), slopes

    def _frame(self) -> tuple[Array, Array]:
        """Tangent and outward normal of the target at mid-length."""
        c, s = np.cos(self._heading_middle), np.sin(self._heading_middle)
        return np.array([c, s]), np.array([s, -c])

    def _lay(self, kinks: Array, seat: Array) -> _Shape:
        shift, tilt, slide = seat
        heading = self._heading_middle + (self._ramp_nodes - self._ramp_middle) @ kinks - tilt
        turn = np.diff(heading)
        step = np.diff(self.grid_mm)
        chord = step * np.sinc(turn / (2.0 * np.pi))
        along = 0.5 * (heading[1:] + heading[:-1])
        walk = np.zeros((len(self.grid_mm), 2))
        walk[1:, 0] = np.cumsum(chord * np.cos(along))
        walk[1:, 1] = np.cumsum(chord * np.sin(along))
        t0, n0 = self._frame()
        origin = self._point_middle + shift * n0 + slide * t0
        shape = _Shape(heading, turn / step, walk, origin)
        middle = self._on_bar(shape, np.array([self._middle]))[1][0]
        return _Shape(heading, turn / step, walk - middle + origin, origin)

    def _on_bar(self, shape: _Shape, sigma: Array) -> tuple[NDArray[np.intp], Array, Array]:
        """Cell, point and heading of the bar at arc lengths sigma; straight on beyond its ends."""
        cell = np.clip(np.searchsorted(self.grid_mm, sigma) - 1, 0, len(self.grid_mm) - 2)
        node = np.where(sigma > self.grid_mm[-1], cell + 1, cell)
        inside = (sigma >= self.grid_mm[0]) & (sigma <= self.grid_mm[-1])
        kappa = np.where(inside, shape.curvature[cell], 0.0)
        ds = sigma - self.grid_mm[node]
        along = shape.heading[node] + 0.5 * kappa * ds
        reach = (ds * np.sinc(kappa * ds / (2.0 * np.pi)))[:, None]
        point = shape.points[node] + reach * np.stack([np.cos(along), np.sin(along)], axis=1)
        return node, point, shape.heading[node] + kappa * ds

    def _meet(self, shape: _Shape, target: Array, tangent: Array, start: Array) -> Array:
        """Arc length at which the target's normal at each point meets the bar (Newton)."""
        sigma = start.copy()
        for _ in range(12):
            _, point, heading = self._on_bar(shape, sigma)
            along = tangent[:, 0] * np.cos(heading) + tangent[:, 1] * np.sin(heading)
            step = np.sum((point - target) * tangent, axis=1) / np.maximum(along, 0.2)
            sigma = sigma - step
            if np.max(np.abs(step)) < 1e-9:
                break
        return sigma

    def _kink_motion(self, shape: _Shape, sigma: Array, node: NDArray[np.intp], point: Array) -> Array:
        """(r, n, 2) motion of the bar at sigma per unit of each missing kink, mid-length held.

        Beyond its reach a kink turns the bar about the mean point of the reach; within, partly.
        """
        step = np.diff(self.grid_mm)[:, None]
        swept = np.zeros_like(shape.points)
        np.cumsum(0.5 * step * (shape.points[1:] + shape.points[:-1]), axis=0, out=swept[1:])
        here = self._turning(shape, swept, sigma, node, point)
        centre = np.array([self._middle])
        mid_node, mid_point, _ = self._on_bar(shape, centre)
        there = self._turning(shape, swept, centre, mid_node, mid_point)
        arm = _left(point - shape.origin)
        motion: Array = arm[:, None, :] * self._ramp_middle[None, :, None] - (here - there)
        return motion

    def _turning(
        self, shape: _Shape, swept: Array, sigma: Array, node: NDArray[np.intp], point: Array
    ) -> Array:
        """(r, n, 2) motion at sigma per unit of each kink, the start of the bar held.

        swept : integral of the bar's points along it, at the nodes.
        """
        start, end = self._reach_nodes
        width = self.reach_mm[:, 1] - self.reach_mm[:, 0]
        share = self.ramp(sigma)
        so_far = swept[node] + 0.5 * (sigma - self.grid_mm[node])[:, None] * (shape.points[node] + point)
        partly = (so_far[:, None, :] - swept[start]) / width[:, None]
        wholly = (swept[end] - swept[start]) / width[:, None]
        about = np.where((share >= 1.0)[:, :, None], wholly, np.where((share > 0.0)[:, :, None], partly, 0.0))
        return _left(share[:, :, None] * point[:, None, :] - about)


def _height(near: Array, middle: Array, far: Array) -> Array:
    """(r,) distance of the middle from the chord, > 0 on its right."""
    along = far - near
    cross = along[:, 1] * (middle - near)[:, 0] - along[:, 0] * (middle - near)[:, 1]
    height: Array = cross / np.hypot(along[:, 0], along[:, 1])
    return height


def _left(vectors: Array) -> Array:
    """Vectors turned a quarter to the left."""
    return np.stack([-vectors[..., 1], vectors[..., 0]], axis=-1)


def _grid(length_mm: float, reach_mm: Array) -> Array:
    knots = np.unique(np.concatenate([[0.0, length_mm], reach_mm.ravel()]).round(9))
    pieces = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / CELL_MM))), endpoint=False) for a, b in pairwise(knots)
    ]
    return np.concatenate([*pieces, knots[-1:]])
