"""The fields of a dish, made into a :class:`core.kinds.dish.DishPart`.

Shapes (lengths with their units; names ending in ``_mm`` take bare numbers)::

    {"radius": "300 mm", "depth": "120 mm"}       a cap of a sphere; or "angle": "60 deg" of its rim
    {"diameter": "500 mm", "depth": "100 mm"}     the same over a rim of this diameter
    {"crown_radius": "1 m", "knuckle_radius": "100 mm", "diameter": "1 m"}    a dished end; and "straight"
    {"profile_mm": [[0, 0], [100, 8.5], ...]}     r and z from the pole to the rim
    {"traced_mm": [[0, 0], [12, 0.1], ...], "tracing_sd": "0.3 mm"}

All of the hollow side, or all of the face that the template is held to.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import degrees, floor, pi
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.geometry.blank import Blank
from core.geometry.meridian import (
    Meridian,
    over_rim,
    spherical,
    through_profile,
    torispherical,
    traced_profile,
)
from core.geometry.ways import Way
from core.jobfields import LONGEST_MM, Fields, MissingField, in_range, pair
from core.kinds.base import Part
from core.kinds.dish import DishPart
from core.kinds.methods import (
    BOTH,
    BY_LIMITS,
    WAYS,
    asked_of,
    by_limits,
    instead,
    laid_elsewhere,
    missing,
    open_ring,
    ways_of,
    why,
    written,
)
from core.kinds.setting import Setting
from core.units import format_length, parse_length_mm

Array = NDArray[np.float64]
FEWEST_RINGS, MOST_RINGS = 3, 60
THICKEST_MM = 25.0
THINNEST_BEND = 2.0  # of the thickness: a meridian that turns tighter is no sheet any more
STAYS = "It stays so once the part is begun."
LEAST_STRAIN = 1e-4  # that the target has to ask for somewhere
UPRIGHT_RAD = 0.5 * pi * (1.0 + 1e-6)


def dish_part(fields: Fields, setting: Setting) -> Part:
    """A dish from "shape", "method", "neutral_ring", "thickness", and "pitch" or "rings_mm".

    "method" may be left out, or be "by limits", and "neutral_ring" be left out: what they came to is settled
    (``Fields.settle``). Raises InputError naming the field that cannot be used.
    """
    thickness = fields.length_mm("thickness", most=THICKEST_MM)
    meridian = _meridian(fields.part("shape"), thickness)
    ring_mm = _neutral_ring_mm(fields, meridian)
    ways = ways_of(meridian, setting.takes, ring_mm)
    method = _method(fields, meridian, ways, setting)
    blank = Blank(meridian, ways[method])
    if method == BOTH:
        _say_ring(fields, blank, setting, stated=ring_mm is not None)
    rings = ring_edges(fields, blank.radius_mm, setting.patch_depth_mm)
    part = DishPart(blank, ways, rings, thickness, setting.patch_depth_mm, setting.poisson)
    most = float(np.max(np.abs(part.target)))
    if most < LEAST_STRAIN:
        wanted = f"a deeper one is wanted: no ring has to change by as much as {100 * LEAST_STRAIN:g} %"
        raise InputError(fields.path("shape"), f"a dish {format_length(meridian.rim_mm[1])} deep", wanted)
    for sentence in (*meridian.warnings, *meridian.line.warnings, *part.cautions()):
        fields.warn(sentence)
    return part


def _method(fields: Fields, meridian: Meridian, ways: Mapping[str, Way], setting: Setting) -> str:
    """As given, or by limits of the metal and what the tools do; which and why is said."""
    given = fields.choice("method", dict.fromkeys(WAYS)) if fields.has("method") else BY_LIMITS
    asked = asked_of(meridian, ways)
    if given == BY_LIMITS:
        taken = by_limits(asked, setting.takes)
        fields.warn(f"{why(asked, setting.takes)} {STAYS}")
        fields.settle("method", taken)
        return taken
    lacking = missing(asked[given], setting.takes)
    if lacking:
        other = instead(asked, setting.takes, given)
        do = f" Another method would do: {other}." if other else ""
        fields.warn(f"To '{given}' takes strokes that {lacking[0]}, and no tool here does.{do}")
    return given


def _neutral_ring_mm(fields: Fields, meridian: Meridian) -> float | None:
    """Where the ring lies that keeps its size, along the meridian; None where limits lay it."""
    if not fields.has_length("neutral_ring"):
        return None
    path, shown = fields.shown("neutral_ring")
    if fields.get("method", BY_LIMITS) != BOTH:
        wanted = f"a ring keeps its size only by the method '{BOTH}': that method is wanted, or no ring"
        raise InputError(path, shown, wanted)
    ring_mm = fields.signed_mm("neutral_ring")
    if not 0.0 < ring_mm <= meridian.length_mm:
        wanted = (
            f"more than 0 mm and at most {format_length(meridian.length_mm)} is wanted, the length along the "
            "dish from its pole to its rim"
        )
        raise InputError(path, shown, wanted)
    return ring_mm


def _say_ring(fields: Fields, blank: Blank, setting: Setting, stated: bool) -> None:
    """Of a ring that the limits laid where it lies, which is settled; of a stated one where it should lie."""
    said = laid_elsewhere(blank, setting.takes) if stated else open_ring(blank)
    if not stated and blank.kept_mm is not None:
        fields.settle("neutral_ring", written(blank.meridian, blank.way))
    if said:
        fields.warn(said)


def ring_edges(fields: Fields, disc_radius_mm: float, patch_depth_mm: float) -> Array:
    """(n + 1,) radii on the disc between which the rings lie, first 0 and last the disc's.

    "pitch" counts from the rim inwards, what is left over goes to the ring in the middle; "rings_mm" are the
    circles marked on the disc, from the middle outwards, its own edge not among them. A ring is at least as
    wide as the tool's patch is deep: a stroke would reach into the ring beside it.
    """
    if fields.one_of("pitch", "pitch_mm", "rings", "rings_mm").startswith("pitch"):
        return _pitched(fields, disc_radius_mm, patch_depth_mm)
    entries, path, bare = fields.lengths("rings")
    circles = [parse_length_mm(entry, f"{path}[{i}]", bare) for i, entry in enumerate(entries)]
    if not FEWEST_RINGS - 1 <= len(circles) <= MOST_RINGS - 1:
        wanted = f"{FEWEST_RINGS - 1} to {MOST_RINGS - 1} circles, for one ring more, are wanted"
        raise InputError(path, f"{len(circles)} circles", wanted)
    edges = [0.0, *circles, disc_radius_mm]
    least = format_length(patch_depth_mm)
    for i, circle in enumerate(circles):
        if circle - edges[i] < patch_depth_mm * (1.0 - 1e-9):
            what = "the circle before it" if i else "the middle"
            wanted = f"at least the depth of the tool's patch, {least}, beyond {what} is wanted"
            raise InputError(f"{path}[{i}]", entries[i], wanted)
    if disc_radius_mm - circles[-1] < patch_depth_mm * (1.0 - 1e-9):
        wanted = (
            f"at least the depth of the tool's patch, {least}, inside the disc's own edge, "
            f"{format_length(disc_radius_mm)}, is wanted"
        )
        raise InputError(f"{path}[{len(circles) - 1}]", entries[-1], wanted)
    return np.array(edges)


def _pitched(fields: Fields, disc_radius_mm: float, patch_depth_mm: float) -> Array:
    pitch = fields.length_mm("pitch")
    path, shown = fields.shown("pitch")
    least, most = max(patch_depth_mm, disc_radius_mm / MOST_RINGS), disc_radius_mm / FEWEST_RINGS
    if not least * (1.0 - 1e-9) <= pitch <= most * (1.0 + 1e-9):
        wanted = (
            f"from {format_length(least)}, no less than the tool's patch is deep, to {format_length(most)}, "
            f"{FEWEST_RINGS} rings on the disc of {format_length(2.0 * disc_radius_mm)}, is wanted"
        )
        raise InputError(path, shown, wanted)
    count = floor(disc_radius_mm / pitch * (1.0 + 1e-9))
    circles = disc_radius_mm - pitch * np.arange(count - 1, -1, -1)
    return np.concatenate([[0.0], circles])


def _meridian(fields: Fields, thickness_mm: float) -> Meridian:
    """The meridian that these fields describe. Raises InputError naming the field that cannot be used."""
    form = _form(fields)
    try:
        meridian = FORMS[form](fields)
    except InputError as error:
        raise _as_typed(fields, error) from error
    fields.finish()
    _check(meridian, fields, form, thickness_mm)
    return meridian


def _form(fields: Fields) -> str:
    given = [form for form in FORMS if fields.has_length(form)]
    if given == ["crown_radius", "diameter"]:  # the diameter of a dished end
        given = given[:1]
    if len(given) == 1:
        return given[0]
    if not given:
        for form in FORMS:
            fields.refuse_misspelt(form)
        what = (
            "radius with depth or angle, diameter with depth, crown_radius with knuckle_radius and diameter, "
            "a profile or traced points are wanted"
        )
        raise MissingField(fields.path(""), what)
    what = "one form of the shape is wanted, not both '" + "' and '".join(given[:2]) + "'"
    raise InputError(*fields.shown(given[1]), what)


def _as_typed(fields: Fields, error: InputError) -> InputError:
    """The same error with a length as it was typed, under the name that it was given."""
    key = error.field.removeprefix(fields.path("") + ".")
    if isinstance(error, MissingField) or not (key.isidentifier() and fields.has_length(key)):
        return error
    return InputError(*fields.shown(key), error.expected)


def _check(meridian: Meridian, fields: Fields, form: str, thickness_mm: float) -> None:
    """Raises InputError for a meridian that is no open dish, or that turns tighter than sheet can."""
    s = np.linspace(0.0, meridian.length_mm, 2001)
    field, _ = fields.shown(form)
    slope = meridian.slope_rad(s)
    worst = int(np.argmax(np.abs(slope)))
    if abs(slope[worst]) > UPRIGHT_RAD:
        shown = f"{degrees(slope[worst]):.0f}° at {format_length(s[worst])} from the pole"
        raise InputError(field, shown, "a surface that nowhere leans over, 90° at most, is wanted")
    tightest = 1.0 / float(np.max(np.abs(meridian.curvature_per_mm(s))))
    if tightest < THINNEST_BEND * thickness_mm:
        wanted = (
            f"at least {THINNEST_BEND:g} times the thickness, {format_length(THINNEST_BEND * thickness_mm)},"
        )
        raise InputError(field, f"a radius of {format_length(tightest)}", f"{wanted} is wanted everywhere")
    in_range(meridian.length_mm, field, "the length of the meridian", above=0.0, most=LONGEST_MM, unit="mm")


def _sphere(fields: Fields) -> Meridian:
    radius = fields.length_mm("radius")
    if fields.one_of("depth", "depth_mm", "angle") == "angle":
        return spherical(radius, angle_rad=fields.angle_rad("angle", UPRIGHT_RAD))
    return spherical(radius, depth_mm=fields.length_mm("depth"))


def _over_rim(fields: Fields) -> Meridian:
    return over_rim(fields.length_mm("diameter"), fields.length_mm("depth"))


def _dished_end(fields: Fields) -> Meridian:
    crown, knuckle = fields.length_mm("crown_radius"), fields.length_mm("knuckle_radius")
    straight = fields.length_mm("straight") if fields.has_length("straight") else 0.0
    return torispherical(crown, knuckle, fields.length_mm("diameter"), straight)


def _profile(fields: Fields) -> Meridian:
    sd = fields.length_mm("profile_sd", most=20.0) if fields.has_length("profile_sd") else 0.0
    return through_profile(_points(fields, "profile"), sd)


def _traced(fields: Fields) -> Meridian:
    points = _points(fields, "traced")
    if not fields.has_length("tracing_sd"):
        fields.need("tracing_sd", "how far the tracing may be off, such as '0.3 mm', is wanted")
    return traced_profile(points, fields.length_mm("tracing_sd", most=20.0))


FORMS: dict[str, Callable[[Fields], Meridian]] = {
    "radius": _sphere,
    "crown_radius": _dished_end,
    "diameter": _over_rim,
    "profile": _profile,
    "traced": _traced,
}


def _points(fields: Fields, key: str) -> list[tuple[float, float]]:
    entries, path, bare = fields.lengths(key)

    def coordinate(value: Any, field: str) -> float:
        mm = parse_length_mm(value, field, bare)
        return in_range(mm, field, value, above=-LONGEST_MM, most=LONGEST_MM, unit="mm")

    return [pair(entry, f"{path}[{i}]", coordinate, "r and z") for i, entry in enumerate(entries)]
