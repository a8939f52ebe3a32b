"""How far out of round the rim is: its facts, the rim seen from above, and the step against its lobes."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, isfinite, radians, sin

import core
from shopapp.presenters import outlines, wording
from shopapp.presenters.pieces import Fact, Outline, Point, Strip

SHOWS = 2.0  # standard deviations that lobes are above nothing before they are named
ARC, LABEL = 1.07, 0.5
"""radius at which arcs and angles are drawn, of the rim's"""
EVERY_DEG = 3


def facts(advice: core.Advice) -> tuple[Fact, ...]:
    """Out of round, and each lobed part that is told with its places; () for a part that has none."""
    found = advice.lobing
    if found is None:
        return ()
    known = isfinite(found.out_of_round_mm)
    whole = wording.band(found.out_of_round_mm, found.out_of_round_sd_mm) if known else wording.UNKNOWN
    lobed = (
        Fact(f"{each.lobes} lobes, high at {_places(each)}", wording.band(each.radial_mm, each.radial_sd_mm))
        for each in _shown(found)
    )
    return (Fact("Rim out of round", whole), *lobed)


def rim(job: core.Job, advice: core.Advice, step: core.RoundingStep | None) -> Outline | None:
    """The rim seen from above with what it is out of round magnified; arcs : where a step strikes it. None
    where nothing of it is known."""
    found, part = advice.lobing, job.part
    if found is None or not isinstance(part, core.ReadOnMeridians):
        return None
    shown = _shown(found)
    if not shown:
        return None
    radius = part.rim_radius_mm
    most = sum(each.radial_mm for each in shown)
    factor = outlines.magnification(most, 2.0 * radius)
    turn = range(0, 361, EVERY_DEG)
    away = [sum(e.radial_mm * cos(radians(e.lobes * (a - e.at_deg))) for e in shown) for a in turn]
    struck = () if step is None else tuple(_arc(radius * ARC, *arc) for arc in step.arcs_deg)
    return Outline(
        points=tuple(_at(radius, a) for a in turn),
        part=tuple(_at(radius + factor * mm, a) for a, mm in zip(turn, away, strict=True)),
        arcs=struck,
        ends=tuple((_at(radius * LABEL, a), wording.degrees(a)) for a in (0, 90, 180, 270)),
        factor=factor,
        factor_text=f"rim × {factor:g} from above{', bold: strike' if struck else ''}",
    )


def strip(job: core.Job, step: core.RoundingStep, strokes: Sequence[int]) -> Strip:
    """The arcs of a step, a cell each."""
    names = tuple(f"{first:.0f}°–{last:.0f}°" for first, last in step.arcs_deg)
    return Strip(
        position_mm=tuple(0.5 + i for i in range(len(names))),
        length_mm=float(len(names)),
        names=names,
        strokes=tuple(strokes),
        arrows=wording.ARROWS[step.action],
        scale_text="strokes on every spot of each arc of the rim",
        label="arc",
    )


def in_all(job: core.Job, action: str, strokes: int) -> int:
    """Strokes of a step: on every spot of half of the outermost site."""
    spots = job.part.sites.spots(job.tools[action].patch_length_mm)
    return round(0.5 * float(spots[-1]) * strokes)


def word(action: str, lobes: int) -> str:
    """What a step is called."""
    return f"{wording.ACTIONS[action]} against {lobes} lobes"


def text(step: core.RoundingStep) -> str:
    """The step in a line."""
    strokes = wording.count(step.strokes, "stroke")
    return (
        f"Against {step.lobes} lobes: {step.action}, {step.bite} bite, {strokes} on every spot of "
        f"{step.lobes} arcs of the rim"
    )


def arcs(step: core.RoundingStep) -> str:
    """Where the arcs are."""
    return " and ".join(f"{first:.0f}° to {last:.0f}°" for first, last in step.arcs_deg)


def takes(step: core.RoundingStep) -> str:
    """What it should take off the lobes."""
    return wording.band(step.takes_mm, step.takes_sd_mm)


def expected(planned: core.Pass, step: core.RoundingStep | None) -> str:
    """The widest gap that a pass is to leave; that of the mean all round while a step against lobes is due:
    what those add to it comes off step by step."""
    gap = wording.band(planned.expected_gap_mm, planned.expected_gap_sd_mm)
    return gap if step is None else f"{gap} in the mean all round"


def moves(step: core.RoundingStep) -> str:
    """Its even part: which way all of the rim goes with it, and how far."""
    way = "in" if step.even_mm < 0.0 else "out"
    return f"{way} by {wording.length(abs(step.even_mm))}, by half as many strokes all round"


def _shown(found: core.Lobing) -> list[core.Lobe]:
    return [each for each in found.lobes if each.told and each.amplitude_mm > SHOWS * each.amplitude_sd_mm]


def _places(lobe: core.Lobe) -> str:
    turn = 360.0 / lobe.lobes
    return ", ".join(f"{lobe.at_deg + turn * k:.0f}°" for k in range(lobe.lobes))


def _at(radius_mm: float, deg: float) -> Point:
    """Seen from above: the mark at the top, clockwise."""
    return radius_mm * sin(radians(deg)), radius_mm * cos(radians(deg))


def _arc(radius_mm: float, first: float, last: float) -> tuple[Point, ...]:
    way = (last - first) % 360.0
    steps = max(2, round(way / EVERY_DEG))
    return tuple(_at(radius_mm, first + way * k / steps) for k in range(steps + 1))
