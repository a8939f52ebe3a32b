"""Stretches of a drawn line: straights, arcs of circles and ellipses, Bézier curves, any formula."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import comb, hypot

import numpy as np

from core.geometry.line import Array

CHORDS = 1024  # that a length without a closed form is summed over
ROUND = 1e-9  # how far the axes of an ellipse may differ, as a share, for a circle
NEAR_END = 1e-6  # share of a piece over which its direction at an end is taken


@dataclass(frozen=True)
class Piece:
    """One stretch of a drawn line.

    at : (n,) shares of it from 0 to 1 -> (n, 2) points; bend : its curvature, > 0 to the left, 0 for a
    straight, None where it varies; length : along it; place : line of the file that it is from
    """

    at: Callable[[Array], Array]
    bend: float | None
    length: float
    place: int

    @property
    def start(self) -> Array:
        """(2,) its first point."""
        return np.asarray(self.at(np.zeros(1))[0])

    @property
    def end(self) -> Array:
        """(2,) its last point."""
        return np.asarray(self.at(np.ones(1))[0])

    def headings_rad(self) -> tuple[float, float]:
        """Direction at its start and at its end, from the x axis."""
        first, last = np.diff(self.at(np.array([0.0, NEAR_END, 1.0 - NEAR_END, 1.0])), axis=0)[[0, 2]]
        return float(np.arctan2(first[1], first[0])), float(np.arctan2(last[1], last[0]))

    def backwards(self) -> Piece:
        """The same from its other end."""
        at = self.at
        return replace(self, at=lambda t: at(1.0 - t), bend=None if self.bend is None else -self.bend)

    def scaled(self, factor: float) -> Piece:
        """The same in a unit of which ``factor`` go into the present one."""
        at = self.at
        return Piece(
            lambda t: factor * at(t),
            None if self.bend is None else self.bend / factor,
            factor * self.length,
            self.place,
        )


def straight(start: Sequence[float] | Array, end: Sequence[float] | Array, place: int) -> Piece:
    """From one point (2,) to another."""
    p, way = np.asarray(start, dtype=float), np.subtract(end, start)
    return Piece(lambda t: p + t[:, None] * way, 0.0, hypot(*way), place)


def elliptic(centre: Array, axes: Array, start_rad: float, sweep_rad: float, place: int) -> Piece:
    """centre + axes (2, 2) @ (cos a, sin a) for a from ``start_rad`` over ``sweep_rad``, of either sign."""

    def at(t: Array) -> Array:
        a = start_rad + t * sweep_rad
        return np.asarray(centre + np.column_stack([np.cos(a), np.sin(a)]) @ axes.T)

    square = axes.T @ axes
    radius = float(np.sqrt(0.5 * np.trace(square)))
    if np.max(np.abs(square - radius**2 * np.eye(2))) > ROUND * radius**2:
        return curve(at, place)
    turn = float(np.sign(sweep_rad * np.linalg.det(axes)))
    return Piece(at, turn / radius, radius * abs(sweep_rad), place)


def bezier(control: Array, place: int) -> Piece:
    """Bézier curve over its (k, 2) control points, k >= 3."""
    degree = len(control) - 1
    ways = np.array([comb(degree, i) for i in range(degree + 1)], dtype=float)
    powers = np.arange(degree + 1)

    def at(t: Array) -> Array:
        weights = ways * t[:, None] ** powers * (1.0 - t[:, None]) ** (degree - powers)
        return np.asarray(weights @ control)

    return curve(at, place)


def curve(at: Callable[[Array], Array], place: int, chords: int = CHORDS) -> Piece:
    """Anything with a formula; its length by chords, halved once and extrapolated (Richardson)."""
    points = at(np.linspace(0.0, 1.0, chords + 1))
    fine = float(np.sum(np.hypot(*np.diff(points, axis=0).T)))
    coarse = float(np.sum(np.hypot(*np.diff(points[::2], axis=0).T)))
    return Piece(at, None, fine + (fine - coarse) / 3.0, place)
