"""Parts made of sheet, drawn to scale: a flange across its edge, a disc with its rings from above."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees
from typing import Any

import numpy as np
from numpy.typing import NDArray

import core
from shopapp.presenters import disc_facts, wording
from shopapp.presenters.picture_views import LineDrawing, Picture
from shopapp.presenters.pieces import PLAIN, Point, Size

Array = NDArray[np.float64]
FLANGE_FIELDS = ("height", "angle", "inside_radius", "thickness", "start_angle")
DISC_FIELDS = ("method", "neutral_ring", "thickness")
PLATE = 1.5
"""how much of the plate is drawn, in heights of the flange"""
BEND_POINTS, ROUND_POINTS = 17, 73


def flange(job: core.Job) -> Picture | None:
    """The finished flange across its edge, thin as it is tipped beforehand; None for a part that has none."""
    bend = getattr(job.part, "bend", None)
    if bend is None:
        return None
    finished, tipped = across(bend, bend.angle_rad), across(bend, bend.start_rad)
    reach = min(job.tool.patch_depth_mm, bend.height_mm)
    worked = finished[-1] + np.array([[0.0], [1.0]]) * reach * _unit(finished[-2] - finished[-1])
    drawing = LineDrawing(
        metal=(_points(finished),),
        thickness_mm=bend.thickness_mm,
        worked=(_points(worked),),
        thin=(_points(tipped),),
        sizes=(Size("left", 0.0, float(finished[-1, 1]), wording.size(float(finished[-1, 1]))),),
    )
    said = (
        f"Turned to {degrees(bend.angle_rad):.0f}°, {wording.size(bend.height_mm)} high over its outer face; "
        f"bold: the worked edge, {wording.size(reach)} deep. Thin: tipped to {degrees(bend.start_rad):.0f}° "
        "before the first pass."
    )
    return Picture(FLANGE_FIELDS, drawing, ((said, PLAIN),))


def disc(job: core.Job) -> Picture | None:
    """The flat disc from above with its rings; None for a part that has none."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return None
    rings, kept = part.rings_mm, part.kept_ring_mm
    across_mm = 2.0 * float(rings[-1])
    drawing = LineDrawing(
        worked=(_circle(rings[-1]), *(() if kept is None else (_circle(kept[1]),))),
        thin=tuple(_circle(radius) for radius in rings[1:-1]),
        sizes=(Size("below", -0.5 * across_mm, 0.5 * across_mm, f"{across_mm:.0f} mm"),),
    )
    count = len(part.sites)
    inside = "" if kept is None else "; bold inside: the ring that keeps its size"
    cut = f"Cut the disc about {across_mm:.0f} mm across; {count} {part.sites.label}s, 1 in the middle"
    said = [f"{cut}{inside}."]
    if kept is not None:
        said.append(f"Ring that keeps its size: {part.kept_ring}.")
    said.append(f"By other methods: {disc_facts.others(job)}.")
    return Picture(DISC_FIELDS, drawing, tuple((text, PLAIN) for text in said))


def rings(job: core.Job, chosen: Sequence[int]) -> Picture | None:
    """The flat disc from above with its rings, those chosen (from 0) bold; None for a part that has none."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return None
    middles = 0.5 * (part.rings_mm[1:] + part.rings_mm[:-1])
    drawing = LineDrawing(
        worked=tuple(_circle(middles[ring]) for ring in chosen),
        thin=tuple(_circle(radius) for radius in part.rings_mm[1:]),
    )
    return Picture(DISC_FIELDS, drawing, ())


def across(bend: Any, angle_rad: float) -> Array:
    """(m, 2) middle of the sheet from the plate through the bend to the free edge, mm; the plate's outer face
    lies at 0 and the outer face of the flange begins at x = 0 when it is upright."""
    half = 0.5 * bend.thickness_mm
    radius = bend.inside_mm + half
    back = (bend.inside_mm + bend.thickness_mm) * np.tan(0.5 * angle_rad)
    turn = np.linspace(0.0, angle_rad, BEND_POINTS)
    start = np.array([-back, half])
    arc = start + radius * np.column_stack([np.sin(turn), 1.0 - np.cos(turn)])
    way = np.array([np.cos(angle_rad), np.sin(angle_rad)])
    straight = max(bend.height_mm - back, 0.0)
    plate = start - np.array([PLATE * bend.height_mm, 0.0])
    return np.vstack([plate, arc, arc[-1] + straight * way])


def _unit(way: Array) -> Array:
    return np.asarray(way / np.hypot(*way))


def _circle(radius_mm: float) -> tuple[Point, ...]:
    turn = np.linspace(0.0, 2.0 * np.pi, ROUND_POINTS)
    return _points(radius_mm * np.column_stack([np.cos(turn), np.sin(turn)]))


def _points(xy: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in xy)
