"""Target line traced off an original part: noisy points, smoothed by what their noise allows."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.geometry.curve import SplineLine
from core.geometry.line import Array
from core.geometry.points import checked_points, chord_lengths
from core.geometry.smoothing import Smoothed, SmoothingProblem
from core.geometry.spline import CubicSpline

LEAST_TRACED = 8
LEAST_KNOTS, MOST_KNOTS = 4, 100
POINTS_PER_KNOT = 2
FEW_POINTS = 40
CLOSEST_KNOTS = 0.3  # of the mean gap
PLACES = 400  # where the error of the line is looked at
ROUNDS = 4  # of fitting the curve and finding each point's foot on it
DOUBTFUL_RATIO = 1.5  # scatter seen over scatter stated that is worth a word
STANDS_OUT = 5.0  # standard deviations


def from_traced(points_mm: ArrayLike, sd_mm: float) -> SplineLine:
    """Smooth line through (k, 2) traced points in mm, k >= 8, in the order in which they were traced.

    sd_mm : standard deviation of a point across the line, mm, > 0. The penalty on changes of curvature
    is the one with the least expected error for that noise (Mallows' Cp). ``smoothing_sd_mm`` of the line
    is what noise is left in it, root mean square along it. ``warnings`` tells if the points scatter much
    more than stated or one stands out. Raises InputError, ``line.traced_mm`` or ``line.tracing_sd``.
    """
    points = checked_points("line.traced_mm", points_mm, LEAST_TRACED)
    if not math.isfinite(sd_mm) or sd_mm <= 0.0:
        raise InputError("line.tracing_sd", sd_mm, "a standard deviation in mm greater than 0 is wanted")
    smoothed, error_mm = smooth_curve(points, sd_mm)
    odd = scatter_warnings(points, smoothed.fitted, smoothed.freedom, sd_mm)
    return SplineLine(smoothed.spline, warnings=odd, smoothing_sd_mm=error_mm)


def smooth_curve(points: Array, sd_mm: float) -> tuple[Smoothed, float]:
    """Smooth curve through noisy points (k, 2), and its own standard deviation, root mean square along it."""
    u = chord_lengths(points)
    for _ in range(ROUNDS):
        smoothed, _ = _smoothed(u, points, sd_mm)
        u = _feet(smoothed.spline, u, points)
    return _smoothed(u, points, sd_mm)


def _smoothed(u: Array, points: Array, sd_mm: float) -> tuple[Smoothed, float]:
    """Smooth curve and its own standard deviation, root mean square along it."""
    knots = _knots(u)
    if len(knots) <= LEAST_KNOTS:
        what = "points one after the other along the line, spread wider than their error, are wanted"
        raise InputError("line.traced_mm", f"{len(points)} points", what)
    problem = SmoothingProblem(u, knots)
    weight = problem.weight_for(points, sd_mm)
    leverage = problem.leverage_at(np.linspace(knots[0], knots[-1], PLACES), weight)
    return problem.smooth(points, weight), sd_mm * math.sqrt(float(leverage.mean()))


def _knots(u: Array) -> Array:
    """Knots at the points while they are few, later so that every gap holds about as many points."""
    count = min(len(u), max(FEW_POINTS, len(u) // POINTS_PER_KNOT), MOST_KNOTS)
    knots = np.interp(np.linspace(0.0, len(u) - 1.0, count), np.arange(len(u)), np.sort(u))
    # Of knots that crowd together only the first is kept.
    crowd = np.floor((knots - knots[0]) / (CLOSEST_KNOTS * (knots[-1] - knots[0]) / count))
    return np.asarray(knots[np.unique(crowd, return_index=True)[1]])


def _feet(spline: CubicSpline, u: Array, points: Array) -> Array:
    """Arc length on the curve of the point nearest to each data point: one Newton step of that search."""
    away, tangent = points - spline(u), spline(u, 1)
    foot = u + np.sum(away * tangent, axis=1) / np.sum(tangent**2, axis=1)
    return SplineLine(spline).arc_length_mm(foot)


def scatter_warnings(points: Array, fitted: Array, freedom: float, sd_mm: float) -> tuple[str, ...]:
    """Sentences on points (k, 2) that do not lie about their smooth curve (k, 2) as was stated of them.

    freedom : of the curve, as of free parameters.
    """
    away = np.hypot(*(points - fitted).T)
    seen = math.sqrt(float(np.sum(away**2)) / max(len(points) - freedom, 1.0))
    found = []
    if seen > DOUBTFUL_RATIO * sd_mm:
        found.append(
            f"The traced points scatter {seen:.2g} mm about a smooth line, more than the {sd_mm:g} mm stated."
        )
    worst = int(np.argmax(away))
    if away[worst] > STANDS_OUT * max(sd_mm, float(np.median(away)) / 0.6745):
        x, y = points[worst]
        found.append(
            f"Traced point {worst + 1} ({x:g} mm, {y:g} mm) lies {away[worst]:.2g} mm off the smooth line."
        )
    return tuple(found)
