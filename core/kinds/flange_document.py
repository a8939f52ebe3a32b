"""The fields of a turned flange, made into a :class:`core.kinds.flange.FlangePart`.

    {"kind": "flange", "outline": {"segments": [["400 mm", "300 mm"], ["200 mm", null]]},
     "height": "20 mm", "angle": "90 deg", "inside_radius": "3 mm", "thickness": "1.5 mm", "pitch": "40 mm"}

The outline is where the outer faces of plate and flange meet: segments (length, radius; < 0 for a hollow in
the edge, null for a straight), ``{"rim": "600 mm"}`` or ``{"hole": "200 mm"}`` (diameters). May be left out:
"start_angle", to which the edge is tipped before the first pass, "fold_per_stroke" and "fold_per_pass", what
a stroke of bite 1.0 and what a pass at most fold where the edge does not turn the flange, and "k_factor" of
the bend allowance.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil, degrees, pi, radians
from typing import Any

import numpy as np

from core.errors import InputError
from core.geometry.flange_blank import NEUTRAL, bend_deduction_mm, blank_diameter_mm, setback_mm
from core.geometry.flange_outline import FlangeOutline
from core.geometry.flange_turning import folding_radius_mm, turning_from_rad
from core.jobfields import LONGEST_MM, Fields, MissingField, in_range
from core.kinds.base import Part
from core.kinds.flange import FOLD_PER_PASS_RAD, Bend, FlangePart
from core.kinds.setting import Setting
from core.units import change_of_length, format_angle, format_length, parse_length_mm

HIGHEST_MM, THICKEST_MM, WIDEST_MM = 1000.0, 25.0, 1e6
FEWEST_SECTORS, MOST_SECTORS = 3, 1000
LEAST_RAD = radians(5.0)  # by which the edge is tipped, so that it knows its side
START_RAD, FOLD_RAD = (
    radians(10.0),
    radians(2.0),
)  # tipped beforehand; by a stroke (common practice, no source)
FORMS = ("segments", "rim", "hole")


def flange_part(fields: Fields, setting: Setting) -> Part:
    """A turned flange. Raises InputError naming the field that cannot be used."""
    bend = _bend(fields, setting)
    curve = _outline(fields.part("outline"), bend.height_mm)
    if not fields.has("start_angle"):
        bend = _tipped_enough(bend, curve)
    pitch = _pitch(fields, curve, setting)
    fold = fields.angle_rad("fold_per_stroke", pi / 2) if fields.has("fold_per_stroke") else FOLD_RAD
    part = FlangePart(
        curve,
        curve.sectors(pitch),
        bend,
        setting.patch_length_mm,
        setting.patch_depth_mm,
        fold / setting.strain_per_stroke,
        setting.poisson,
        fields.angle_rad("fold_per_pass", pi / 2) if fields.has("fold_per_pass") else FOLD_PER_PASS_RAD,
    )
    for sentence in _cautions(part):
        fields.warn(sentence)
    return part


def _bend(fields: Fields, setting: Setting) -> Bend:
    thickness = fields.length_mm("thickness", most=THICKEST_MM)
    inside, height = (
        fields.length_mm("inside_radius", most=HIGHEST_MM),
        fields.length_mm("height", most=HIGHEST_MM),
    )
    angle = fields.angle_rad("angle", pi / 2 * (1 + 1e-9))
    in_range(angle, *fields.shown("angle"), above=LEAST_RAD, most=pi / 2 * (1 + 1e-9), unit="rad")
    start = fields.angle_rad("start_angle", angle) if fields.has("start_angle") else _usual_start(angle)
    if not LEAST_RAD * (1 - 1e-9) <= start < angle:
        wanted = f"from {format_angle(LEAST_RAD)} to less than the angle, {format_angle(angle)}, is wanted"
        raise InputError(fields.path("start_angle"), fields.get("start_angle"), wanted)
    neutral = fields.number("k_factor", NEUTRAL, 0.0, 0.6)
    taken = bend_deduction_mm(angle, inside, thickness, neutral)  # a sharp bend takes more than its setback
    bent = float(max(setback_mm(angle, inside, thickness), taken))
    if height <= bent or height < setting.patch_depth_mm * (1 - 1e-9):
        wanted = (
            f"more than {format_length(bent)}, where the bend ends, and at least the depth of the tool's "
            f"patch, {format_length(setting.patch_depth_mm)}, is wanted"
        )
        raise InputError(*fields.shown("height"), wanted)
    return Bend(height, angle, start, inside, thickness, neutral)


def _usual_start(angle_rad: float) -> float:
    return max(LEAST_RAD, min(START_RAD, 0.5 * angle_rad))


def _tipped_enough(bend: Bend, curve: FlangeOutline) -> Bend:
    """Where no start is given: tipped so far, to a whole degree if there is room, that strokes turn it."""
    radii = np.array([abs(radius) for _, radius in curve.segments if radius is not None])
    turned = radii[radii <= folding_radius_mm(bend.height_mm, bend.thickness_mm, bend.angle_rad)]
    if not len(turned):
        return bend
    least = float(turning_from_rad(bend.height_mm, bend.thickness_mm, turned.max()))
    tipped = min(radians(ceil(degrees(least))), 0.5 * (least + bend.angle_rad))
    return replace(bend, start_rad=max(bend.start_rad, tipped))


def _outline(fields: Fields, height_mm: float) -> FlangeOutline:
    given = [form for form in FORMS if fields.has_length(form)]
    if len(given) != 1:
        for form in FORMS:
            fields.refuse_misspelt(form)
        if given:
            wanted = f"one form of the outline is wanted, not both '{given[0]}' and '{given[1]}'"
            raise InputError(fields.path(given[1]), fields.get(given[1]), wanted)
        raise MissingField(fields.path(""), "segments, or the diameter of a rim or of a hole, are wanted")
    form = given[0]
    curve = _segments(fields, height_mm) if form == "segments" else _circle(fields, form, height_mm)
    fields.finish()
    return curve


def _circle(fields: Fields, form: str, height_mm: float) -> FlangeOutline:
    diameter = fields.length_mm(form)
    in_range(diameter, *fields.shown(form), above=2.0 * height_mm, most=LONGEST_MM / pi, unit="mm")
    return FlangeOutline.circle(diameter, convex=form == "rim")


def _segments(fields: Fields, height_mm: float) -> FlangeOutline:
    entries, path, bare = fields.lengths("segments")
    found = [_segment(entry, f"{path}[{i}]", bare, height_mm) for i, entry in enumerate(entries)]
    total = sum(length for length, _ in found)
    in_range(total, path, f"{len(found)} segments", above=0.0, most=LONGEST_MM, unit="mm")
    return FlangeOutline(tuple(found))


def _segment(entry: Any, path: str, bare: str | None, height_mm: float) -> tuple[float, float | None]:
    if not isinstance(entry, list) or len(entry) != 2:
        raise InputError(path, entry, "a list of two is wanted: length, and radius (null for a straight)")
    length = parse_length_mm(entry[0], f"{path}[0]", bare)
    in_range(length, f"{path}[0]", entry[0], above=0.0, most=LONGEST_MM, unit="mm")
    if entry[1] is None:
        return length, None
    radius = parse_length_mm(entry[1], f"{path}[1]", bare)
    if not height_mm < abs(radius) <= WIDEST_MM:
        wanted = (
            f"a radius of more than the height of the flange, {format_length(height_mm)}, and at most "
            f"{format_length(WIDEST_MM, 'm', 0)}, above 0 (convex) or below (concave), is wanted"
        )
        raise InputError(f"{path}[1]", entry[1], wanted)
    if length > 2 * pi * abs(radius) * (1 + 1e-9):
        raise InputError(f"{path}[0]", entry[0], "at most one full turn of its radius is wanted")
    return length, radius


def _pitch(fields: Fields, curve: FlangeOutline, setting: Setting) -> float:
    pitch, total = fields.length_mm("pitch"), curve.length_mm
    path, shown = fields.shown("pitch")
    least, most = max(0.5 * setting.patch_length_mm, total / MOST_SECTORS), total / FEWEST_SECTORS
    if not least <= pitch <= most:
        wanted = (
            f"from {format_length(least)}, half the tool's patch, to {format_length(most)}, "
            f"{FEWEST_SECTORS} sectors on an outline of {format_length(total)}, is wanted"
        )
        raise InputError(path, shown, wanted)
    shortest = min(length for length, _ in curve.segments)
    if shortest < 0.5 * setting.patch_length_mm:
        wanted = f"half the tool's patch, {format_length(0.5 * setting.patch_length_mm)}, or more is wanted"
        raise InputError("outline.segments", f"a segment of {format_length(shortest)}", wanted)
    return pitch


def _cautions(part: FlangePart) -> list[str]:
    """What the operator should know before the plate is cut and before the first pass."""
    return [said for said in (_blank(part), _strain(part), _folding(part), _tipping(part)) if said]


def cut_diameter_mm(part: FlangePart) -> float | None:
    """Of the disc or the hole to be cut, None where the outline is no circle."""
    (_, radius), *more = part.curve.segments
    if more or radius is None or not part.curve.closed:
        return None
    return blank_diameter_mm(2.0 * abs(radius), radius > 0.0, part.arm_mm)


def _blank(part: FlangePart) -> str:
    bend, beyond = part.bend, format_length(part.arm_mm)
    diameter = cut_diameter_mm(part)
    cut = "" if diameter is None else f": cut it to a diameter of {format_length(diameter)}"
    return (
        f"The flat plate goes {beyond} beyond the outline{cut} (bend allowance with K = {bend.neutral:.3g})."
    )


def _strain(part: FlangePart) -> str:
    """By how much the edge changes at the finished angle, each way."""
    strain = part.asked_strain()
    ends = [end for end in (strain.max(), strain.min()) if end != 0.0]
    found = list(dict.fromkeys(change_of_length(float(end)) for end in ends))
    if not found or part.folded.all():
        return ""
    most = "" if np.ptp(strain) == 0.0 else "at most "
    turned = format_angle(part.bend.angle_rad)
    return f"At {turned} the edge is {most}{' and '.join(found)} than on the flat plate."


def _folding(part: FlangePart) -> str:
    if not part.folded.any():
        return ""
    bend, numbers = part.bend, _runs(np.flatnonzero(part.folded) + 1)
    widest = float(folding_radius_mm(bend.height_mm, bend.thickness_mm, bend.angle_rad))
    return (
        f"At sectors {numbers} the outline is straight, or its radius more than {format_length(widest)}, and "
        "strokes on the edge do not turn the flange: strokes planned there close the tool on the bend and "
        f"fold it along the outline, no more than {format_angle(part.fold_per_pass_rad, 0)} in a pass."
    )


def _tipping(part: FlangePart) -> str:
    bend, curvature = part.bend, part.sectors.curvature_per_mm[~part.folded]
    tip = f"The edge is tipped to {format_angle(bend.start_rad)} before the first pass"
    if not len(curvature):
        return f"{tip}."
    from_rad = float(np.max(turning_from_rad(bend.height_mm, bend.thickness_mm, 1.0 / curvature)))
    weak = f"elow about {format_angle(from_rad, 0)} the edge is too weak to fold the bend by itself"
    if from_rad <= bend.start_rad:
        return f"{tip}: b{weak}." if from_rad > LEAST_RAD else f"{tip}."
    return f"{tip}. B{weak}: help the flange up by hand or with the tool until then."


def _runs(numbers: Any) -> str:
    """Rising whole numbers as "1 to 4, 7"."""
    pieces = np.split(numbers, np.flatnonzero(np.diff(numbers) > 1) + 1)
    return ", ".join(f"{p[0]}" if len(p) == 1 else f"{p[0]} to {p[-1]}" for p in pieces)
