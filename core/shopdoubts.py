"""What of a job the shop's own tool and machine cannot run, by how much, and what would fit, as sentences."""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Tool
from core.kinds.base import Part
from core.limits import COMMON
from core.machine import Machine
from core.metals import Metal
from core.units import format_angle, format_feed, format_length

LEAST_WANTED = 0.02  # share of the most that any site wants, below which an action is not missed
MARKED = ("aluminium", "stainless", "copper", "brass")  # families that a gripping face marks
MARKING = "gripping"  # face that leaves marks of its own
NEARLY = 1.0 + 1e-9  # sizes that were typed alike are alike


def shop_doubts(
    part: Part,
    metal: Metal,
    tools: Sequence[Tool],
    actions: Sequence[str],
    machine: Machine | None,
    finish: str,
) -> list[str]:
    """One sentence for each doubt; empty when everything fits. tools : those that are used; actions : that
    they do"""
    found = _missing_doubts(part, actions)
    for tool in tools:
        about = f"{str(tool)[0].upper()}{str(tool)[1:]}: " if len(tools) > 1 else ""
        odd = [*too_narrow(part, tool), _marks_doubt(metal, tool, finish)]
        odd += [] if machine is None else _machine_doubts(part, tool, machine)
        found += [about + sentence for sentence in odd if sentence]
    if machine is not None:
        found.append(_thickness_doubt(part, metal, machine))
    return [sentence for sentence in found if sentence]


def _machine_doubts(part: Part, tool: Tool, machine: Machine) -> list[str]:
    settings = [_setting_doubt(tool, bite, machine) for bite in tool.settings]
    return [
        reach_doubt(part, tool, machine),
        _rate_doubt(tool, machine),
        *_feed_doubts(tool, machine),
        *settings,
    ]


def missing_actions(actions: Sequence[str], work: NDArray[np.float64], most: float) -> list[str]:
    """Actions that this work (n,) asks for and no tool does; most : work that is much, unsigned."""
    least = LEAST_WANTED * most
    asked = {"shrink": bool(np.any(work > least)), "stretch": bool(np.any(work < -least))}
    return [action for action, wanted in asked.items() if wanted and action not in actions]


def _missing_doubts(part: Part, actions: Sequence[str]) -> list[str]:
    return [
        f"The part asks for strokes that {action} and no tool here does: no such pass is planned, so "
        "that the part will hardly come to its template without a tool that does both."
        for action in missing_actions(actions, part.target, float(np.max(np.abs(part.target))))
    ]


def too_narrow(part: Part, tool: Tool) -> list[str]:
    """Where the part is too narrow for the tool to enter, as sentences."""
    return [*_too_small(part, tool), *_too_closed(part, tool)]


def _too_closed(part: Part, tool: Tool) -> list[str]:
    """Jaws that are thicker than the angle beside the flange leaves room for."""
    has, least = part.inside_angle_rad, tool.smallest_angle_rad
    if has * NEARLY >= least:
        return []
    return [
        f"The worked flange ends up at {format_angle(has)} to the metal beside it, "
        f"{format_angle(least - has)} less than the tool enters: {format_angle(least)} or more is wanted, or "
        "slimmer jaws."
    ]


def _too_small(part: Part, tool: Tool) -> list[str]:
    found = []
    flange, radius = part.worked_depth_mm, part.inside_radius_mm
    for what, has, least in (
        ("The worked flange", flange, tool.smallest_flange_mm),
        ("The inside radius of the worked edge", radius, tool.smallest_radius_mm),
    ):
        if has * NEARLY < least:
            short, at_least = format_length(least - has), format_length(least)
            found.append(
                f"{what} of {format_length(has)} is {short} less than the tool enters: {at_least} or more is "
                "wanted, or a smaller tool."
            )
    return found


def leaves_marks(metal: Metal, tool: Tool, finish: str) -> bool:
    """Whether the tool's face leaves marks where the faces stay in sight."""
    return finish == "visible" and tool.face.lower() == MARKING and metal.family in MARKED


def _marks_doubt(metal: Metal, tool: Tool, finish: str) -> str:
    if not leaves_marks(metal, tool, finish):
        return ""
    return (
        f"The faces stay in sight, and a gripping tool face marks {metal.name}: a smooth or soft-faced one "
        f"would not ({COMMON})."
    )


def reach_doubt(part: Part, tool: Tool, machine: Machine) -> str:
    """What of the part does not go into the machine, "" where all does: the edge goes in as deep as the tool
    grips it, the rest of the part stays in front."""
    if part.sites.inward_mm is not None:
        return _inward_doubt(part, part.sites.inward_mm, machine)
    reach = min(tool.patch_depth_mm, part.worked_depth_mm)
    if reach <= machine.throat_mm * NEARLY:
        return ""
    throat, over = format_length(machine.throat_mm), format_length(reach - machine.throat_mm)
    return (
        f"The tool grips the edge {format_length(reach)} deep and the throat of {machine} is {throat}, "
        f"{over} too little: a shallower tool or a deeper throat is wanted."
    )


