"""A target line that is a parametric cubic spline, addressed by arc length."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array, arc_step
from core.geometry.spline import CubicSpline

CELLS_PER_INTERVAL = 8
NEWTON_STEPS = 8
_GAUSS = np.polynomial.legendre.leggauss(7)
_NODES, _WEIGHTS = 0.5 * (_GAUSS[0] + 1.0), 0.5 * _GAUSS[1]  # on 0..1


class SplineLine:
    """Target line along a plane spline x(u), y(u); points stay where they were given.

    Arc length is summed by Gauss-Legendre rules on short cells that end at the knots; finding u for a
    given length is Newton's method from the cell's chord.
    """

    def __init__(
        self, spline: CubicSpline, warnings: tuple[str, ...] = (), smoothing_sd_mm: float = 0.0
    ) -> None:
        self.spline = spline
        self.warnings = warnings
        self.smoothing_sd_mm = smoothing_sd_mm
        knots = spline.knots
        part = np.arange(CELLS_PER_INTERVAL) / CELLS_PER_INTERVAL
        self._u = np.append((knots[:-1, None] + np.diff(knots)[:, None] * part).ravel(), knots[-1])
        lengths = self._arc(self._u[:-1], self._u[1:])
        self._s = np.concatenate([[0.0], np.cumsum(lengths)])
        tangent = spline(self._u, 1)
        self._heading = np.unwrap(np.arctan2(tangent[:, 1], tangent[:, 0]))

    @property
    def length_mm(self) -> float:
        """Arc length from end to end, mm."""
        return float(self._s[-1])

    def heading_rad(self, s_mm: ArrayLike) -> Array:
        """(...) heading at arc length ``s_mm``, rad, continuous along the line."""
        s = np.asarray(s_mm, dtype=float)
        inside, past = self._split(s)
        return np.asarray(self._heading_at(inside) + self._curvature_at(inside) * past).reshape(s.shape)

    def curvature_per_mm(self, s_mm: ArrayLike) -> Array:
        """(...) curvature (x' y'' - y' x'')/(x'^2 + y'^2)^1.5 at arc length ``s_mm``, 1/mm."""
        s = np.asarray(s_mm, dtype=float)
        inside, _ = self._split(s)
        return self._curvature_at(inside).reshape(s.shape)

    def point_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) point at arc length ``s_mm``, mm."""
        s = np.asarray(s_mm, dtype=float)
        inside, past = self._split(s)
        beyond = arc_step(self._heading_at(inside), self._curvature_at(inside), past)
        points: Array = self.spline(inside) + beyond
        return points.reshape(*s.shape, 2)

    def arc_length_mm(self, u: Array) -> Array:
        """(k,) arc length, mm, at parameters (k,) of the spline; < 0 before its start."""
        cell = np.searchsorted(self._u[1:-1], u, side="right")
        return np.asarray(self._s[cell] + self._arc(self._u[cell], u))

    def _split(self, s: Array) -> tuple[Array, Array]:
        """Parameter of the nearest point on the line, and the length that goes beyond its ends."""
        flat = s.ravel()
        on_line = np.minimum(np.maximum(flat, 0.0), self._s[-1])
        return self._parameter(on_line), flat - on_line

    def _parameter(self, s: Array) -> Array:
        cell = np.searchsorted(self._s[1:-1], s, side="right")
        low, high = self._u[cell], self._u[cell + 1]
        u: Array = np.interp(s, self._s, self._u)
        for _ in range(NEWTON_STEPS):
            excess = self._s[cell] + self._arc(self._u[cell], u) - s
            low, high = np.where(excess <= 0.0, u, low), np.where(excess >= 0.0, u, high)
            step = u - excess / self._speed(u)
            # Where the spline nearly stands still a step may leave the bracket: halve it instead.
            u = np.where((step < low) | (step > high), 0.5 * (low + high), step)
        return u

    def _speed(self, u: Array) -> Array:
        return np.asarray(np.hypot(*self.spline(u, 1).T))

    def _arc(self, start: Array, end: Array) -> Array:
        span = end - start
        at = start[:, None] + span[:, None] * _NODES
        return np.asarray(span * (self._speed(at.ravel()).reshape(at.shape) @ _WEIGHTS))

    def _heading_at(self, u: Array) -> Array:
        tangent = self.spline(u, 1)
        turned = np.arctan2(tangent[:, 1], tangent[:, 0])
        cell = np.searchsorted(self._u[1:-1], u, side="right")
        near = self._heading[cell]
        return np.asarray(near + np.remainder(turned - near + np.pi, 2 * np.pi) - np.pi)

    def _curvature_at(self, u: Array) -> Array:
        first, second = self.spline(u, 1), self.spline(u, 2)
        cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
        curvature: Array = cross / np.hypot(first[:, 0], first[:, 1]) ** 3
        return curvature
