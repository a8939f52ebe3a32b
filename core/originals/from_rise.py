"""A line from its rise over a chord that is moved along it.

Of an arc the rise h over a chord c gives the curvature exactly, 8 h / (c^2 + 4 h^2) (segment of a circle); of
any other line it is the mean of the curvature under the chord, weighted by a triangle with its tip in the
middle.
"""

from __future__ import annotations

import numpy as np

from core.geometry.line import Array
from core.originals.measured import PLACES, Measured, measured, normals
from core.originals.readings import Spots
from core.originals.smooth import Smooth, even_knots, smoothed

MOST_KNOTS = 30
ROUGH = 2
_NODES, _SHARES = np.polynomial.legendre.leggauss(12)


def by_rise(spots: Spots, chord_mm: float, length_mm: float, symmetric: bool) -> tuple[Measured, Array]:
    """Line of a length from the rise at its places, the middle of the chord there; > 0 turns left. With it
    (n,) mm by which each rise is more than that of the line."""
    rise = spots.value_mm
    bend = 8.0 * rise / (chord_mm**2 + 4.0 * rise**2)
    steep = 8.0 * (chord_mm**2 - 4.0 * rise**2) / (chord_mm**2 + 4.0 * rise**2) ** 2
    turn = 0.5 * bend * chord_mm
    half = 0.5 * chord_mm * np.where(np.abs(turn) > 1e-9, np.arcsin(turn) / np.where(turn, turn, 1.0), 1.0)
    knots = even_knots(0.0, length_mm, min(MOST_KNOTS, max(5, len(rise))))
    rows = _under(knots, spots.at_mm, half)
    found = smoothed(
        knots, rows, bend, np.abs(steep) * spots.sd_mm, ROUGH, _ways(knots) if symmetric else None
    )
    return _line(found, length_mm), (bend - rows @ found.values) / np.abs(steep)


def _under(knots: Array, at: Array, half: Array) -> Array:
    """(n, k) mean under each chord, weighted by its triangle."""
    unit = Smooth(knots, np.zeros(0), np.zeros((0, 0)), ROUGH)
    rows = np.zeros((len(at), len(knots)))
    for side in (-1.0, 1.0):
        for node, share in zip(0.5 * (_NODES + 1.0), 0.5 * _SHARES, strict=True):
            rows += share * (1.0 - node) * unit.shapes(at + side * node * half)
    return rows


def _ways(knots: Array) -> Array:
    """(k, m) values alike at both sides of the middle."""
    count = len(knots)
    half = np.arange((count + 1) // 2)
    ways = np.zeros((count, len(half)))
    ways[half, half] = 1.0
    ways[count - 1 - half, half] = 1.0
    return ways


def _line(found: Smooth, length_mm: float) -> Measured:
    s = np.linspace(0.0, length_mm, PLACES)
    shapes = found.shapes(s)
    turning = _summed(shapes, s)
    heading = turning @ found.values
    ways = np.column_stack([np.cos(heading), np.sin(heading)])
    points = _summed(ways, s)
    across = np.column_stack([-ways[:, 1], ways[:, 0]])
    moved = [_summed(across[:, [axis]] * turning, s) for axis in (0, 1)]
    left = normals(points)
    off_by = left[:, [0]] * moved[0] + left[:, [1]] * moved[1]
    return measured(points, off_by, found.covariance, (shapes @ found.values, shapes))


def _summed(values: Array, s: Array) -> Array:
    """(n, k) integral from the start, by the trapezoidal rule."""
    steps = 0.5 * (values[1:] + values[:-1]) * np.diff(s)[:, None]
    return np.concatenate([np.zeros((1, values.shape[1])), np.cumsum(steps, axis=0)])
