"""A smooth function through noisy readings, with all that is known of it afterwards.

The function is a cubic spline on even knots under a prior that is flat but for its roughness, the integral of
a squared derivative. How rough it is, is not known either: every weight of a grid counts by its marginal
likelihood (Wahba 1990, Spline Models for Observational Data, 4.9), so that the uncertainty of the result
holds that too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array
from core.geometry.smoothing import ENDS, penalty
from core.geometry.spline import CubicSpline

WEIGHTS = np.logspace(-9.0, 9.0, 91)  # times the scale at which half of the middle mode is smoothed away
LEAST_ROUGH = 1e-12  # of the roughest mode; below it a mode counts as free of roughness


@dataclass(frozen=True)
class Smooth:
    """A smooth function. values : (k,) at its knots, best estimate; covariance : (k, k) of them"""

    knots: Array
    values: Array
    covariance: Array
    order: int

    def shapes(self, at: Array, derivative: int = 0) -> Array:
        """(len(at), k) so that the function, or its derivative, at ``at`` is this times the values."""
        return CubicSpline(self.knots, np.eye(len(self.knots)), ENDS[self.order])(at, derivative)


def even_knots(low: float, high: float, count: int) -> Array:
    """(count,) knots, even from end to end."""
    return np.linspace(low, high, count)


def smoothed(
    knots: Array, rows: Array, value: Array, sd: Array, order: int, ways: Array | None = None
) -> Smooth:
    """Smooth function after readings value (n,) = rows (n, k) @ values (k,) + noise of sd (n,).

    order : of the derivative that makes it rough, 2 or 3; ways : (k, m) that its values are confined to, as
    those of a symmetric one; None: any
    """
    free = np.eye(len(knots)) if ways is None else ways
    unit = CubicSpline(knots, np.eye(len(knots)), ENDS[order])
    design = (rows / sd[:, None]) @ free
    modes, rough = _modes(design, free.T @ penalty(unit, order) @ free, order)
    target = modes.T @ (design.T @ (value / sd))
    chance, weights = _chances(rough, target, float(np.sum((value / sd) ** 2)))
    shares = 1.0 / (1.0 + weights[:, None] * rough)
    means = shares * target
    mean = chance @ means
    spread = (means - mean) * np.sqrt(chance)[:, None]
    inner = np.diag(chance @ shares) + spread.T @ spread
    turn = free @ modes
    return Smooth(knots, turn @ mean, turn @ inner @ turn.T, order)


def _modes(design: Array, roughness: Array, order: int) -> tuple[Array, Array]:
    """(m, m) modes in which fit and roughness are both diagonal, the fit the unit; (m,) roughness of each.

    Where there is no reading nearby the fit alone says nothing: a trace of the roughness is lent to it.
    """
    fit = design.T @ design
    scale = float(np.trace(fit)) / float(np.trace(roughness))
    together = fit + 1e-9 * scale * roughness
    root = np.linalg.cholesky(together + 1e-13 * np.trace(together) / len(fit) * np.eye(len(fit)))
    inverse = np.linalg.inv(root)
    rough, turn = np.linalg.eigh(inverse @ roughness @ inverse.T)
    return inverse.T @ turn, np.where(rough < LEAST_ROUGH * rough[-1], 0.0, rough)


def _chances(rough: Array, target: Array, whole: float) -> tuple[Array, Array]:
    """(w,) chance of each weight of roughness, and the weights, by marginal likelihood."""
    felt = rough[rough > 0.0]
    weights = WEIGHTS / float(np.median(felt))
    shrunk = weights[:, None] * felt
    likely = 0.5 * np.sum(np.log(shrunk / (1.0 + shrunk)), axis=1)
    likely -= 0.5 * (whole - np.sum(target**2 / (1.0 + weights[:, None] * rough), axis=1))
    chance = np.exp(likely - likely.max())
    return chance / chance.sum(), weights
