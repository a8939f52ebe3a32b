"""What of a job can be used and still looks wrong, as sentences for the operator."""

from __future__ import annotations

from math import degrees, radians

import numpy as np

from core.kinds.base import Part, ReadOnMeridians
from core.limits import Limits
from core.readings.gauges import Gauge
from core.readings.laying import turn_under
from core.readings.templates import Template
from core.toolchoice import Choice
from core.units import change_of_length, format_about, format_length, format_limit

UPRIGHT = 0.3  # of the most that a shift of the template changes a reading (common practice, no source)
LINE_SHARE = 0.25  # of the tolerance, that a measured line may be off and not a word is said
SHARP_SHARE = 0.5  # of the tolerance, that a sharp bend may stay off and not a word is said
MANY_PASSES = 10.0  # by the limit of a pass alone, from which it is said (common practice, no source)
NEARLY_ALL = 0.85  # of what the metal takes: what answers more strongly at one place gets there first
SLIGHT = (
    4e-4  # strain of a stroke, below which it looks mistyped: a tenth of usual (common practice, no source)
)
NEAR_ALL = "So near the limit strokes are kept clear of it, and the last of the curve may be out of reach."
WIDE_TURN_RAD = radians(150.0)  # a tenth at the ends is then four tenths in the middle: 1 / cos 75 deg


def doubts(
    part: Part,
    choice: Choice,
    limits: Limits,
    template: Template,
    gauge: Gauge,
    tolerance_mm: float,
) -> list[str]:
    """One sentence for each doubt; empty when there is none. choice : of the tools"""
    found = (
        _gauge_doubt(gauge, template, tolerance_mm),
        _reach_doubt(gauge, tolerance_mm),
        _line_doubt(part, tolerance_mm),
        _overlap_doubt(part),
        _strain_doubt(part, limits),
        _folding_doubt(part, choice, limits),
        _slight_doubt(choice),
        _turn_doubt(part, template),
        _wedge_doubt(part, template),
        _bend_doubt(part, tolerance_mm),
        _many_doubt(part, limits),
    )
    return [sentence for sentence in found if sentence]


def _bend_doubt(part: Part, tolerance_mm: float) -> str:
    """Where the meridian turns more sharply than the sheet can follow."""
    if not isinstance(part, ReadOnMeridians):
        return ""
    worst = int(np.argmax(part.bend_off_mm))
    off = 2.0 * float(part.bend_off_mm[worst])
    if off <= SHARP_SHARE * tolerance_mm:
        return ""
    return (
        f"At {part.sites.label} {worst + 1} the bend of the meridian changes more sharply than a sheet so "
        f"thick follows: the dish may stay some {format_about(off)} off there whatever is done, beside a "
        f"tolerance of {format_limit(tolerance_mm)}. A larger knuckle radius or a wider tolerance is wanted."
    )


def _many_doubt(part: Part, limits: Limits) -> str:
    """Where limits of a pass alone make many of them."""
    strain = part.asked_strain()
    asked = [max(float(np.max(sign * strain)), 0.0) for sign in (1.0, -1.0)]
    passes = sum(most / limits.per_pass.strain for most in asked)
    if passes <= MANY_PASSES:
        return ""
    told = " and ".join(
        change_of_length(sign * most) for sign, most in zip((1.0, -1.0), asked, strict=True) if most > 0.0
    )
    return (
        f"The metal has to get up to {told}, with {limits.per_pass}: that is some {passes:.0f} passes before "
        "anything is put right. A shape that asks less, or a wider limit of a pass where the metal is known "
        "to take it, makes fewer."
    )


def _gauge_doubt(gauge: Gauge, template: Template, tolerance_mm: float) -> str:
    wanted, step = format_limit(tolerance_mm), format_limit(gauge.step_mm)
    own = 2.0 * gauge.sd_mm(template.sd_mm)
    if tolerance_mm < gauge.step_mm:
        return f"The tolerance of {wanted} is finer than one step with {gauge.name}, {step}: it cannot tell."
    if tolerance_mm < own:
        return (
            f"The tolerance of {wanted} is less than what gauge and template are off by themselves, "
            f"{format_length(own)}: many readings will be too close to call."
        )
    return ""


