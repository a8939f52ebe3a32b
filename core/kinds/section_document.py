"""The fields of a curved section bar, made into a :class:`core.kinds.section.SectionPart`."""

from __future__ import annotations

from math import floor

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.geometry.section import Section
from core.geometry.section_shapes import section_from
from core.geometry.stroke import StrokeEffect, stroke_effect
from core.jobfields import Fields, chosen
from core.kinds.base import Part
from core.kinds.line_document import target_line
from core.kinds.section import SectionPart
from core.kinds.setting import Setting
from core.units import format_length, parse_length_mm

Array = NDArray[np.float64]
FEWEST_STATIONS, MOST_STATIONS = 3, 1000
LARGEST_MM = (2000.0, 25.0)  # of a flange or web, and of the thickness

# The dimensions of every shape, all over the outside; the first is what the machine works on.
SHAPES: dict[str, tuple[str, ...]] = {
    "angle": ("worked", "other", "thickness"),
    "channel": ("flange", "web", "thickness"),
    "Z": ("flange", "web", "thickness"),
    "T": ("depth", "flange", "thickness"),
    "flat bar": ("depth", "thickness"),
}
OPTIONAL = {"Z": ("other_flange",)}  # as wide as the worked one where it is not given
# Shapes that leave a choice of what is worked, and the choices; the first if nothing is said.
WORKED_FLANGES = {"channel": ("both", "one")}


def section_part(fields: Fields, setting: Setting) -> Part:
    """A section bar from "line", "section" and "pitch" or "stations_mm".

    Raises InputError naming the field that cannot be used.
    """
    section = bar_section(fields.part("section"), setting.patch_depth_mm)
    line = target_line(fields.part("line"), section.flange_mm)
    stations = station_positions(fields, line.length_mm, setting.patch_length_mm)
    effect = stroke_effect(section, setting.patch_length_mm, setting.patch_depth_mm, setting.poisson)
    part = SectionPart(
        line,
        section,
        effect,
        stations,
        setting.patch_length_mm,
        setting.strain_per_stroke,
        _other_effect(section, setting),
    )
    for sentence in part.cautions():
        fields.warn(sentence)
    return part


def _other_effect(section: Section, setting: Setting) -> StrokeEffect | None:
    """What the tool does on the other flange, None where there is none or where it is too narrow."""
    other = section.other
    if other is None or setting.patch_depth_mm > other.width_mm:
        return None
    turned = section.turned_to(other)
    return stroke_effect(turned, setting.patch_length_mm, setting.patch_depth_mm, setting.poisson)


def bar_section(fields: Fields, patch_depth_mm: float) -> Section:
    """The cross-section; the tool's patch has to fit on the worked flange."""
    shape = fields.choice("shape", SHAPES)
    names = (*SHAPES[shape], *(name for name in OPTIONAL.get(shape, ()) if fields.has_length(name)))
    sizes = {name: fields.length_mm(name, most=LARGEST_MM[name == "thickness"]) for name in names}
    _thin_walled(fields, sizes)
    section = section_from(shape=shape, **sizes, **_worked_flanges(fields, shape))
    fields.finish()
    if patch_depth_mm > section.flange_mm:
        flange = format_length(section.flange_mm)
        raise InputError(
            "tool.patch_depth",
            format_length(patch_depth_mm),
            f"at most the worked flange, {flange}, is wanted",
        )
    return section


def _thin_walled(fields: Fields, sizes: dict[str, float]) -> None:
    """Where no size goes with the thickness, that is the one to be looked at."""
    thickness = sizes["thickness"]
    narrow = [name for name, size in sizes.items() if name != "thickness" and size <= 2.0 * thickness]
    if not narrow:
        return
    if len(narrow) == len(sizes) - 1:
        least = format_length(0.5 * max(sizes[name] for name in narrow))
        raise InputError(*fields.shown("thickness"), f"less than {least}, half of the widest size, is wanted")
    thick = f"more than {format_length(2.0 * thickness)}, twice the thickness, is wanted"
    raise InputError(*fields.shown(narrow[0]), thick)


def _worked_flanges(fields: Fields, shape: str) -> dict[str, str]:
    """Which flanges the machine works on, for shapes that leave the choice; the first if not said."""
    options = WORKED_FLANGES.get(shape)
    if options is None:
        return {}
    return {"worked": chosen(fields.get("worked", options[0]), fields.path("worked"), dict.fromkeys(options))}


def station_positions(fields: Fields, length_mm: float, patch_length_mm: float) -> Array:
    """(n,) positions of the stations in mm, from "pitch" or from "stations_mm".

    Neighbours are at least half the tool's patch apart, and half as far from the ends: nearer, a stroke
    does next to nothing there.
    """
    if fields.one_of("pitch", "pitch_mm", "stations", "stations_mm").startswith("pitch"):
        return _pitched(fields, length_mm, patch_length_mm)
    entries, path, bare = fields.lengths("stations")
    stations = [parse_length_mm(entry, f"{path}[{i}]", bare) for i, entry in enumerate(entries)]
    if not FEWEST_STATIONS <= len(stations) <= MOST_STATIONS:
        raise InputError(
            path, f"{len(stations)} stations", f"{FEWEST_STATIONS} to {MOST_STATIONS} are wanted"
        )
    least = 0.5 * patch_length_mm
    first, last = 0.5 * least, length_mm - 0.5 * least
    for i, position in enumerate(stations):
        if not first <= position <= last:
            wanted = f"a place from {format_length(first)} to {format_length(last)} on the bar is wanted"
            raise InputError(f"{path}[{i}]", entries[i], wanted)
        if i and position - stations[i - 1] < least:
            wanted = f"at least {format_length(least)} beyond the station before it is wanted"
            raise InputError(f"{path}[{i}]", entries[i], wanted)
    return np.array(stations, dtype=float)


def _pitch_wanted(least: float, most: float, length_mm: float, patch_length_mm: float) -> str:
    """The range of a pitch; where a bar is too short for any, what would help instead."""
    half, bar = format_length(0.5 * patch_length_mm), f"the bar of {format_length(length_mm)}"
    if least > most:
        return (
            f"{bar} is too short for {FEWEST_STATIONS} stations half the tool's patch, {half}, apart: "
            "a longer line, or a tool with a shorter patch, is wanted"
        )
    why = "half the tool's patch" if least <= 0.5 * patch_length_mm else f"{MOST_STATIONS} stations"
    return (
        f"from {format_length(least)}, {why}, to {format_length(most)}, {FEWEST_STATIONS} stations on {bar}, "
        "is wanted"
    )


def _pitched(fields: Fields, length_mm: float, patch_length_mm: float) -> Array:
    """Stations in the middle of each pitch; what the pitch leaves over lies half at each end."""
    pitch = fields.length_mm("pitch")
    path, shown = fields.shown("pitch")
    least, most = max(0.5 * patch_length_mm, length_mm / MOST_STATIONS), length_mm / FEWEST_STATIONS
    if not least <= pitch <= most:
        raise InputError(path, shown, _pitch_wanted(least, most, length_mm, patch_length_mm))
    count = floor(length_mm / pitch * (1.0 + 1e-9))
    over = length_mm - count * pitch
    if over > 0.01:
        fields.warn(
            f"The pitch of {format_length(pitch)} goes {count} times into the {format_length(length_mm)} of "
            f"the bar; {format_length(over / 2)} are left over at each end."
        )
    first = 0.5 * max(over, 0.0) + 0.5 * pitch
    return first + pitch * np.arange(count, dtype=float)
