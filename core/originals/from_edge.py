"""A line from offsets off a straight edge, or from traced points laid along their chord."""

from __future__ import annotations

import numpy as np

from core.errors import InputError
from core.geometry.line import Array
from core.originals.measured import PLACES, Measured, measured
from core.originals.readings import Spots
from core.originals.smooth import Smooth, even_knots, smoothed

MOST_KNOTS = 40
LEAST_SPOTS = 5
STEEPEST_RAD = np.radians(65.0)
ROUGH = 3  # changes of the curvature are rough; an arc is not


def by_edge(
    spots: Spots, ends_mm: tuple[float, float], symmetric: bool, across: bool
) -> tuple[Measured, Array]:
    """Line y(x) from ends_mm[0] to ends_mm[1], both in the frame of the straight edge; (n,) mm by which each
    reading is more than it.

    symmetric : about its middle; the edge may have lain askew all the same. across : readings are off square
    to the line, as traced points are, and not along y
    """
    low, high = ends_mm
    knots = even_knots(low, high, min(MOST_KNOTS, max(6, len(spots.at_mm))))
    ways = _ways(knots) if symmetric else None
    sd = spots.sd_mm
    found = _fit(knots, spots, sd, ways)
    for _ in range(2 if across else 0):
        slope = found.shapes(spots.at_mm, 1) @ found.values
        sd = spots.sd_mm * np.sqrt(1.0 + slope**2)
        found = _fit(knots, spots, sd, ways)
    off = spots.value_mm - found.shapes(spots.at_mm) @ found.values
    return _line(found, low, high), off * (spots.sd_mm / sd)


def _fit(knots: Array, spots: Spots, sd: Array, ways: Array | None) -> Smooth:
    rows = Smooth(knots, np.zeros(0), np.zeros((0, 0)), ROUGH).shapes(spots.at_mm)
    return smoothed(knots, rows, spots.value_mm, sd, ROUGH, ways)


def _ways(knots: Array) -> Array:
    """(k, m) values alike at both sides of the middle, and a tilt of the straight edge."""
    count = len(knots)
    half = np.arange((count + 1) // 2)
    ways = np.zeros((count, len(half) + 1))
    ways[half, half] = 1.0
    ways[count - 1 - half, half] = 1.0
    ways[:, -1] = knots - knots.mean()
    return ways


def _line(found: Smooth, low: float, high: float) -> Measured:
    """Places even along the line, not along the edge."""
    fine = np.linspace(low, high, 4 * PLACES)
    slope = found.shapes(fine, 1) @ found.values
    steepest = float(np.max(np.abs(np.arctan(slope))))
    if steepest > STEEPEST_RAD:
        wanted = "a line that nowhere stands steeper than 65° to it is wanted; trace the part instead"
        raise InputError("readings_mm", f"{np.degrees(steepest):.0f}° to the straight edge", wanted)
    speed = np.sqrt(1.0 + slope**2)
    along = np.concatenate([[0.0], np.cumsum(0.5 * (speed[1:] + speed[:-1]) * np.diff(fine))])
    x = np.interp(np.linspace(0.0, along[-1], PLACES), along, fine)
    value, first, second = (found.shapes(x, d) for d in (0, 1, 2))
    y, dy, ddy = (part @ found.values for part in (value, first, second))
    speed = np.sqrt(1.0 + dy**2)
    bend = ddy / speed**3
    change = second / speed[:, None] ** 3 - 3.0 * (bend * dy / speed**2)[:, None] * first
    points = np.column_stack([x, y])
    return measured(points, value / speed[:, None], found.covariance, (bend, change))
