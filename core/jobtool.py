"""The tool set from the fields of a job document."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi
from typing import Any

from core.errors import InputError
from core.events import ACTIONS
from core.jobfields import Fields, chosen, in_range, listed
from core.jobmachine import FASTEST, length_or
from core.jobtypes import RamSetting, Tool
from core.machine import Machine
from core.units import parse_length_mm, parse_number, parse_time_s

BITES = {"light": 0.4, "medium": 1.0, "heavy": 1.8}
FREE_SHARE = 0.25  # of the patch between the gripping halves of a tool (common practice, no source)
LONGEST_CHANGE_S = 8 * 3600.0  # a shift
WIDEST_MM, WIDEST_RADIUS_MM = 500.0, 5000.0  # flange and radius that a tool may want


def tool_from(fields: Fields, machine: Machine | None) -> Tool:
    """The tool that is on the machine.

    fields : the job's "tool"; machine : brings a stroke rate that nobody gives into what it makes. Raises
    InputError naming the field.
    """
    patch = fields.length_mm("patch_length", most=500.0)
    bites, usual = _bites(fields), (machine or Machine()).rate(Tool.strokes_per_minute)
    tool = Tool(
        patch_length_mm=patch,
        patch_depth_mm=fields.length_mm("patch_depth", most=500.0),
        strain_per_stroke=fields.number("strain_per_stroke", None, 0.0, 0.1),
        bites=bites,
        strokes_per_minute=fields.number("strokes_per_minute", usual, 0.0, FASTEST),
        face=fields.text("face", Tool.face),
        free_length_mm=fields.length_mm("free_length", FREE_SHARE * patch, most=patch),
        name=fields.text("name") if fields.has("name") else Tool.name,
        actions=_actions(fields),
        settings=_settings(fields, bites),
        smallest_flange_mm=length_or(fields, "smallest_flange", Tool.smallest_flange_mm, WIDEST_MM),
        smallest_radius_mm=length_or(fields, "smallest_radius", Tool.smallest_radius_mm, WIDEST_RADIUS_MM),
        smallest_angle_rad=fields.angle_rad("smallest_angle", pi)
        if fields.has("smallest_angle")
        else Tool.smallest_angle_rad,
        change_s=_change_s(fields),
    )
    fields.finish()
    return tool


def _bites(fields: Fields) -> dict[str, float]:
    """Bites by rising strength; every strength once."""
    given = fields.get("bites", BITES)
    path = fields.path("bites")
    if not isinstance(given, Mapping) or not given:
        raise InputError(
            path, given, 'names with strengths, such as {"light": 0.4, "medium": 1.0}, are wanted'
        )
    bites = {}
    for name, value in given.items():
        if not name.strip() or not name.isprintable():
            raise InputError(path, name, "a name for every bite is wanted")
        bites[name] = in_range(
            parse_number(value, f"{path}.{name}"), f"{path}.{name}", value, above=0.0, most=10.0
        )
    ordered = dict(sorted(bites.items(), key=lambda bite: bite[1]))
    if len(set(ordered.values())) < len(ordered):
        raise InputError(path, given, "a different strength for every bite is wanted")
    return ordered


def _actions(fields: Fields) -> tuple[str, ...]:
    """What the tool does, each once, in the order of ``ACTIONS``."""
    if not fields.has("actions"):
        return Tool.actions
    path = fields.path("actions")
    given = listed(fields.get("actions"), path, most=len(ACTIONS))
    named = [chosen(action, f"{path}[{i}]", dict.fromkeys(ACTIONS)) for i, action in enumerate(given)]
    if len(set(named)) < len(named):
        raise InputError(path, given, "each action only once is wanted")
    return tuple(action for action in ACTIONS if action in named)


def _settings(fields: Fields, bites: Mapping[str, float]) -> dict[str, RamSetting]:
    """Ram setting of each bite that has one."""
    part = fields.part_or_none("settings")
    if part is None:
        return {}
    settings = {bite: _setting(part.text(bite), part.path(bite)) for bite in bites if part.has(bite)}
    part.finish()
    return settings


def _setting(text: str, path: str) -> RamSetting:
    """What begins like a number is a length; anything else a mark on the machine, kept as it is written."""
    if text[0] not in "0123456789.,+-\N{MINUS SIGN}":
        return RamSetting(text)
    mm = parse_length_mm(text, path)
    if mm < 0.0:
        raise InputError(path, text, "a length from 0, or the name of a mark such as 'notch 3', is wanted")
    return RamSetting(text, mm)


def _change_s(fields: Fields) -> float:
    if not fields.has("change_time"):
        return Tool.change_s
    value: Any = fields.get("change_time")
    path = fields.path("change_time")
    seconds = parse_time_s(value, path)
    if not 0.0 <= seconds <= LONGEST_CHANGE_S:
        raise InputError(path, value, f"a time from 0 to {LONGEST_CHANGE_S / 3600.0:g} h is wanted")
    return seconds
