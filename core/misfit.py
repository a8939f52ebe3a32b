"""What of a part does not go into the shop's tool or machine, by how much, and what would, as sentences.

No pass can be run with these: how deep the throat is, how thick the metal, how small an edge the jaws enter.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isnan

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Tool
from core.kinds.base import Part
from core.limits import COMMON
from core.machine import Machine, strength_of
from core.metals import Metal
from core.units import format_angle, format_length

NEARLY = 1.0 + 1e-9  # sizes that were typed alike are alike


def misfits(
    part: Part, metal: Metal, tools: Mapping[str, Tool], actions: Sequence[str], machine: Machine | None
) -> dict[str, tuple[str, ...]]:
    """By action, why no pass of it can be run, a sentence each; none where all fits.

    tools : by action; actions : that they do
    """
    several = len({id(tools[action]) for action in actions}) > 1
    thick = [] if machine is None else _too_thick(part, metal, machine)
    found = {}
    for action in actions:
        tool = tools[action]
        odd = [*too_narrow(part, tool), *([] if machine is None else [reach_doubt(part, tool, machine)])]
        found[action] = (*(about(tool, said, several) for said in odd if said), *thick)
    return found


def unfit_of_all(found: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """What :func:`misfits` found, of whichever action, each sentence once."""
    return tuple(dict.fromkeys(said for sentences in found.values() for said in sentences))


def about(tool: Tool, said: str, several: bool) -> str:
    """The sentence with the set that it is about, where there are several."""
    return f"{str(tool)[0].upper()}{str(tool)[1:]}: {said}" if several else said


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


def reach_doubt(part: Part, tool: Tool, machine: Machine) -> str:
    """What of the part does not go into the machine, "" where all does: the edge goes in as deep as the tool
    grips it, the rest of the part stays in front."""
    reach = part.sites.reach_mm(min(tool.patch_depth_mm, part.worked_depth_mm), part.target)
    if reach <= machine.throat_mm * NEARLY:
        return ""
    if part.sites.inward_mm is not None:
        return _inward_doubt(part, part.sites.inward_mm, machine)
    throat, over = format_length(machine.throat_mm), format_length(reach - machine.throat_mm)
    return (
        f"The tool grips the edge {format_length(reach)} deep and the throat of {machine} is {throat}, "
        f"{over} too little: a shallower tool or a deeper throat is wanted."
    )


def _inward_doubt(part: Part, inward_mm: NDArray[np.float64], machine: Machine) -> str:
    """Of sites that lie inwards of the edge, those that do not go in."""
    throat = format_length(machine.throat_mm)
    beyond = part.sites.wanting(part.target) & (inward_mm > machine.throat_mm * NEARLY)
    deepest = format_length(float(inward_mm[beyond].max()))
    return (
        f"{int(beyond.sum())} of the {part.sites.label}s that want work lie deeper in than the throat of "
        f"{machine}, {throat}, and the deepest is worked {deepest} from the edge: a deeper throat is wanted."
    )


def thickest_mm(part: Part) -> float:
    """Of the metal, before any stroke."""
    return float(np.max(part.thickness_mm(np.zeros(len(part.sites)))))


def takes_mm(metal: Metal, machine: Machine) -> float:
    """Thickness of this metal that the machine takes; its own table comes first, else what follows from its
    rating; nan where the strength of the metal is not known."""
    listed = machine.listed_mm(metal)
    return machine.rated_mm(metal) if isnan(listed) else listed


def _too_thick(part: Part, metal: Metal, machine: Machine) -> list[str]:
    thickness, takes = thickest_mm(part), takes_mm(metal, machine)
    if isnan(takes) or thickness <= takes * NEARLY:
        return []
    over = format_length(thickness - takes)
    reckoned = isnan(machine.listed_mm(metal))
    return [
        f"Thickness {format_length(thickness)} of {_told(metal, reckoned)}; {machine} "
        f"{_allows(machine, takes, reckoned)}, {over} less: thinner metal or a stronger machine is wanted."
    ]


def _told(metal: Metal, reckoned: bool) -> str:
    strength = strength_of(metal)
    if strength is None or not reckoned:
        return metal.name
    return f"{metal.name} (Rm about {strength.mpa:.0f} MPa, {strength.source})"


def _allows(machine: Machine, takes: float, reckoned: bool) -> str:
    if not reckoned:
        return f"takes {format_length(takes)} of it by its own table"
    rated = f"{format_length(machine.rated_thickness_mm)} at {machine.rated_strength_mpa:.0f} MPa"
    return f"is rated for {rated}, that is {format_length(takes)} of this metal (a guard, {COMMON})"
