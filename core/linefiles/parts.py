"""A line from a file as the field of a job that a kind of part takes: a bar's line, an outline, a meridian.

* "line": as it was found.
* "outline", of a flange: the pieces as they are drawn; the plate lies at the left hand, so that where the
  line turns left the edge bulges out. A whole circle is a rim, or a hole where it turns right.
* "shape", of a dish: (r, z) from the pole to the rim, rising. A table gives them as they are. A line that is
  drawn starts at the pole, square to the axis: the axis goes through its first point.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import pi
from typing import Any

import numpy as np

from core.errors import InputError
from core.geometry.line import Array
from core.geometry.segments import from_segments
from core.jobfields import chosen
from core.linefiles.shape import DECIMALS, FileLine

PROFILE_POINTS = 51
CLOSED_RAD, ALIKE = 1e-4, 1e-6  # a circle's turn, and its radii, as drawings round them
AXES = np.array([[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0]])


def line_as(part: str, line: FileLine) -> dict[str, Any]:
    """The fields of a job's "line", "outline" or "shape", plain numbers in mm. Raises InputError for a line
    that cannot be one."""
    return PARTS[chosen(part, "part", PARTS)](line)


def _outline(line: FileLine) -> dict[str, Any]:
    if "segments_mm" not in line.line:
        wanted = "arcs and straights that run into each other are wanted, as in a drawing: no table"
        raise InputError("outline", f"{line.label}: {', '.join(line.line)}", wanted)
    pieces = line.line["segments_mm"]
    bends = np.array([0.0 if radius is None else 1.0 / radius for _, radius in pieces])
    if abs(abs(line.turn_rad) - 2.0 * pi) > CLOSED_RAD or np.ptp(bends) > ALIKE * np.max(np.abs(bends)):
        return {"segments_mm": pieces}
    return {"rim_mm" if bends[0] > 0.0 else "hole_mm": round(2.0 / abs(float(bends[0])), DECIMALS)}


def _shape(line: FileLine) -> dict[str, Any]:
    given: Mapping[str, Any] = line.line
    if "traced_mm" in given:
        return dict(given)
    if "segments_mm" in given:
        along = from_segments(given["segments_mm"])
        points = along.point_mm(np.linspace(0.0, along.length_mm, PROFILE_POINTS))
    else:
        points = np.array(given["offsets_mm"], dtype=float)
    points = points if line.from_axis else _from_the_pole(points)
    return {"profile_mm": (np.round(points, DECIMALS) + 0.0).tolist()}


def _from_the_pole(points: Array) -> Array:
    """(k, 2) r and z of points that begin at the pole: away from the axis as they set out, then rising."""
    away = points - points[0]
    out = AXES[int(np.argmax(AXES @ away[1]))]
    r, z = away @ out, away @ np.array([-out[1], out[0]])
    return np.column_stack([r, z if z[-1] >= 0.0 else -z])


PARTS: dict[str, Callable[[FileLine], dict[str, Any]]] = {
    "line": lambda line: dict(line.line),
    "outline": _outline,
    "shape": _shape,
}
"""by the field of a job"""
