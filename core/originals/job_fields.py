"""A measured original as the field of a job that a kind of part takes: a bar's line, an outline, a meridian.

* "line": points along it, and how far it may be off.
* "outline", of a flange: arcs and straights, as few as lie no farther off than the measuring may be. Once
  round it is a rim, or a hole where it turns right.
* "shape", of a dish: it was measured from rim to rim through the pole. Both halves are one meridian, so they
  are averaged, however the dish lay: hollow up.
"""

from __future__ import annotations

from collections.abc import Callable
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.geometry.line import Array
from core.geometry.segments import from_segments
from core.jobfields import chosen
from core.originals.measured import DECIMALS, Measured, laid_on, rms

CELLS = 60  # places where pieces of an outline may end
SHORTEST = 3  # cells that a piece has at least
MOST_PIECES = 12
ROUND = 0.03  # share of a full turn that a rim measured once round may be off
ASIDE = 0.02  # of the diameter that the pole may lie aside of the middle between the rims
EVERY = 4  # of the points on one half, as many as a spline through them wants


def original_as(part: str, line: Measured) -> dict[str, Any]:
    """The fields of a job's "line", "outline" or "shape", plain numbers in mm. Raises InputError for another
    part of a job, or a line that cannot be one."""
    return PARTS[chosen(part, "part", PARTS)](line)


def _line(line: Measured) -> dict[str, Any]:
    return {"offsets_mm": line.offsets_mm().tolist(), "offsets_sd_mm": round(rms(line.sd_mm), 4)}


def _shape(line: Measured) -> dict[str, Any]:
    """Distance from the axis and height over the pole. What is known of it is free of a shift along the axis;
    averaging both halves takes the other motions out."""
    r, z, halved = _halves(line.points_mm)
    covariance = halved @ line.covariance @ halved.T
    still = np.eye(len(r)) - 1.0 / len(r)
    sd = rms(np.sqrt(np.maximum(np.diag(still @ covariance @ still.T), 0.0)))
    points = np.column_stack([r, z if z[-1] >= 0.0 else -z])[::EVERY]
    return {"profile_mm": (np.round(points, DECIMALS) + 0.0).tolist(), "profile_sd_mm": round(sd, 4)}


def _halves(points: Array) -> tuple[Array, Array, Array]:
    """(k,) mean r and z of both halves from the pole on; (k, n) means of what is square to the line."""
    count = len(points)
    middle = count // 2
    across = points[-1] - points[0]
    out = across / np.hypot(*across)
    away = points - points[middle]
    r, z = away @ out, away @ np.array([-out[1], out[0]])
    if abs(r[0] + r[-1]) > ASIDE * (r[-1] - r[0]):
        wanted = "a line from rim to rim through the pole, half-way between them, is wanted"
        raise InputError("shape", f"the middle {abs(r[0] + r[-1]) / 2:.1f} mm aside", wanted)
    there, back = np.arange(middle, count), np.arange(middle, -1, -1)
    halved = np.zeros((len(there), count))
    halved[np.arange(len(there)), there] += 0.5
    halved[np.arange(len(there)), back] += 0.5
    return 0.5 * (r[there] - r[back]), 0.5 * (z[there] + z[back]), halved


def _outline(line: Measured) -> dict[str, Any]:
    """As few pieces as lie within what the measuring explains; the finest where none do."""
    steps = np.hypot(*np.diff(line.points_mm, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)]) * (line.length_mm / steps.sum())
    nodes = np.linspace(0.0, line.length_mm, CELLS + 1)
    turned = np.concatenate([[0.0], np.cumsum(0.5 * (line.bend_per_mm[1:] + line.bend_per_mm[:-1]) * np.diff(along))])
    heading = np.interp(nodes, along, turned)
    known = rms(line.sd_mm)
    pieces: list[list[float | None]] = []
    for cuts in _cuts(np.diff(heading), nodes[1]):
        pieces = [_piece(nodes[b] - nodes[a], heading[b] - heading[a], known) for a, b in zip(cuts, cuts[1:])]
        if _off(pieces, line) <= known:
            break
    (length, radius) = pieces[0]
    if len(pieces) == 1 and radius is not None and length is not None:
        turns = length / (2.0 * pi * abs(radius))
        if abs(turns - 1.0) < ROUND:
            return {"rim_mm" if radius > 0.0 else "hole_mm": round(length / pi, DECIMALS)}
    return {"segments_mm": pieces}


def _piece(length: float, turn_rad: float, known_mm: float) -> list[float | None]:
    """Length and radius; straight where its rise, L * turn / 8, is less than what the measuring tells."""
    straight = abs(turn_rad) * length / 8.0 < known_mm
    return [round(length, DECIMALS), None if straight else round(length / turn_rad, DECIMALS)]


def _off(pieces: list[list[float | None]], line: Measured) -> float:
    """Root mean square of how far the pieces lie off the measured line, laid on it as well as can be, mm."""
    made = from_segments([(float(length or 0.0), radius) for length, radius in pieces])
    points = made.point_mm(np.linspace(0.0, made.length_mm, len(line.points_mm)))
    return float(np.sqrt(np.mean(np.sum((laid_on(points, line.points_mm) - line.points_mm) ** 2, axis=1))))


def _cuts(turns: Array, cell_mm: float) -> list[list[int]]:
    """For 1, 2, 3 .. pieces the cells between which they are cut so that curvature is nearest to even within
    each, by least squares (dynamic programming over the cells). turns : (c,) of each cell, rad"""
    count = len(turns)
    bends = turns / cell_mm
    cost = np.full((count + 1, count + 1), np.inf)
    for a in range(count):
        n = np.arange(1, count - a + 1)
        sums, squares = np.cumsum(bends[a:]), np.cumsum(bends[a:] ** 2)
        cost[a, a + 1 :] = np.where(n >= SHORTEST, squares - sums**2 / n, np.inf)
    best, ways = cost[0].copy(), []
    found: list[list[int]] = [[0, count]]
    for pieces in range(2, min(MOST_PIECES, count // SHORTEST) + 1):
        through = best[:, None] + cost
        ways.append(through.argmin(axis=0))
        best = through.min(axis=0)
        found.append(_traced(ways, count, pieces))
    return found


def _traced(ways: list[NDArray[np.intp]], count: int, pieces: int) -> list[int]:
    """Where the best way to the last cell was cut."""
    ends = [count]
    for way in reversed(ways[: pieces - 1]):
        ends.append(int(way[ends[-1]]))
    return [0, *reversed(ends)]


PARTS: dict[str, Callable[[Measured], dict[str, Any]]] = {"line": _line, "outline": _outline, "shape": _shape}
"""by the field of a job"""
