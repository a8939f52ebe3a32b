"""A measured original as the field of a job that a kind of part takes: a bar's line, an outline, a meridian.

* "line": points along it, and how far it may be off.
* "outline", of a flange: arcs and straights, as few as lie no farther off than the measuring may be. Once
  round it is a rim, or a hole where it turns right.
* "shape", of a dish: it was measured from rim to rim through the pole. Both halves are one meridian, so they
  are averaged, however the dish lay: hollow up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.geometry.line import Array
from core.geometry.segments import from_segments
from core.jobfields import chosen
from core.originals.measured import DECIMALS, Measured, laid_on, normals, rms
from core.units import format_length

CELLS = 60  # places where pieces of an outline may end
SHORTEST = 3  # cells that a piece has at least
MOST_PIECES = 12
EXPLAINED = 1.96  # standard deviations
LOOKS, STEP_RAD = 3, 1e-5  # of the fit of the pieces
ROUND = 0.03  # share of a full turn that a rim measured once round may be off
UNLIKE = 0.1  # of the depth that both halves of a dish may differ by, and as many standard deviations besides
SURE = 4.0
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
    r, z, halved = _halves(line.points_mm, rms(line.sd_mm))
    covariance = halved @ line.covariance @ halved.T
    still = np.eye(len(r)) - 1.0 / len(r)
    sd = rms(np.sqrt(np.maximum(np.diag(still @ covariance @ still.T), 0.0)))
    points = np.column_stack([r, z if z[-1] >= 0.0 else -z])[::EVERY]
    return {"profile_mm": (np.round(points, DECIMALS) + 0.0).tolist(), "profile_sd_mm": round(sd, 4)}


def _halves(points: Array, known_mm: float) -> tuple[Array, Array, Array]:
    """(k,) mean r and z of both halves from the pole on; (k, n) means of what is square to the line."""
    count = len(points)
    middle = count // 2
    across = points[-1] - points[0]
    out = across / np.hypot(*across)
    away = points - points[middle]
    r, z = away @ out, away @ np.array([-out[1], out[0]])
    there, back = np.arange(middle, count), np.arange(middle, -1, -1)
    unlike = float(np.max(np.hypot(r[there] + r[back], z[there] - z[back])))
    if unlike > UNLIKE * float(np.ptp(z)) + SURE * known_mm:
        wanted = "a line from rim to rim through the pole, alike on both sides of it, is wanted"
        raise InputError("shape", f"halves up to {format_length(unlike)} apart", wanted)
    halved = np.zeros((len(there), count))
    halved[np.arange(len(there)), there] += 0.5
    halved[np.arange(len(there)), back] += 0.5
    return 0.5 * (r[there] - r[back]), 0.5 * (z[there] + z[back]), halved


def _outline(line: Measured) -> dict[str, Any]:
    """As few pieces as lie within what the measuring explains; those nearest to it where none do."""
    nodes = np.linspace(0.0, line.length_mm, CELLS + 1)
    turns = _turns(line, nodes)
    explained, best = EXPLAINED * rms(line.sd_mm), np.inf
    lengths, found = np.diff(nodes), turns
    for cuts in _cuts(turns, nodes[1]):
        fitted = _Pieces(np.diff(nodes[cuts]), line).fitted(np.add.reduceat(turns, cuts[:-1]))
        if fitted.off_mm < best:
            best, lengths, found = fitted.off_mm, fitted.lengths_mm, fitted.turns_rad
        if best <= explained:
            break
    return _as_circle(lengths, found) or {"segments_mm": _Pieces(lengths, line).written(found, explained)}


def _turns(line: Measured, nodes: Array) -> Array:
    """(c,) by how much the line turns between the nodes."""
    steps = np.hypot(*np.diff(line.points_mm, axis=0).T)
    along = np.concatenate([[0.0], np.cumsum(steps)]) * (line.length_mm / steps.sum())
    bend = line.bend_per_mm
    heading = np.concatenate([[0.0], np.cumsum(0.5 * (bend[1:] + bend[:-1]) * np.diff(along))])
    return np.asarray(np.diff(np.interp(nodes, along, heading)))


def _as_circle(lengths: Array, turns: Array) -> dict[str, Any]:
    """The diameter of a rim or a hole that was measured once round; nothing for any other line."""
    if len(turns) > 1 or abs(abs(float(turns[0])) - 2.0 * pi) > ROUND * 2.0 * pi:
        return {}
    return {"rim_mm" if turns[0] > 0.0 else "hole_mm": round(float(lengths[0]) / pi, DECIMALS)}


@dataclass(frozen=True)
class _Fitted:
    """lengths_mm, turns_rad : (k,) of the pieces; off_mm : how far they lie off, root mean square"""

    lengths_mm: Array
    turns_rad: Array
    off_mm: float


@dataclass(frozen=True)
class _Pieces:
    """Pieces of these lengths (k,) beside a measured line."""

    lengths_mm: Array
    line: Measured

    def fitted(self, turns: Array) -> _Fitted:
        """The turns that lie nearest to the line, by Gauss and Newton from these."""
        for _ in range(LOOKS):
            off = self._off(turns)
            slopes = np.column_stack([self._off(turns + h) - off for h in STEP_RAD * np.eye(len(turns))])
            turns = turns - STEP_RAD * np.linalg.lstsq(slopes, off, rcond=None)[0]
        return _Fitted(self.lengths_mm, turns, rms(self._off(turns)))

    def written(self, turns: Array, explained_mm: float) -> list[list[float | None]]:
        """Length and radius of each; straight, the flattest first, as long as the line stays explained."""
        for i in np.argsort(np.abs(turns) * self.lengths_mm):
            flat = np.where(np.arange(len(turns)) == i, 0.0, turns)
            if rms(self._off(flat)) > explained_mm:
                break
            turns = flat
        pairs = zip(self.lengths_mm.tolist(), turns.tolist(), strict=True)
        return [[round(mm, DECIMALS), round(mm / turn, DECIMALS) if turn else None] for mm, turn in pairs]

    def _off(self, turns: Array) -> Array:
        """(n,) how far the pieces lie off to the left of the line, laid on it as well as can be, mm."""
        pairs = zip(self.lengths_mm.tolist(), turns.tolist(), strict=True)
        made = from_segments([(mm, mm / turn if turn else None) for mm, turn in pairs])
        on = self.line.points_mm
        points = made.point_mm(np.linspace(0.0, made.length_mm, len(on)))
        return np.asarray(np.sum((laid_on(points, on) - on) * normals(on), axis=1))


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
