"""What a log says of meridians, held against its job: only some parts are read on them, and can be lobed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from core.errors import InputError
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.named import gauge_from, meridian_rad
from core.units import format_length, parse_number

MOST_OFF = 0.25  # of the rim's diameter; more is a slip of the finger


def check_meridian(job: Job, event: Mapping[str, Any], field: str) -> None:
    """The angle of a round of gaps, where one is given. Raises InputError."""
    given = event.get("at_deg")
    if given is None:
        return
    if not isinstance(job.part, ReadOnMeridians):
        wanted = f"a {job.kind} is not read on meridians, so that no angle belongs to its gaps; leave it out"
        raise InputError(f"{field}.at_deg", given, wanted)
    meridian_rad(given, f"{field}.at_deg")


def check_rim(job: Job, event: Mapping[str, Any], field: str) -> None:
    """Diameters of the rim. Raises InputError."""
    nominal = 2.0 * _with_rim(job, event, field).rim_radius_mm
    ends = (1.0 - MOST_OFF) * nominal, (1.0 + MOST_OFF) * nominal
    wanted = f"a diameter in mm, within a quarter of the rim's {format_length(nominal)}, is wanted"
    _check_across(event, field, "diameters_mm", ends, wanted)


def check_heights(job: Job, event: Mapping[str, Any], field: str) -> None:
    """Heights of the rim, which rises from flat. Raises InputError."""
    nominal = float(_with_rim(job, event, field).outline()[-1, 1])
    wanted = f"a height in mm from 0 to a quarter more than the rim's {format_length(nominal)} is wanted"
    _check_across(event, field, "heights_mm", (0.0, (1.0 + MOST_OFF) * nominal), wanted)


def _check_across(
    event: Mapping[str, Any], field: str, key: str, ends: tuple[float, float], wanted: str
) -> None:
    """One number within these ends at every angle, and the gauge."""
    if event.get("gauge") is not None:
        gauge_from(event["gauge"], f"{field}.gauge")
    for i, (angle, value) in enumerate(zip(event["at_deg"], event[key], strict=True)):
        meridian_rad(angle, f"{field}.at_deg[{i}]")
        path = f"{field}.{key}[{i}]"
        if isinstance(value, str) or not ends[0] <= parse_number(value, path) <= ends[1]:
            raise InputError(path, value, wanted)


def check_rounded(job: Job, event: Mapping[str, Any], field: str) -> None:
    """The place of a step against lobes. Raises InputError."""
    part, lobes = _with_rim(job, event, field), event["lobes"]
    if isinstance(lobes, bool) or not isinstance(lobes, int) or lobes not in part.lobes:
        wanted = "one of " + ", ".join(map(str, part.lobes)) + " is wanted"
        raise InputError(f"{field}.lobes", lobes, wanted)
    meridian_rad(event["at_deg"], f"{field}.at_deg")


def _with_rim(job: Job, event: Mapping[str, Any], field: str) -> ReadOnMeridians:
    if not isinstance(job.part, ReadOnMeridians):
        wanted = "a part that is read on meridians, a dish, is wanted"
        raise InputError(f"{field}.event", event["event"], wanted)
    return job.part
