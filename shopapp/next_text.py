"""The next pass as lines of text for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import core

if TYPE_CHECKING:
    from core import Advice, Job, Pass, Response, Suspect, Zone

WORKS = {"shrink": "press together", "stretch": "pull apart"}


def next_lines(job: Job, advice: Advice) -> list[str]:
    """Verdict, what to look at again, the next pass by station, and why. Stations count from 1."""
    return [
        f"{job.name}: {_verdict(job, advice)}",
        *(f"  caution: {sentence}" for sentence in dict.fromkeys((*job.warnings, *advice.warnings))),
        *(_suspect(suspect) for suspect in advice.suspects),
        *_reseat(advice),
        *_learned(advice),
        *_pass(job, advice.next_pass),
        *_later(advice),
        *(f"  {sentence}" for sentence in advice.reasons),
    ]


def _verdict(job: Job, advice: Advice) -> str:
    if advice.verdict == "not measured":
        return "not measured yet"
    gap = core.format_band(advice.widest_gap_mm, advice.widest_gap_sd_mm)
    limit = core.format_length(job.tolerance_mm)
    return (
        f"{advice.verdict}; widest gap {gap} at station {advice.widest_at + 1}, tolerance {limit}, "
        f"chance of being within {100 * advice.chance_within:.0f} %"
    )


def _suspect(suspect: Suspect) -> str:
    low, high = core.format_length(suspect.low_mm), core.format_length(suspect.high_mm)
    return (
        f"  read station {suspect.station + 1} again: {core.format_length(suspect.read_mm)} was read, "
        f"everything else says {core.format_length(suspect.expected_mm)} ({low} to {high})"
    )


def _reseat(advice: Advice) -> Iterator[str]:
    if advice.reseat is not None:
        shift = core.format_length(advice.reseat.shift_mm)
        tilt = core.format_angle(advice.reseat.tilt_rad, 2)
        then = core.format_length(advice.reseat.gap_then_mm)
        yield f"  seat the template again: shift {shift} at mid-length, tilt {tilt}; widest gap then {then}"


def _learned(advice: Advice) -> Iterator[str]:
    for response in advice.response.values():
        if response.known:
            yield f"  {response.action}, {response.bite} bite: {_answer(response)}"


def _answer(response: Response) -> str:
    spread = 100.0 * 1.96 * response.sd / response.mean
    return f"{100 * response.ratio:.0f} % ± {spread:.0f} % of the response expected at first"


def _pass(job: Job, planned: Pass | None) -> Iterator[str]:
    if planned is None:
        yield "  no pass is wanted"
        return
    gap = core.format_band(planned.expected_gap_mm, planned.expected_gap_sd_mm)
    yield (
        f"  next pass: {planned.action} ({WORKS[planned.action]}), {planned.bite} bite, "
        f"{_strokes(planned.total)}; expected widest gap {gap}"
    )
    yield "  station  at mm     strokes"
    for i, (place, count) in enumerate(zip(job.part.sites.position_mm, planned.strokes, strict=True)):
        yield f"  {i + 1:7d}  {place:8.1f}  {count:6d}"
    for zone in planned.feed:
        feed = f"feed {zone.feed_mm_per_s:.1f} mm/s, {zone.seconds:.1f} s"
        yield f"  {_stations(zone)}: {_strokes(zone.strokes)} each, {feed}"


def _later(advice: Advice) -> Iterator[str]:
    for number, planned in enumerate(advice.remaining[1:], start=advice.passes_done + 2):
        gap = core.format_band(planned.expected_gap_mm, planned.expected_gap_sd_mm)
        how = f"{planned.action}, {planned.bite} bite, {_strokes(planned.total)}"
        yield f"  pass {number}, as planned now: {how}; widest gap {gap}"


def _stations(zone: Zone) -> str:
    if zone.first == zone.last:
        return f"station {zone.first + 1}"
    return f"stations {zone.first + 1} to {zone.last + 1}"


def _strokes(count: int) -> str:
    return f"{count} stroke" if count == 1 else f"{count} strokes"
