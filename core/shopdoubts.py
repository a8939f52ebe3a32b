"""What of a job the shop's own tool and machine do otherwise than is asked for, as sentences.

The passes are run all the same: at another rate, without a bite, standing. What cannot be run at all is a
misfit (``core.misfit``).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isnan

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Tool
from core.kinds.base import Part
from core.kinds.sites import LEAST_WANTED
from core.limits import COMMON
from core.machine import Machine
from core.metals import Metal
from core.misfit import NEARLY, about, takes_mm, thickest_mm
from core.units import format_feed, format_length

MARKED = ("aluminium", "stainless", "copper", "brass")  # families that a gripping face marks
MARKING = "gripping"  # face that leaves marks of its own


def shop_doubts(
    part: Part,
    metal: Metal,
    tools: Sequence[Tool],
    actions: Sequence[str],
    machine: Machine | None,
    finish: str,
) -> list[str]:
    """One sentence for each doubt; empty when there is none. tools : those that are used; actions : that
    they do"""
    found = _missing_doubts(part, actions)
    for tool in tools:
        odd = [_marks_doubt(metal, tool, finish)]
        odd += [] if machine is None else _machine_doubts(tool, machine)
        found += [about(tool, sentence, len(tools) > 1) for sentence in odd if sentence]
    if machine is not None:
        found.append(_strength_doubt(part, metal, machine))
    return [sentence for sentence in found if sentence]


def _machine_doubts(tool: Tool, machine: Machine) -> list[str]:
    settings = [_setting_doubt(tool, bite, machine) for bite in tool.settings]
    return [_rate_doubt(tool, machine), *_feed_doubts(tool, machine), *settings]


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


def _strength_doubt(part: Part, metal: Metal, machine: Machine) -> str:
    if not isnan(takes_mm(metal, machine)):
        return ""
    thickness = format_length(thickest_mm(part))
    return (
        f"Whether {machine} takes {thickness} of {metal.name} is not known: the tensile "
        "strength of the metal is not known; give that, or the machine's thickness_limits."
    )


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
