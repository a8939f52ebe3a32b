"""Where the edge of a template lies for each kind of part, and what is marked along it.

The line of a job is one face of the metal. A template that is held against that face is cut to the line, one
that is held against the other face to the curve beside it, as far away as the metal is thick:

* a bar's line is that of its heel, seen from outside. A template on the back is cut to it; one on the worked
  side touches the wall that stands at the heel from within (of a flat bar: the worked edge, its depth away).
* a dish's meridian is that of the hollow side, or of the back where the job's template is an outside one. The
  other face lies off it by what each ring is thick once it is worked.
* a flange is read with a square that stands on the plate inside the bend, both legs against inner faces.

"inside" is the side of the worked edge, to the left of the line, "outside" the right, as gaps are read
(:mod:`core.readings.templates`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import singledispatch
from math import pi, tan
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.errors import InputError
from core.geometry.line import TargetLine
from core.geometry.meridian import Meridian
from core.geometry.segments import from_segments
from core.kinds.base import Part
from core.kinds.dish import DishPart
from core.kinds.flange import Bend, FlangePart
from core.kinds.section import SectionPart
from core.units import format_angle, format_length

Array = NDArray[np.float64]
# Sides of the metal that a template is made for.
SIDES = ("inside", "outside")
RELIEF_MM = 1.0  # by which the corner of a square clears the bend (common practice, no source)
PLATE_LEG_MM, BEYOND_TIP_MM = 60.0, 10.0  # of a square: least leg on the plate, more than the flange's height
PLACES = 2001  # of a line, where its headings are looked at


class Curve(Protocol):
    """A plane curve by arc length, mm and rad."""

    def point_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) point."""
        ...

    def heading_rad(self, s_mm: ArrayLike) -> Array:
        """(...) direction of the tangent."""
        ...


@dataclass(frozen=True)
class Mark:
    """A place along the edge, by arc length of its curve, and what is written there."""

    at_mm: float
    text: str


@dataclass(frozen=True)
class TemplateEdge:
    """The edge that is held against the part.

    name : of the template; rests : what its edge lies against, a sentence
    curve : the line; from_mm, to_mm : stretch of it that the template covers
    known_mm, beside_mm : (k,) places along the curve, rising, and how far to its left the edge lies there;
    straight between
    on_left : the template itself lies to the left of the curve, else to the right
    level_rad : heading of the curve that its back is parallel to
    marks : in order along the edge
    """

    name: str
    rests: str
    curve: Curve
    from_mm: float
    to_mm: float
    known_mm: Array
    beside_mm: Array
    on_left: bool
    level_rad: float
    marks: tuple[Mark, ...]

    def points_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) points of the edge."""
        s = np.asarray(s_mm, dtype=float)
        beside = np.interp(s, self.known_mm, self.beside_mm)
        return np.asarray(self.curve.point_mm(s) + beside[..., None] * self._left(s))

    def into_template(self, s_mm: ArrayLike) -> Array:
        """(..., 2) unit vectors square to the curve, away from the part."""
        return self._left(np.asarray(s_mm, dtype=float)) * (1.0 if self.on_left else -1.0)

    def _left(self, s: Array) -> Array:
        heading = self.curve.heading_rad(s)
        return np.stack([-np.sin(heading), np.cos(heading)], axis=-1)


@dataclass(frozen=True)
class BothWays:
    """A meridian from rim to rim: arc length from the pole, < 0 to the left of the axis."""

    meridian: Meridian

    def point_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) across the axis and along it."""
        s = np.asarray(s_mm, dtype=float)
        mirror = np.stack([np.where(s < 0.0, -1.0, 1.0), np.ones_like(s)], axis=-1)
        return np.asarray(self.meridian.points_mm(np.abs(s)) * mirror)

    def heading_rad(self, s_mm: ArrayLike) -> Array:
        """(...) slope against the plane of the rim, < 0 to the left of the axis."""
        s = np.asarray(s_mm, dtype=float)
        return np.asarray(np.where(s < 0.0, -1.0, 1.0) * self.meridian.slope_rad(np.abs(s)))


@singledispatch
def template_edge(part: Part, side: str, line_side: str, half: bool) -> TemplateEdge:
    """Edge of the template of a part for one side of its metal.

    side, line_side : of SIDES, the side wanted and the side on which the job's template is used; half : from
    the pole to the rim, of a dish alone. Raises InputError, ``side`` or ``half``, for what the kind of part
    has not, ``kind`` for a kind that has no template.
    """
    raise InputError("kind", type(part).__name__, "a kind of part whose template can be drawn is wanted")


