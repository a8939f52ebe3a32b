"""Exact plane geometry of a bar against its target line.

The bar is straight stock with a kink at every site, each spread evenly over a short reach. Deviations
are measured along the target's outward normal (away from the centre of curvature where curvature is
positive), so a bar that is still straight is treated exactly, not by a small-angle formula. Where the bar
lies more than 60 degrees across its target the direction leans (:mod:`core.geometry.leaning`).

Points and directions of the plane are complex numbers, x + iy: times i is a quarter turn to the left,
and the real part of conj(a) b is the scalar product of a and b.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.geometry.leaning import LEAN_RAD, TURN_RAD, Plane, crossing, dot, excess_rad, followed
from core.geometry.line import TargetLine

Array = NDArray[np.float64]
CELL_MM = 30.0  # longest cell; the bar is an arc over each, its area is summed to the fourth order
SEAT_PARTS = 3  # outward shift (mm), tilt (rad, > 0 moves the far end outward), slide (mm)
NEAR_MM = 1e-4  # a step of Newton's method this short leaves an error of its square times the curvature
MOST_STEPS = 12
LEAST_ALONG = 0.2  # slope taken for the step of Newton's method where the bar lies across
NO_TURN = 1e-300  # rad, added where a turn is divided by: none at all is as good as so little


@dataclass(frozen=True)
class _Shape:
    """The bar as laid against the template: nodes of the grid and what is needed between them.

    tangent : direction of the bar; curvature : before the first node, between nodes, beyond the last;
    swept : integral of the bar's points along it, from its start to each node
    """

    heading: Array
    tangent: Plane
    curvature: Array
    points: Plane
    swept: Plane
    origin: complex


@dataclass(frozen=True)
class _Spots:
    """Places on the bar (r,): arc length, the node before it, point, heading, direction."""

    sigma: Array
    node: NDArray[np.intp]
    point: Plane
    heading: Array
    tangent: Plane


@dataclass(frozen=True)
class _Aslant:
    """How the measure turns with the bar's heading at its station (r,), which kinks turn (r, n).

    leans : rate of the direction; tail_mm : straight on from the bar; before : share of each kink before it
    """

    leans: Array
    tail_mm: Array
    before: Array


@dataclass(frozen=True)
class _Met:
    """Where each point of the target is measured to (r,).

    way : direction of measuring, outward; spots : on the bar itself; point : what is met;
    aslant : none where the measure is along the target's normal all over
    """

    way: Plane
    spots: _Spots
    point: Plane
    aslant: _Aslant | None = None


class BarGeometry:
    """Deviation of a bar from its target line, with slopes.

    line : the target; reach_mm : (n, 2) start and end of the stretch that each site's kink covers.
    """

    def __init__(self, line: TargetLine, reach_mm: Array) -> None:
        self.line = line
        self.reach_mm = reach_mm
        self.grid_mm = _grid(line.length_mm, reach_mm)
        self._cell_mm = np.diff(self.grid_mm)
        middle = np.array([0.5 * line.length_mm])
        self._start, self._end, (self._middle,) = (
            np.abs(self.grid_mm[:, None] - s).argmin(axis=0) for s in (*reach_mm.T, middle)
        )
        self._width = reach_mm[:, 1] - reach_mm[:, 0]
        ramp = self.ramp(self.grid_mm)
        self._ramp_middle = ramp[self._middle]
        held = np.where(self._ramp_middle > 0.0, self._middle, self._start)
        self._held = np.where(self._ramp_middle >= 1.0, self._end, held)
        self._ramp_from_middle = ramp - self._ramp_middle
        self._heading_middle = float(line.heading_rad(middle)[0])
        self._forward_middle = np.exp(1j * self._heading_middle)
        self._point_middle = _plane(line.point_mm(middle))[0]
        self._target = lru_cache(maxsize=8)(self._look_up)

    def ramp(self, s_mm: Array) -> Array:
        """(len(s), n) share of each site's kink that lies before s."""
        before = (s_mm[:, None] - self.reach_mm[:, 0]) / self._width
        share: Array = np.minimum(np.maximum(before, 0.0), 1.0)
        return share

    def linearise(self, kinks: Array, seat: Array, at_mm: Array) -> tuple[Array, Array, Array]:
        """Deviation (r,), influence (r, n) and seating columns (r, 3) at points of the target.

        kinks : (n,) rad made so far, > 0 closing; influence is by kinks still to be made, so a slope
        > 0 says how far a missing kink leaves the bar outward; seat : (3,) shift, tilt,
        slide of the bar; at_mm : (r,).
        """
        shape = self._lay(kinks, seat)
        target, heading, along = self._target(at_mm.tobytes())
        met = self._meet(shape, target, heading, along, at_mm)
        tangent = met.spots.tangent
        normal = -1j * tangent / dot(-1j * tangent, met.way)
        deviation = dot(met.point - target, met.way)
        influence = self._kink_motion(shape, met.spots, normal)
        forward = self._forward_middle
        tilt = dot(normal, -1j * (met.point - shape.origin))
        if met.aslant is not None:
            turned = met.aslant.leans * deviation * _slope(met.way, tangent)
            arm = met.aslant.tail_mm * dot(normal, 1j * tangent) + turned
            influence += arm[:, None] * (self._ramp_middle - met.aslant.before)
            tilt = tilt - turned
        seating = np.array([dot(normal, -1j * forward), tilt, dot(normal, forward)]).T
        return deviation, influence, seating

    def sagitta(self, kinks: Array, at_mm: Array, chord_mm: float) -> tuple[Array, Array]:
        """Mid-height over a short chord, target less bar (r,), and its slopes by missing kinks (r, n).

        at_mm : (r,) middles of the chord along the bar; > 0 where the bar is too open there.
        """
        shape = self._lay(kinks, np.zeros(SEAT_PARTS))
        places = [at_mm + shift for shift in (-0.5 * chord_mm, 0.0, 0.5 * chord_mm)]
        near, middle, far = (self._on_bar(shape, s) for s in places)
        target = [self._target(s.tobytes())[0] for s in places]
        along = far.point - near.point
        outward = -1j * along / np.abs(along)
        foot = (dot(middle.point - near.point, along) / np.abs(along) ** 2)[:, None]
        moved = [self._kink_motion(shape, spots, outward) for spots in (near, middle, far)]
        slopes = (1.0 - foot) * moved[0] - moved[1] + foot * moved[2]
        return _height(*target) - _height(near.point, middle.point, far.point), slopes

    def _look_up(self, at_mm: bytes) -> tuple[Plane, Array, Plane]:
        """Points, headings and directions of the target; the array of places comes as its bytes, to be
        remembered."""
        at = np.frombuffer(at_mm)
        heading = self.line.heading_rad(at)
        return _plane(self.line.point_mm(at)), heading, np.exp(1j * heading)

    def _lay(self, kinks: Array, seat: Array) -> _Shape:
        shift, tilt, slide = seat
        heading = self._heading_middle + self._ramp_from_middle @ kinks - tilt
        turn, tangent = heading[1:] - heading[:-1], np.exp(1j * heading)
        walk = _summed(self._cell_mm * tangent[:-1] * _arc(turn)[0])
        origin = self._point_middle + (slide - 1j * shift) * self._forward_middle
        points = walk + (origin - walk[self._middle])
        swept = _summed(_area(points[:-1], points[1:], tangent[:-1], tangent[1:], self._cell_mm))
        curvature = np.concatenate([[0.0], turn / self._cell_mm, [0.0]])
        return _Shape(heading, tangent, curvature, points, swept, origin)

    def _on_bar(self, shape: _Shape, sigma: Array) -> _Spots:
        """The bar at arc lengths sigma; straight on beyond its ends."""
        ahead = np.searchsorted(self.grid_mm, sigma)
        node = np.maximum(ahead - 1, 0)
        ds = sigma - self.grid_mm[node]
        turn = shape.curvature[ahead] * ds
        chord, turned = _arc(turn)
        leaving = shape.tangent[node]
        point = shape.points[node] + ds * leaving * chord
        return _Spots(sigma, node, point, shape.heading[node] + turn, leaving * turned)

    def _meet(self, shape: _Shape, target: Plane, heading: Array, tangent: Plane, at_mm: Array) -> _Met:
        """Where the target's normal at each point meets the bar (Newton), if it does so near the station."""
        spots = here = self._on_bar(shape, at_mm)
        across = here.heading - heading
        if np.abs(across).max() > LEAN_RAD:
            return self._meet_aslant(shape, target, tangent, here, across)
        for _ in range(MOST_STEPS):
            along = np.maximum(dot(tangent, spots.tangent), LEAST_ALONG)
            step = dot(spots.point - target, tangent) / along
            spots = self._on_bar(shape, spots.sigma - step)
            if np.abs(step).max() < NEAR_MM:
                break
        else:
            return self._meet_aslant(shape, target, tangent, here, across)
        if np.abs(spots.heading - here.heading).max() > TURN_RAD:
            return self._meet_aslant(shape, target, tangent, here, across)
        return _Met(-1j * tangent, spots, spots.point)

    def _meet_aslant(self, shape: _Shape, target: Plane, tangent: Plane, here: _Spots, across: Array) -> _Met:
        """The same where the bar lies far across the target, or turns much before it is met."""
        excess, leans = excess_rad(across)
        along = tangent * np.exp(1j * excess)
        first, last = followed(self.grid_mm, shape.heading, shape.curvature[1:-1], here.sigma, here.heading)

        def laid(sigma: Array) -> tuple[_Spots, Array, Plane]:
            spots = self._on_bar(shape, np.minimum(np.maximum(sigma, first), last))
            tail = sigma - spots.sigma
            return spots, tail, spots.point + tail * spots.tangent

        def gone(sigma: Array) -> tuple[Array, Array]:
            spots, _, point = laid(sigma)
            return dot(point - target, along), dot(along, spots.tangent)

        there = dot(here.point - target, along), dot(along, here.tangent)
        spots, tail, point = laid(crossing(gone, here.sigma, there))
        return _Met(-1j * along, spots, point, _Aslant(leans, tail, self.ramp(here.sigma)))

    def _kink_motion(self, shape: _Shape, spots: _Spots, normal: Plane) -> Array:
        """(r, n) motion along a direction (r,) per unit of each missing kink, mid-length held.

        Beyond its reach a kink turns the bar about the mean point of the reach; within, by its share about
        the mean point of what lies behind. What the middle of the bar would do comes off.
        """
        start, sigma = shape.swept[self._start], spots.sigma[:, None]
        centre, held = ((shape.swept[end] - start) / self._width for end in (self._end, self._held))
        arm = dot(normal, 1j * spots.point)
        levers = np.array([normal.imag, -normal.real, arm]).T
        motion = levers @ np.array([-held.real, -held.imag, self._ramp_middle])
        behind = sigma >= self.reach_mm[:, 1]
        whole = levers @ np.array([centre.real, centre.imag, np.full(len(centre), -1.0)])
        np.add(motion, whole, out=motion, where=behind)
        within = np.flatnonzero((sigma > self.reach_mm[:, 0]) & ~behind)
        at, kink = np.divmod(within, len(centre))
        width = self._width[kink]
        partly = (self._swept(shape, spots)[at] - start[kink]) / width
        share = (spots.sigma[at] - self.reach_mm[kink, 0]) / width
        motion[at, kink] += dot(normal[at], 1j * partly) - share * arm[at]
        return np.asarray(motion)

    def _swept(self, shape: _Shape, spots: _Spots) -> Plane:
        """(r,) integral of the bar's points along it, from its start to these places."""
        node = spots.node
        since = spots.sigma - self.grid_mm[node]
        area = _area(shape.points[node], spots.point, shape.tangent[node], spots.tangent, since)
        return shape.swept[node] + area