def _inward_doubt(part: Part, inward_mm: NDArray[np.float64], machine: Machine) -> str:
    """Sites that lie inwards of the edge go in as far as they lie from it."""
    work, throat = np.abs(part.target), format_length(machine.throat_mm)
    beyond = (work > LEAST_WANTED * work.max()) & (inward_mm > machine.throat_mm * NEARLY)
    if not beyond.any():
        return ""
    deepest = format_length(float(inward_mm[beyond].max()))
    return (
        f"{int(beyond.sum())} of the {part.sites.label}s that want work lie deeper in than the throat of "
        f"{machine}, {throat}, and the deepest is worked {deepest} from the edge: a deeper throat is wanted."
    )


def _thickness_doubt(part: Part, metal: Metal, machine: Machine) -> str:
    """The machine's own table comes first; else what follows from its rating."""
    thickness = float(np.max(part.thickness_mm(np.zeros(len(part.sites)))))
    listed = machine.listed_mm(metal)
    takes = machine.rated_mm(metal) if isnan(listed) else listed
    if isnan(takes):
        return (
            f"Whether {machine} takes {format_length(thickness)} of {metal.name} is not known: the tensile "
            "strength of the metal is not known; give that, or the machine's thickness_limits."
        )
    if thickness <= takes * NEARLY:
        return ""
    over = format_length(thickness - takes)
    reckoned = isnan(listed)
    return (
        f"Thickness {format_length(thickness)} of {_told(metal, reckoned)}; {machine} "
        f"{_allows(machine, takes, reckoned)}, {over} less: thinner metal or a stronger machine is wanted."
    )


def _told(metal: Metal, reckoned: bool) -> str:
    strength = metal.figure("tensile")
    if strength is None or not reckoned:
        return metal.name
    return f"{metal.name} (Rm about {strength.typical:.0f} MPa, {strength.source})"


def _allows(machine: Machine, takes: float, reckoned: bool) -> str:
    if not reckoned:
        return f"takes {format_length(takes)} of it by its own table"
    rated = f"{format_length(machine.rated_thickness_mm)} at {machine.rated_strength_mpa:.0f} MPa"
    return f"is rated for {rated}, that is {format_length(takes)} of this metal (a guard, {COMMON})"


def _rate_doubt(tool: Tool, machine: Machine) -> str:
    (slowest, fastest), rate = machine.stroke_rates, tool.strokes_per_minute
    if slowest <= rate <= fastest:
        return ""
    off = f"{slowest - rate:g} slower" if rate < slowest else f"{rate - fastest:g} faster"
    return (
        f"The stroke rate of {rate:g} strokes a minute is {off} than {machine} goes: from {slowest:g} to "
        f"{fastest:g} is wanted. Feed and minutes are for {machine.rate(rate):g}."
    )


def _feed_doubts(tool: Tool, machine: Machine) -> list[str]:
    """Where strokes side by side want a feed that the machine does not make at any of its stroke rates.
    Closer ones want a slower one, and several goes bring them back to this."""
    (slowest, fastest), (least, most) = machine.stroke_rates, machine.feeds_mm_per_s
    patch, found = tool.patch_length_mm, []
    at_least, at_most = patch * slowest / 60.0, patch * fastest / 60.0
    told = f"Strokes side by side, {format_length(patch)} apart,"
    if at_least > most * NEARLY:
        found.append(
            f"{told} want a feed of {format_feed(at_least)} at {slowest:g} strokes a minute, the slowest of "
            f"{machine}; it is fed at {format_feed(most)} at most, {format_feed(at_least - most)} less: "
            f"{60.0 * most / patch:.0f} strokes a minute would do. Here strokes are made standing."
        )
    if at_most * NEARLY < least:
        found.append(
            f"{told} want a feed of {format_feed(at_most)} at {fastest:g} strokes a minute, the fastest of "
            f"{machine}; it is fed at {format_feed(least)} at least, {format_feed(least - at_most)} more: "
            f"{60.0 * least / patch:.0f} strokes a minute would do. Here strokes are made standing."
        )
    return found


def _setting_doubt(tool: Tool, bite: str, machine: Machine) -> str:
    setting, (least, most) = tool.settings[bite], machine.settings_mm
    if setting.mm is None or (least <= setting.mm * NEARLY and setting.mm <= most * NEARLY):
        return ""
    off, side = (least - setting.mm, "below") if setting.mm < least else (setting.mm - most, "beyond")
    ends = f"from {format_length(least)} to {format_length(most)}"
    return (
        f"The ram setting of the {bite} bite, {setting.text}, is {format_length(off)} {side} what {machine} "
        f"can be set to: {ends} is wanted."
    )
