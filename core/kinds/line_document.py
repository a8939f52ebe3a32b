"""The target line of a job document, in any of its forms, made into a line of :mod:`core.geometry`.

Forms (lengths with their units; names ending in ``_mm`` take bare numbers)::

    {"radius": "1500 mm", "length": "1200 mm"}       or "angle": "46 deg" in place of the length
    {"chord": "1000 mm", "rise": "60 mm"}
    {"segments": [["400 mm", "1500 mm"], ["200 mm", null], ["400 mm", "-900 mm"]]}
    {"offsets_mm": [[0, 0], [100, 3.2], ...]}        and "offsets_sd" of a line that was measured
    {"traced_mm": [[0, 0], [12, 0.4], ...], "tracing_sd": "0.3 mm"}

A radius or rise below 0 puts the worked edge on the outside of the curve, which wants stretching.
"""

from __future__ import annotations

from collections.abc import Callable
from math import degrees, pi
from typing import Any

import numpy as np

from core.errors import InputError
from core.geometry.line import TargetLine
from core.geometry.offsets import from_offsets
from core.geometry.segments import from_arc, from_chord_rise, from_segments
from core.geometry.traced import from_traced
from core.jobfields import LONGEST_MM, Fields, MissingField, in_range, pair
from core.units import format_length, parse_length_mm

LARGEST_RADIUS_MM = 1e6
MOST_SD_MM = 20.0
_CHECKED_POINTS = 2001


def target_line(fields: Fields, flange_mm: float) -> TargetLine:
    """The line that these fields describe; it may nowhere turn tighter than the flange is wide.

    Raises InputError naming the field that cannot be used.
    """
    form = _form(fields)
    line = FORMS[form](fields, flange_mm)
    _one_turn(line, fields.shown(form)[0])
    fields.finish()
    for sentence in line.warnings:
        fields.warn(sentence)
    return line


def _one_turn(line: TargetLine, field: str) -> None:
    """Raises InputError where the line turns further than a bar in one plane can, which would meet itself."""
    turn = float(np.ptp(line.heading_rad(np.linspace(0.0, line.length_mm, _CHECKED_POINTS))))
    if turn > 2 * pi * (1 + 1e-9):
        wanted = "at most a full turn, 360°, is wanted: beyond it the bar would meet itself"
        raise InputError(field, f"a line that turns by {degrees(turn):.0f}°", wanted)


def _form(fields: Fields) -> str:
    given = [form for form in FORMS if fields.has_length(form)]
    if len(given) == 1:
        return given[0]
    if not given:
        for form in FORMS:
            fields.refuse_misspelt(form)
        what = "radius with length or angle, chord with rise, segments, offsets or traced points are wanted"
        raise MissingField(fields.path(""), what)
    what = "one form of the line is wanted, not both '" + "' and '".join(given[:2]) + "'"
    raise InputError(fields.path(given[1]), fields.get(given[1], fields.get(f"{given[1]}_mm")), what)


def _arc(fields: Fields, flange_mm: float) -> TargetLine:
    radius = _wide_enough(fields.signed_mm("radius"), *fields.shown("radius"), flange_mm)
    if fields.one_of("length", "length_mm", "angle") == "angle":
        angle = fields.angle_rad("angle", 2 * pi)
        in_range(angle * abs(radius), *fields.shown("angle"), above=0.0, most=LONGEST_MM, unit="mm")
        return from_arc(radius, angle_rad=angle)
    length = fields.length_mm("length", most=min(LONGEST_MM, 2 * pi * abs(radius)))
    return from_arc(radius, length_mm=length)


def _chord(fields: Fields, flange_mm: float) -> TargetLine:
    chord, rise = fields.length_mm("chord"), fields.signed_mm("rise")
    path, shown = fields.shown("rise")
    if not 1e-6 * chord <= abs(rise) <= 0.5 * chord:
        most = format_length(chord / 2)
        raise InputError(path, shown, f"more than 0 and at most half the chord, {most}, is wanted")
    _wide_enough(chord**2 / (8 * rise) + rise / 2, path, shown, flange_mm)
    return from_chord_rise(chord, rise)