def _slope(way: Plane, tangent: Plane) -> Array:
    """How far the bar runs along the direction of measuring, for its way across it."""
    return dot(tangent, way) / dot(tangent, 1j * way)


def _plane(points: Array) -> Plane:
    """(r, 2) as complex numbers (r,)."""
    return np.asarray(points[:, 0] + 1j * points[:, 1])


def _area(start: Plane, end: Plane, leaving: Plane, arriving: Plane, length_mm: Array) -> Plane:
    """Integral of the points of arcs along them, from ends and tangents (Euler and Maclaurin's rule)."""
    return np.asarray(0.5 * length_mm * (start + end) - length_mm**2 / 12.0 * (arriving - leaving))


def _arc(turn: Array) -> tuple[Plane, Plane]:
    """Arcs of unit length that turn so much (rad) from the real axis: chord, and direction at the end."""
    half = 0.5 * turn + NO_TURN
    halfway = np.exp(1j * half)
    return halfway.imag / half * halfway, halfway * halfway


def _summed(steps: Plane) -> Plane:
    """Sum of all steps before each node, 0 at the first."""
    return np.concatenate([[0.0], np.cumsum(steps)])


def _height(near: Plane, middle: Plane, far: Plane) -> Array:
    """(r,) distance of the middle from the chord, > 0 on its right."""
    along = far - near
    return np.asarray(dot(-1j * along, middle - near) / np.abs(along))


def _grid(length_mm: float, reach_mm: Array) -> Array:
    """(m,) nodes along the bar: its ends and middle, where reaches start and end, and cells between."""
    knots = np.unique(np.concatenate([[0.0, 0.5 * length_mm, length_mm], reach_mm.ravel()]).round(9))
    pieces = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / CELL_MM))), endpoint=False) for a, b in pairwise(knots)
    ]
    return np.concatenate([*pieces, knots[-1:]])
