"""Cubic interpolating spline, vector-valued.

On each interval the spline is Hermite's cubic between second derivatives M (the "moments" of
any text on splines); the moments follow from continuity of the slope:
h[i-1] M[i-1] + 2 (h[i-1] + h[i]) M[i] + h[i] M[i+1] = 6 (slope[i] - slope[i-1]).
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from core.geometry.line import Array

Ends = Literal["not-a-knot", "natural"]


class CubicSpline:
    """Piecewise cubic through (knots, values) with continuous second derivative.

    knots : (n,) strictly increasing, n >= 2; values : (n, ...)
    ends : "not-a-knot" leaves the curvature at the ends free (a parabola for n = 3), "natural" makes
        it zero. Two points give a straight either way.
    """

    def __init__(self, knots: Array, values: Array, ends: Ends = "not-a-knot") -> None:
        self.knots = knots
        self.values = values
        width = np.diff(knots)
        self._width = width.reshape((-1,) + (1,) * (values.ndim - 1))
        self.moments = _moments(width, values, ends)

    def __call__(self, u: Array, derivative: int = 0) -> Array:
        """(len(u), ...) value or its first, second or third derivative; end cubics reach past the ends."""
        k = np.searchsorted(self.knots[1:-1], u, side="right")
        shape = (-1,) + (1,) * (self.values.ndim - 1)
        ahead = (self.knots[k + 1] - u).reshape(shape)
        behind = (u - self.knots[k]).reshape(shape)
        return np.asarray(_PIECES[derivative](self, k, ahead, behind))

    def _value(self, k: np.ndarray, ahead: Array, behind: Array) -> Array:
        h, m, y = self._width[k], self.moments, self.values
        curved = m[k] * ahead**3 + m[k + 1] * behind**3
        chord = (y[k] / h - m[k] * h / 6) * ahead + (y[k + 1] / h - m[k + 1] * h / 6) * behind
        return np.asarray(curved / (6 * h) + chord)

    def _slope(self, k: np.ndarray, ahead: Array, behind: Array) -> Array:
        h, m, y = self._width[k], self.moments, self.values
        curved = (m[k + 1] * behind**2 - m[k] * ahead**2) / (2 * h)
        return np.asarray(curved + (y[k + 1] - y[k]) / h - (m[k + 1] - m[k]) * h / 6)

    def _bend(self, k: np.ndarray, ahead: Array, behind: Array) -> Array:
        return np.asarray((self.moments[k] * ahead + self.moments[k + 1] * behind) / self._width[k])

    def _change(self, k: np.ndarray, ahead: Array, behind: Array) -> Array:
        return np.asarray((self.moments[k + 1] - self.moments[k]) / self._width[k])


_PIECES = (CubicSpline._value, CubicSpline._slope, CubicSpline._bend, CubicSpline._change)


def _moments(width: Array, values: Array, ends: Ends) -> Array:
    """(n, ...) second derivatives at the knots."""
    n = len(values)
    if n == 2:
        return np.zeros_like(values)
    flat = values.reshape(n, -1)
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
    return np.asarray(np.linalg.solve(system, right), dtype=float).reshape(values.shape)
