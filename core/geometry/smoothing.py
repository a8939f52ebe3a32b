"""Smoothing cubic spline: close to noisy points, and as fair as their noise allows.

Minimises sum(|y_i - f(u_i)|^2) + lam * integral(|f^(order)|^2 du) over cubic splines f on the
given knots. With order 2, natural ends and a knot at every point this is the classical smoothing spline
(Reinsch 1967); order 3 lets the curvature be what it is and penalises only its changes, so that an
arc is not pulled straight at its ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array
from core.geometry.spline import CubicSpline, Ends

ENDS: dict[int, Ends] = {2: "natural", 3: "not-a-knot"}
LAMBDAS = np.logspace(-8.0, 8.0, 161)  # times a scale at which half of the middle mode is smoothed away


@dataclass(frozen=True)
class Smoothed:
    """A smoothed curve.

    spline : the curve over the parameter; fitted : (n, ...) its values at the data
    freedom : effective number of free parameters (trace of the hat matrix)
    """

    spline: CubicSpline
    fitted: Array
    freedom: float


class SmoothingProblem:
    """One set of parameters and knots, ready to be smoothed by any amount.

    u : (n,) parameters of the data in any order; knots : (k,) increasing, each gap holding data
    """

    def __init__(self, u: Array, knots: Array, order: int = 3) -> None:
        self.knots = knots
        self.ends = ENDS[order]
        unit = CubicSpline(knots, np.eye(len(knots)), self.ends)
        self.basis = unit(u)
        # Modes in which data fit and penalty are both diagonal (Demmler and Reinsch).
        root = np.linalg.cholesky(self.basis.T @ self.basis)
        inverse = np.linalg.inv(root)
        rough, turn = np.linalg.eigh(inverse @ penalty(unit, order) @ inverse.T)
        self.roughness = np.where(np.arange(len(knots)) < order, 0.0, np.maximum(rough, 0.0))
        self.modes = inverse.T @ turn

    def smooth(self, y: Array, lam: float) -> Smoothed:
        """Smoothed curve through (n, ...) values for one penalty weight ``lam`` >= 0."""
        kept = 1.0 / (1.0 + lam * self.roughness)
        shapes = self.basis @ self.modes
        flat = y.reshape(len(y), -1)
        values = self.modes @ (kept[:, None] * (shapes.T @ flat))
        spline = CubicSpline(self.knots, values.reshape(-1, *y.shape[1:]), self.ends)
        fitted = (self.basis @ values).reshape(y.shape)
        return Smoothed(spline, fitted, float(kept.sum()))

    def leverage_at(self, u: Array, lam: float) -> Array:
        """(m,) variance of the smoothed curve at parameters ``u``, per unit variance of the noise.

        The Bayesian one (Wahba 1983), which also covers what smoothing itself bends on average.
        """
        shapes = CubicSpline(self.knots, self.modes, self.ends)(u)
        return np.asarray(shapes**2 @ (1.0 / (1.0 + lam * self.roughness)))

    def weight_for(self, y: Array, noise_sd: float) -> float:
        """Penalty weight with the least expected error for a known noise (Mallows' Cp).

        Cp = sum of squared residuals + 2 noise^2 * freedom. (n, ...) values whose noise has one
        component per point, such as the distance from the curve.
        """
        middle = np.median(self.roughness[self.roughness > 0.0])
        weights = LAMBDAS / middle
        shapes = self.basis @ self.modes
        flat = y.reshape(len(y), -1)
        parts = np.sum((shapes.T @ flat) ** 2, axis=1)
        lost = 1.0 - 1.0 / (1.0 + weights[:, None] * self.roughness)
        cost = lost**2 @ parts + 2.0 * noise_sd**2 * np.sum(1.0 - lost, axis=1)
        return float(weights[np.argmin(cost)])


def penalty(unit: CubicSpline, order: int) -> Array:
    """(k, k) integral of the squared second or third derivative, exact for cubics."""
    width = np.diff(unit.knots)
    if order == 3:
        change = np.diff(unit.moments, axis=0) / width[:, None]
        return np.asarray(change.T @ (width[:, None] * change))
    start, end = unit.moments[:-1], unit.moments[1:]
    cross = start.T @ (width[:, None] * end)
    ends = start.T @ (width[:, None] * start) + end.T @ (width[:, None] * end)
    return np.asarray((2.0 * ends + cross + cross.T) / 6.0)