def _reach_doubt(gauge: Gauge, tolerance_mm: float) -> str:
    if tolerance_mm <= gauge.largest_mm:
        return ""
    return (
        f"Readings with {gauge.name} go only to {format_length(gauge.largest_mm)}, less than the tolerance."
    )


def _line_doubt(part: Part, tolerance_mm: float) -> str:
    """Where the line of the target is itself not known well enough for the tolerance."""
    line = getattr(part, "line", None)
    sd = 0.0 if line is None else float(line.smoothing_sd_mm)
    if 1.96 * sd <= LINE_SHARE * tolerance_mm:
        return ""
    return (
        f"The line was measured, and may itself be off by {format_length(1.96 * sd)} (95 %), beside a "
        f"tolerance of {format_limit(tolerance_mm)}: gaps tell how far the part is from this line."
    )


def _overlap_doubt(part: Part) -> str:
    share = part.covered()
    most = int(np.argmax(share))
    if share[most] <= 1.0 + 1e-9:
        return ""
    finest = part.sites.width_mm[most]
    return (
        f"One stroke covers {format_length(share[most] * finest)} and some {part.sites.label}s have only "
        f"{format_length(finest)}: strokes at neighbours overlap."
    )


def _strain_doubt(part: Part, limits: Limits) -> str:
    """Where the target asks for more strain than the metal takes in all, or nearly all, and what size it does
    take."""
    strain = part.asked_strain()
    allowed = {action: limits.most_in_all(action) for action in ("shrink", "stretch")}
    most = np.where(strain > 0.0, allowed["shrink"].strain, allowed["stretch"].strain)
    worst = int(np.argmax(np.abs(strain) / most))
    if abs(strain[worst]) <= NEARLY_ALL * most[worst]:
        return ""
    limit = allowed["shrink" if strain[worst] > 0.0 else "stretch"]
    sizes = part.at_most(worst, limit.strain)
    may = change_of_length(float(np.copysign(limit.strain, strain[worst])))
    near = "" if abs(strain[worst]) > most[worst] else f" {NEAR_ALL}"
    return (
        f"The edge at {part.sites.label} {worst + 1} has to get {change_of_length(strain[worst])}, and may "
        f"get {may}: {limit}."
        + "".join(f" The {most.what} within it is about {most.size}." for most in sizes)
        + near
    )


def _folding_doubt(part: Part, choice: Choice, limits: Limits) -> str:
    """Where the part wants shrinking and no bite is light enough for it."""
    tool = choice.tools["shrink"]
    usable = limits.bites("shrink", tool.bites, tool.strain_per_stroke)
    if usable or "shrink" not in choice.actions or not np.any(part.target > 0.0):
        return ""
    limit, lightest = limits.shrink_per_stroke, next(iter(tool.bites))
    return (
        f"The lightest bite, {lightest}, shrinks by {100 * tool.strain(lightest):.2f} % of natural strain: "
        f"{limit}. "
        "A lighter bite is wanted, or thicker metal, or a tool that leaves less of the edge free between its "
        "gripping halves."
    )


def _slight_doubt(choice: Choice) -> str:
    """Where a stroke does next to nothing: a share typed for per cent, most likely."""
    slight = min(tool.strain_per_stroke for tool in choice.tools.values())
    if slight >= SLIGHT:
        return ""
    return (
        f"A stroke is said to do {100 * slight:.2g} % of strain, which is next to nothing: was a share "
        "typed for per cent? Some tenths of a per cent are usual (common practice, no source)."
    )


def _turn_doubt(part: Part, template: Template) -> str:
    turn = turn_under(part, template)
    if turn <= WIDE_TURN_RAD:
        return ""
    return (
        f"The template follows the line through {degrees(turn):.0f}°, nearly half a turn: ends that are a "
        "little out hold it far off in the middle. A layout line or a shorter sweep tells more."
    )


def _wedge_doubt(part: Part, template: Template) -> str:
    """Where a template that can only be shifted one way meets the part nearly along that way."""
    seating = np.abs(part.linearise(np.zeros(len(part.sites))).seating)
    if not template.rigid or seating.shape[1] != 1:
        return ""
    upright = int(np.argmin(seating))
    if seating[upright, 0] >= UPRIGHT * seating.max():
        return ""
    return (
        f"At {part.sites.label} {upright + 1} the part stands so upright that a rigid template wedges "
        "there: by what the sheet is off there it is held off many times as far elsewhere. A layout line "
        "tells more."
    )
