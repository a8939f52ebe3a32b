"""A line as it was measured, at places along it, and how far off it may be there."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array
from core.geometry.offsets import from_offsets

PLACES = 201
MOST_OFFSETS = 51
DECIMALS = 4


@dataclass(frozen=True, eq=False)
class Measured:
    """A measured line. points_mm : (n, 2) even along it; covariance : (n, n) mm2 of how far it is off there,
    square to it to the left, seated anew (a rigid motion of the whole is no error); bend_per_mm, bend_sd :
    (n,) its curvature"""

    points_mm: Array
    covariance: Array
    bend_per_mm: Array
    bend_sd: Array

    @property
    def sd_mm(self) -> Array:
        """(n,) standard deviation of how far it is off."""
        return np.asarray(np.sqrt(np.maximum(np.diag(self.covariance), 0.0)))

    @property
    def length_mm(self) -> float:
        """Along it."""
        return from_offsets(self.offsets_mm()).length_mm

    def offsets_mm(self) -> Array:
        """(k, 2) of its points, as many as a spline through them wants."""
        every = (PLACES - 1) // (MOST_OFFSETS - 1)
        return np.asarray(np.round(self.points_mm[::every], DECIMALS) + 0.0)


def measured(points_mm: Array, off_by: Array, covariance: Array, bends: tuple[Array, Array]) -> Measured:
    """From what is known of some values. off_by : (n, k) mm that the line moves to the left there for a
    change of each value; covariance : (k, k) of them; bends : (n,) curvature and (n, k) its change"""
    free = _seated(points_mm) @ off_by
    bend, change = bends
    bend_sd = np.sqrt(np.maximum(np.sum((change @ covariance) * change, axis=1), 0.0))
    return Measured(points_mm, free @ covariance @ free.T, bend, bend_sd)


def normals(points_mm: Array) -> Array:
    """(n, 2) unit vectors to the left of the way along the points."""
    steps = np.gradient(points_mm, axis=0)
    return np.asarray(np.column_stack([-steps[:, 1], steps[:, 0]]) / np.hypot(*steps.T)[:, None])


def rms(values: Array) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(values**2)))


def laid_on(points: Array, on: Array) -> Array:
    """(n, 2) points, shifted and turned to lie nearest to others in the sum of squares (Procrustes)."""
    a, b = points - points.mean(axis=0), on - on.mean(axis=0)
    angle = np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b))
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return np.asarray(a @ turn.T + on.mean(axis=0))


def _seated(points_mm: Array) -> Array:
    """(n, n) takes out of how far a line is off what shifting and turning the whole takes away, fitted to all
    its points in the sum of squares."""
    left = normals(points_mm)
    arm = points_mm - points_mm.mean(axis=0)
    turned = np.column_stack([-arm[:, 1], arm[:, 0]]) / np.abs(arm).max()
    shifts = np.broadcast_to(np.eye(2), (len(arm), 2, 2))
    motions = np.concatenate([shifts, turned[:, :, None]], axis=2)  # (n, x and y, motion)
    felt = np.einsum("nam,na->nm", motions, left)
    whole = np.einsum("nam,nak->mk", motions, motions)
    return np.asarray(np.eye(len(arm)) - felt @ np.linalg.solve(whole, felt.T))
