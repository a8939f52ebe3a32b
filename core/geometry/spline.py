"""Cubic interpolating spline, vector-valued.

On each interval the spline is Hermite's cubic between second derivatives M (the "moments" of
any text on splines); the moments follow from continuity of the slope:
h[i-1] M[i-1] + 2 (h[i-1] + h[i]) M[i] + h[i] M[i+1] = 6 (slope[i] - slope[i-1]).
"""

from __future__ import annotations

from copy import copy
from typing import Literal

import numpy as np

from core.geometry.line import Array

Ends = Literal["not-a-knot", "natural"]
# Of the powers of a cubic in its value and in its first, second and third derivative.
_TIMES = ((1.0, 1.0, 1.0, 1.0), (0.0, 1.0, 2.0, 3.0), (0.0, 0.0, 2.0, 6.0), (0.0, 0.0, 0.0, 6.0))


class CubicSpline:
    """Piecewise cubic through (knots, values) with continuous second derivative.

    knots : (n,) strictly increasing, n >= 2; values : (n, ...), real or complex
    ends : "not-a-knot" leaves the curvature at the ends free (a parabola for n = 3), "natural" makes
        it zero. Two points give a straight either way.
    """

    def __init__(self, knots: Array, values: Array, ends: Ends = "not-a-knot") -> None:
        self.knots = knots
        self.values = values
        self.moments = _moments(np.diff(knots), values, ends)
        self._powers = _powers(knots, values, self.moments)

    def __getitem__(self, column: int | slice) -> CubicSpline:
        """The spline through some columns of the values (n, k, ...)."""
        own = copy(self)
        own.values, own.moments = self.values[:, column], self.moments[:, column]
        own._powers = np.ascontiguousarray(self._powers[:, :, column])
        return own

    def __call__(self, u: Array, derivative: int = 0) -> Array:
        """(len(u), ...) value or its first, second or third derivative; end cubics reach past the ends."""
        way, powers = self._from_knots(u)
        times = _TIMES[derivative]
        found = times[3] * powers[3]
        for power in range(2, derivative - 1, -1):
            found = found * way + times[power] * powers[power]
        return np.asarray(found)

    def with_slope(self, u: Array) -> tuple[Array, Array]:
        """(len(u), ...) value and first derivative."""
        way, (level, slope, bend, change) = self._from_knots(u)
        value = ((change * way + bend) * way + slope) * way + level
        return value, (3.0 * change * way + 2.0 * bend) * way + slope

    def _from_knots(self, u: Array) -> tuple[Array, Array]:
        """(len(u), ...) way from the knot before each place; (4, len(u), ...) powers of the cubic there."""
        k = np.searchsorted(self.knots[1:-1], u, side="right")
        return _along(u - self.knots[k], self.values), self._powers.take(k, axis=1)


def _powers(knots: Array, values: Array, moments: Array) -> Array:
    """(4, n - 1, ...) of every cubic, by powers of the way from its first knot."""
    h, m, y = _along(np.diff(knots), values), moments, values
    slope = np.diff(y, axis=0) / h - (2.0 * m[:-1] + m[1:]) * h / 6.0
    return np.stack([y[:-1], slope, 0.5 * m[:-1], np.diff(m, axis=0) / (6.0 * h)])


def _along(numbers: Array, values: Array) -> Array:
    """(k, 1, ...) numbers (k,) as they go with rows of values (n, ...)."""
    return numbers.reshape((-1,) + (1,) * (values.ndim - 1))


def _moments(width: Array, values: Array, ends: Ends) -> Array:
    """(n, ...) second derivatives at the knots."""
    n = len(values)
    if n == 2:
        return np.zeros_like(values)
    flat = values.reshape(n, -1)
    if np.iscomplexobj(flat):  # the system is real
        flat = np.ascontiguousarray(flat).view(float)
    system = np.zeros((n, n))
    right = np.zeros_like(flat)
    inner = np.arange(1, n - 1)
    system[inner, inner - 1] = width[:-1]
    system[inner, inner] = 2 * (width[:-1] + width[1:])
    system[inner, inner + 1] = width[1:]
    right[1:-1] = 6 * np.diff(np.diff(flat, axis=0) / width[:, None], axis=0)
    if ends == "natural":
        system[0, 0] = system[-1, -1] = 1.0
    elif n == 3:  # a parabola: one second derivative for all
        system[0, :2] = system[-1, -2:] = (1.0, -1.0)
    else:  # the third derivative does not jump at the last knot but one
        system[0, :3] = (width[1], -(width[0] + width[1]), width[0])
        system[-1, -3:] = (width[-1], -(width[-2] + width[-1]), width[-2])
    found = np.ascontiguousarray(np.linalg.solve(system, right))
    return found.view(np.result_type(values, float)).reshape(values.shape)
