"""Target lines of arcs and straights: exact closed forms.

Sagitta of a chord c at radius R: h = R - sqrt(R^2 - c^2/4), so R = c^2/(8h) + h/2, and the arc's
angle is 4 atan(2h/c) (segment of a circle, any engineering handbook).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.errors import InputError
from core.geometry.line import Array, arc_step

FULL_TURN_RAD = 2.0 * math.pi


@dataclass(frozen=True, eq=False)
class SegmentLine:
    """Arcs and straights joined with a common tangent; starts at (0, 0) with heading 0.

    joint_mm : (m + 1,) arc length at the ends of the segments, first 0
    segment_per_mm : (m,) curvature of each segment, 1/mm
    joint_heading_rad : (m + 1,), joint_point_mm : (m + 1, 2) heading and point at the joints
    """

    joint_mm: Array
    segment_per_mm: Array
    joint_heading_rad: Array
    joint_point_mm: Array
    warnings: tuple[str, ...] = ()
    smoothing_sd_mm: float = 0.0

    @property
    def length_mm(self) -> float:
        """Arc length from end to end, mm."""
        return float(self.joint_mm[-1])

    def heading_rad(self, s_mm: ArrayLike) -> Array:
        """(...) heading at arc length ``s_mm``, rad."""
        k, step = self._locate(s_mm)
        return np.asarray(self.joint_heading_rad[k] + self.segment_per_mm[k] * step)

    def curvature_per_mm(self, s_mm: ArrayLike) -> Array:
        """(...) curvature at arc length ``s_mm``, 1/mm; at a joint that of the next segment."""
        k, _ = self._locate(s_mm)
        return np.asarray(self.segment_per_mm[k])

    def point_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) point at arc length ``s_mm``, mm."""
        k, step = self._locate(s_mm)
        along = arc_step(self.joint_heading_rad[k], self.segment_per_mm[k], step)
        return np.asarray(self.joint_point_mm[k] + along)

    def _locate(self, s_mm: ArrayLike) -> tuple[np.ndarray, Array]:
        s = np.asarray(s_mm, dtype=float)
        # Only inner joints are searched: what lies beyond an end belongs to the end segment.
        k = np.searchsorted(self.joint_mm[1:-1], s, side="right")
        return k, s - self.joint_mm[k]


def from_arc(
    radius_mm: float, *, length_mm: float | None = None, angle_rad: float | None = None
) -> SegmentLine:
    """One arc of radius ``radius_mm`` (> 0 turns left) and either its length or its angle (> 0).

    Raises InputError for a radius of 0, for neither or both of length and angle, and for more
    than a full turn.
    """
    _wants_nonzero("line.radius", radius_mm)
    if (length_mm is None) == (angle_rad is None):
        raise InputError("line", (length_mm, angle_rad), "a radius wants either a length or an angle")
    if length_mm is None:
        _wants_positive("line.angle", angle_rad)
        length_mm = abs(radius_mm) * float(angle_rad or 0.0)
    _wants_positive("line.length", length_mm)
    if length_mm > FULL_TURN_RAD * abs(radius_mm) * (1 + 1e-12):
        raise InputError(
            "line.length", length_mm, f"at most a full turn, {FULL_TURN_RAD * abs(radius_mm):.6g} mm, fits"
        )
    return _joined([length_mm], [1.0 / radius_mm])


def from_chord_rise(chord_mm: float, rise_mm: float) -> SegmentLine:
    """The arc over a chord (> 0) with the given rise (sagitta) at mid-chord; rise > 0 turns left.

    Starts at (0, 0) with heading 0, so the chord lies at half the arc's angle. A rise of more
    than half the chord is more than a half circle and is taken as such.
    """
    _wants_positive("line.chord", chord_mm)
    _wants_nonzero("line.rise", rise_mm)
    radius_mm = chord_mm**2 / (8.0 * rise_mm) + rise_mm / 2.0
    angle_rad = 4.0 * math.atan(2.0 * abs(rise_mm) / chord_mm)
    return from_arc(radius_mm, angle_rad=angle_rad)


def from_segments(segments: Sequence[tuple[float, float | None]]) -> SegmentLine:
    """Segments of (length mm > 0, signed radius mm or None for a straight), tangent to each other.

    Raises InputError naming the segment, counted from 0 as in ``line.segments[0]``.
    """
    if not segments:
        raise InputError("line.segments", segments, "at least one segment of length and radius is wanted")
    curvatures = []
    for i, (length_mm, radius_mm) in enumerate(segments):
        _wants_positive(f"line.segments[{i}].length", length_mm)
        if radius_mm is not None:
            _wants_nonzero(f"line.segments[{i}].radius", radius_mm)
        curvatures.append(0.0 if radius_mm is None else 1.0 / radius_mm)
    return _joined([length for length, _ in segments], curvatures)


def _joined(lengths_mm: Sequence[float], curvatures_per_mm: Sequence[float]) -> SegmentLine:
    lengths, kappa = np.array(lengths_mm, dtype=float), np.array(curvatures_per_mm, dtype=float)
    heading = np.concatenate([[0.0], np.cumsum(kappa * lengths)])
    steps = arc_step(heading[:-1], kappa, lengths)
    return SegmentLine(
        joint_mm=np.concatenate([[0.0], np.cumsum(lengths)]),
        segment_per_mm=kappa,
        joint_heading_rad=heading,
        joint_point_mm=np.concatenate([np.zeros((1, 2)), np.cumsum(steps, axis=0)]),
    )


def _wants_positive(field: str, value: float | None) -> None:
    if value is None or not math.isfinite(value) or value <= 0.0:
        raise InputError(field, value, "a number greater than 0 is wanted")


def _wants_nonzero(field: str, value: float) -> None:
    if not math.isfinite(value) or value == 0.0:
        raise InputError(field, value, "a number other than 0 is wanted (negative bends the other way)")