@template_edge.register
def _of_bar(part: SectionPart, side: str, line_side: str, half: bool) -> TemplateEdge:
    _no_half(half)
    wall = heel_wall_mm(part)
    inside = side == "inside"
    beside = wall if inside else 0.0
    return TemplateEdge(
        name=f"{side} template",
        rests=_against_bar(part, wall) if inside else "Its edge is the heel line: it lies on the back.",
        curve=part.line,
        from_mm=0.0,
        to_mm=part.length_mm,
        known_mm=np.zeros(1),
        beside_mm=np.array([beside]),
        on_left=inside,
        level_rad=_middle_heading(part.line),
        marks=_numbered(part.sites.position_mm),
    )


def heel_wall_mm(part: SectionPart) -> float:
    """From the heel to the face behind it: what stands there is so thick; a flat bar is so deep."""
    return min(piece.y1 for piece in part.section.rectangles if piece.y0 <= 0.0 < piece.y1)


def _against_bar(part: SectionPart, wall: float) -> str:
    what = "the worked edge" if wall >= part.section.flange_mm else "the inner face of the wall at the heel"
    return f"Its edge lies against {what}, {format_length(wall)} off the heel line on the worked side."


def _middle_heading(line: TargetLine) -> float:
    """Half-way between the headings that lie farthest apart: no line that turns by up to half a turn goes
    back on itself along it."""
    headings = line.heading_rad(np.linspace(0.0, line.length_mm, PLACES))
    return float(0.5 * (np.min(headings) + np.max(headings)))


@template_edge.register
def _of_dish(part: DishPart, side: str, line_side: str, half: bool) -> TemplateEdge:
    meridian, rings = part.blank.meridian, part.sites.position_mm
    thickness = part.thickness_mm(part.target)
    other_face = side != line_side
    beside = thickness * (float(other_face) if side == "inside" else -float(other_face))
    marks = _numbered(rings)
    if half:
        known, start = rings, 0.0
    else:
        known, beside = np.append(-rings[::-1], rings), np.append(beside[::-1], beside)
        mirrored = tuple(Mark(-mark.at_mm, mark.text) for mark in reversed(marks))
        marks, start = (*mirrored, Mark(0.0, "axis"), *marks), -part.length_mm
    return TemplateEdge(
        name=f"{side} template",
        rests=_against_dish(side, float(np.ptp(thickness)), thickness, other_face, half),
        curve=BothWays(meridian),
        from_mm=start,
        to_mm=part.length_mm,
        known_mm=known,
        beside_mm=beside,
        on_left=side == "inside",
        level_rad=0.0,
        marks=marks,
    )


def _against_dish(side: str, spread: float, thickness: Array, other_face: bool, half: bool) -> str:
    where = "in the hollow" if side == "inside" else "on the back"
    said = f"It lies {where} along a meridian" + (", its straight end on the axis" if half else "")
    if not other_face:
        return said + ", cut to the line of the job."
    ends = [format_length(float(end)) for end in (np.min(thickness), np.max(thickness))]
    off = ends[0] if spread < 0.005 else f"{ends[0]} to {ends[1]}"
    return f"{said}, off the line of the job by the metal, {off} once it is worked."


@template_edge.register
def _of_flange(part: FlangePart, side: str, line_side: str, half: bool) -> TemplateEdge:
    _no_half(half)
    if side != "inside":
        raise InputError("side", side, "inside is wanted: a square stands on the plate, inside the bend")
    bend = part.bend
    tangent, corner = tan(0.5 * bend.angle_rad), bend.inside_mm + RELIEF_MM
    round_mm, cut = corner * bend.angle_rad, corner * tangent
    plate = max(PLATE_LEG_MM, 1.5 * bend.height_mm)
    tip = bend.height_mm - bend.thickness_mm * tangent
    line = from_segments([(plate - cut, None), (round_mm, corner), (tip + BEYOND_TIP_MM - cut, None)])
    return TemplateEdge(
        name="square",
        rests=_against_flange(bend, corner),
        curve=line,
        from_mm=0.0,
        to_mm=line.length_mm,
        known_mm=np.zeros(1),
        beside_mm=np.zeros(1),
        on_left=True,
        level_rad=0.5 * bend.angle_rad,
        marks=(Mark(plate - 2.0 * cut + round_mm + tip, "tip"),),
    )


def _against_flange(bend: Bend, corner_mm: float) -> str:
    enclosed, angle = format_angle(pi - bend.angle_rad), format_angle(bend.angle_rad)
    return (
        f"It stands on the plate inside the bend; its legs enclose {enclosed}, for a flange at {angle}; "
        f"its corner is rounded to {format_length(corner_mm)}."
    )


def _no_half(half: bool) -> None:
    if half:
        raise InputError("half", half, "only the meridian of a dish has a half, from the pole to the rim")


def _numbered(position_mm: Array) -> tuple[Mark, ...]:
    return tuple(Mark(float(at), str(k)) for k, at in enumerate(position_mm, start=1))