def _segments(fields: Fields, flange_mm: float) -> TargetLine:
    entries, path, bare = fields.lengths("segments")

    def length(value: Any, field: str) -> float:
        mm = parse_length_mm(value, field, bare)
        return in_range(mm, field, value, above=0.0, most=LONGEST_MM, unit="mm")

    def radius(value: Any, field: str) -> float | None:
        if value is None:
            return None
        return _wide_enough(parse_length_mm(value, field, bare), field, value, flange_mm)

    segments = []
    for i, entry in enumerate(entries):
        place = f"{path}[{i}]"
        if not isinstance(entry, list) or len(entry) != 2:
            raise InputError(
                place, entry, "a list of two is wanted: length, and radius (null for a straight)"
            )
        mm, turn = length(entry[0], f"{place}[0]"), radius(entry[1], f"{place}[1]")
        if turn is not None and mm > 2 * pi * abs(turn):
            raise InputError(f"{place}[0]", entry[0], "at most one full turn of its radius is wanted")
        segments.append((mm, turn))
    total = sum(mm for mm, _ in segments)
    in_range(total, path, f"{len(segments)} segments", above=0.0, most=LONGEST_MM, unit="mm")
    return from_segments(segments)


def _offsets(fields: Fields, flange_mm: float) -> TargetLine:
    points, path = _points(fields, "offsets")
    sd = fields.length_mm("offsets_sd", most=MOST_SD_MM) if fields.has_length("offsets_sd") else 0.0
    return _nowhere_tighter(from_offsets(points, sd), path, flange_mm)


def _traced(fields: Fields, flange_mm: float) -> TargetLine:
    points, path = _points(fields, "traced")
    what = "how far the tracing may be off, such as '0.3 mm', is wanted"
    if not fields.has_length("tracing_sd"):
        fields.need("tracing_sd", what)
    sd = fields.length_mm("tracing_sd", most=MOST_SD_MM)
    return _nowhere_tighter(from_traced(points, sd), path, flange_mm)


FORMS: dict[str, Callable[[Fields, float], TargetLine]] = {
    "radius": _arc,
    "chord": _chord,
    "segments": _segments,
    "offsets": _offsets,
    "traced": _traced,
}


def _points(fields: Fields, key: str) -> tuple[list[tuple[float, float]], str]:
    """Pairs of coordinates in mm, and the path of the list."""
    entries, path, bare = fields.lengths(key)

    def coordinate(value: Any, field: str) -> float:
        mm = parse_length_mm(value, field, bare)
        return in_range(mm, field, value, above=-LONGEST_MM, most=LONGEST_MM, unit="mm")

    return [pair(entry, f"{path}[{i}]", coordinate, "x and y") for i, entry in enumerate(entries)], path


def _wide_enough(radius_mm: float, field: str, shown: Any, flange_mm: float) -> float:
    """The same radius, when it is wider than the flange and not absurd."""
    if flange_mm < abs(radius_mm) <= LARGEST_RADIUS_MM:
        return radius_mm
    most = format_length(LARGEST_RADIUS_MM, "m", 0)
    flange = f"the worked flange, {format_length(flange_mm)}"
    wanted = f"a radius, to either side, of more than {flange}, and at most {most} is wanted"
    raise InputError(field, shown, wanted)


def _nowhere_tighter(line: TargetLine, field: str, flange_mm: float) -> TargetLine:
    """The same line, when it is of a bar's length and turns nowhere tighter than the flange is wide."""
    in_range(line.length_mm, field, "the length along the points", above=0.0, most=LONGEST_MM, unit="mm")
    s = np.linspace(0.0, line.length_mm, _CHECKED_POINTS)
    curvature = np.abs(line.curvature_per_mm(s))
    worst = int(np.argmax(curvature))
    if not curvature[worst] * flange_mm < 1.0:
        place = f"{format_length(s[worst])} along, radius {format_length(1.0 / curvature[worst])}"
        wanted = f"a radius of more than the worked flange, {format_length(flange_mm)}, is wanted everywhere"
        wanted = ". ".join([wanted, *line.warnings[:1]])
        raise InputError(field, place, wanted)
    return line
