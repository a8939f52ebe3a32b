"""A template offered up to the simulated bar: the best seating, and the one an operator finds."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.readings.templates import Template
from core.simulate.seating import best_pose, in_contact
from core.simulate.shape import Curve, Line, held_against, normals, registered
from core.simulate.truth import Truth, Wander

Array = NDArray[np.float64]
MARKS_MM = 2.0
"""How far a template may be slid along the bar from its middle mark; common practice, no source."""
OVER_THE_END_MM = 1.0


@dataclass(frozen=True)
class Offered:
    """A bar held against a template in one pose; gaps are positive where there is air (rigid template)."""

    curve: Curve
    line: Line
    template: Template
    pivot: Array
    pose: Array
    points_mm: Array
    error: Wander

    @property
    def widest_mm(self) -> float:
        """Widest gap, or the largest size of a signed one."""
        return float(np.max(np.abs(self.gaps_at(self.points_mm))))

    def gaps_at(self, s_mm: Array) -> Array:
        """(r,) gaps at points of the line, the bar's ends taken to go straight on."""
        return self.view(self.pose, s_mm)[0]

    def readable_gaps_at(self, s_mm: Array) -> Array:
        """(r,) gaps, NaN where the normal of the template passes the bar or its end."""
        held = held_against(self.curve, self.line, s_mm, self.pivot, self.pose)
        met = held.met_mm
        out = (met < -OVER_THE_END_MM) | (met > self.line.length_mm + OVER_THE_END_MM)
        return np.where(out | held.aslant, np.nan, self.gaps_at(s_mm))

    def view(self, pose: Array, s_mm: Array | None = None) -> tuple[Array, Array]:
        """Gaps (r,) and their slopes (r, 3) in this pose."""
        points = self.points_mm if s_mm is None else s_mm
        held = held_against(self.curve, self.line, points, self.pivot, pose)
        sign = self.template.sign
        return sign * (held.deviation_mm - self.error(points)), sign * held.motion


def _middle(line: Line) -> tuple[Array, Array]:
    """Tangent and outward normal (2,) of the line at mid-length, where the marks are."""
    heading = line.heading_rad(np.array([0.5 * line.length_mm]))
    return np.array([np.cos(heading[0]), np.sin(heading[0])]), normals(heading)[0]


def offered(
    curve: Curve,
    line: Line,
    points_mm: Array,
    template: Template,
    error: Wander | None = None,
    slid_mm: float | None = None,
) -> Offered:
    """The best seating: least widest gap with no overlap (a signed template: least largest deviation).

    slid_mm : how far the bar lies from its mark along the template (none: as is best, within the marks)
    """
    pivot, pose = registered(curve, line, points_mm)
    seat = Offered(curve, line, template, pivot, pose, points_mm, error or Wander.none())
    along, _ = _middle(line)
    start = pose + np.array([*((slid_mm or 0.0) * along), 0.0])
    free = MARKS_MM if slid_mm is None else 0.0
    best = best_pose(seat.view, start, along, free, line.length_mm, not template.rigid)
    return replace(seat, pose=best)


def seat_of(
    curve: Curve, line: Line, points_mm: Array, template: Template, truth: Truth, rng: np.random.Generator
) -> Offered:
    """The seating an operator finds: near the best one at its marks, touching if the template is rigid."""
    slid = float(np.clip(truth.slip_mm * rng.normal(), -MARKS_MM, MARKS_MM))
    best = offered(curve, line, points_mm, template, truth.template_error, slid)
    _, outward = _middle(line)
    across = template.sign * outward
    rough = truth.seat_mm + truth.seat_share * best.widest_mm
    tilt, shift = rng.normal(size=2) * np.array([2.0 * rough / line.length_mm, rough])
    pose = best.pose + np.array([0.0, 0.0, tilt])
    if template.rigid:
        return replace(best, pose=in_contact(best.view, pose, across))
    return replace(best, pose=pose + np.array([*(shift * across), 0.0]))


def sweep_readings(curve: Curve, line: Line, stations_mm: Array, chord_mm: float) -> Array:
    """(n,) mid-chord reading of a short template, both ends on the bar; > 0 where the bar is too open.

    NaN where the template would overhang the bar's end.
    """
    half = 0.5 * chord_mm
    length = line.length_mm
    fits = (stations_mm - half >= -1e-9) & (stations_mm + half <= length + 1e-9)
    readings = np.full(len(stations_mm), np.nan)
    for i in np.flatnonzero(fits):
        readings[i] = _one_sweep(curve, line, float(stations_mm[i]), half)
    return readings


def _one_sweep(curve: Curve, line: Line, middle_mm: float, half_mm: float) -> float:
    """Newton on the shift across and the turn until both ends touch; then what is left at mid-chord."""
    at = np.array([middle_mm - half_mm, middle_mm, middle_mm + half_mm])
    pivot, pose = registered(curve, line, at, middle_mm)
    outward = np.array([np.sin(line.heading_rad(at)[1]), -np.cos(line.heading_rad(at)[1])])
    for _ in range(20):
        held = held_against(curve, line, at, pivot, pose)
        slopes = np.column_stack([held.motion[:, :2] @ outward, held.motion[:, 2]])[[0, 2]]
        step = np.linalg.solve(slopes, -held.deviation_mm[[0, 2]])
        pose = pose + np.array([*(step[0] * outward), step[1]])
        if float(np.max(np.abs(step))) < 1e-10:
            break
    return -float(held_against(curve, line, at, pivot, pose).deviation_mm[1])
