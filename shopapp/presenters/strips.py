"""The strip of stations, filled for each use: strokes, readings, deviations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from math import isfinite
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

import core
from shopapp.presenters import doing, feeding, limit_runs, part_words, wording
from shopapp.presenters.pieces import OK, OVER, PLAIN, TODO, UNDER, Bracket, Mark, Strip

Array = NDArray[np.float64]
Gap = float | str | None
BEYOND = {1: OVER, 0: OK, -1: UNDER}
"""state of a mark by the side of the tolerance that it is beyond"""


def for_strokes(
    job: core.Job,
    action: str,
    counts: Iterable[int],
    zones: Sequence[core.Zone],
    before: Sequence[int] = (),
    use: core.LimitUse | None = None,
) -> Strip:
    """Whole strokes per station. action : "" for a smoothing; counts : (n,); zones : in the order of work,
    shown in that order; before : (n,) as planned before the last reading, or (); use : how much of the
    limits these strokes use, where it is known"""
    strokes, sites = tuple(int(c) for c in counts), job.part.sites
    up = sites.folded_up(action) if action else ()
    return replace(
        _stations(job),
        strokes=strokes,
        arrows=doing.sign(sites, action, strokes),
        folds=tuple("" if not way else doing.FOLDS["fold up" if way > 0 else "fold back"] for way in up),
        brackets=tuple(bracket(zone) for zone in zones if zone.strokes),
        scale_text=_each(job),
        scale_short="strokes" if job.part.sites.round_mm is None else "strokes on each spot",
        before=tuple(int(c) for c in before),
        used=() if use is None else tuple(float(share) for share in use.share),
        limits=() if use is None else limit_runs.runs(use),
    )


def _each(job: core.Job) -> str:
    """What the counts are for: of a site that goes all round, for each of its spots."""
    label = job.part.sites.label
    return (
        f"strokes at each {label}"
        if job.part.sites.round_mm is None
        else f"strokes on each spot half-way across a {label}"
    )


def bracket(zone: core.Zone) -> Bracket:
    """A zone with its count and feed in words."""
    each = wording.count(zone.strokes, "stroke")
    text = each if zone.first == zone.last else f"{each} each"
    feed, seconds = feeding.fed(zone), wording.seconds(zone.seconds)
    return Bracket(
        zone.first,
        zone.last,
        zone.strokes,
        text,
        f"{feed}, {seconds}",
        mm_per_s=feeding.fed_short(zone),
        s=wording.short_seconds(zone.seconds),
    )


def for_deviation(job: core.Job, deviation_mm: Array, sd_mm: Array) -> Strip:
    """Signed deviation (n,) with its 95 % band, both ways of the tolerance."""
    half = wording.Z95 * np.asarray(sd_mm)
    tolerance, sites = job.tolerance_mm, job.part.sites
    drawn = core.deviation_marks(sites.position_mm, deviation_mm, half, tolerance)
    marks = (Mark(one.value_mm, one.text, BEYOND[one.beyond]) for one in drawn.sites)
    return replace(
        _stations(job),
        marks=tuple(marks),
        expected_mm=_known(deviation_mm),
        low_mm=tuple(one.low_mm for one in drawn.sites),
        high_mm=tuple(one.high_mm for one in drawn.sites),
        tolerance_mm=(-tolerance, tolerance),
        limit_text=_limit(job),
        range_mm=(-drawn.top_mm, drawn.top_mm),
        scale_text=part_words.words_of(job.part).deviation,
    )


def for_gaps(
    job: core.Job,
    template: core.Template,
    reach_mm: Mapping[int, float],
    gaps: Mapping[int, Gap],
    expected: tuple[Array, Array] | None,
    suspects: frozenset[int],
    current: int | None,
    texts: Mapping[int, str] = MappingProxyType({}),
) -> Strip:
    """Readings so far over the expected gaps.

    reach_mm : largest reading of the gauge used at each station read; expected : (n,) mean and (n,) sd
    in mm, NaN where unknown, or None; texts : of readings that are not told in mm, by station.
    """
    sites = len(job.part.sites)
    mean, sd = (np.full(sites, np.nan), np.full(sites, np.nan)) if expected is None else expected
    low, high = mean - wording.Z95 * sd, mean + wording.Z95 * sd
    if template.rigid:  # it touches and never overlaps: no gap is negative
        low = np.where(low < 0, 0.0, low)
    marks = tuple(
        _mark(gaps.get(i, ""), i in suspects, reach_mm.get(i, 0.0), job.tolerance_mm, texts.get(i, ""))
        for i in range(sites)
    )
    heights = [abs(mark.value_mm) for mark in marks if mark.value_mm is not None]
    top = core.nice_top(max([2 * job.tolerance_mm, _largest(low), _largest(high), *heights]))
    return replace(
        _stations(job),
        marks=marks,
        expected_mm=_known(mean),
        low_mm=_known(low),
        high_mm=_known(high),
        tolerance_mm=(0.0 if template.rigid else -job.tolerance_mm, job.tolerance_mm),
        limit_text=_limit(job),
        range_mm=(0.0 if template.rigid else -top, top),
        current=current,
        scale_text=part_words.gap_words(job.part, template),
    )


def _mark(gap: Gap, suspect: bool, reach_mm: float, tolerance_mm: float, text: str) -> Mark:
    """gap : as logged, "" where nothing was; text : in place of its number, "" for that"""
    if gap == "":
        return Mark(None, "", TODO)
    if gap is None:
        return Mark(None, "skipped", PLAIN)
    if gap == "beyond":
        return Mark(reach_mm, f"> {wording.digits(reach_mm)}", OVER, suspect)
    value = 0.0 if gap == "touching" else float(gap)
    return Mark(value, text or wording.reading(gap), wording.state(value, tolerance_mm), suspect)


def _stations(job: core.Job) -> Strip:
    sites = job.part.sites
    return Strip(
        position_mm=tuple(float(p) for p in sites.position_mm),
        length_mm=float(job.part.length_mm),
        names=tuple(str(i + 1) for i in range(len(sites))),
        label=sites.label,
    )


def _limit(job: core.Job) -> str:
    return wording.limit_digits(job.tolerance_mm)


def _known(values: Array) -> tuple[float | None, ...]:
    return tuple(float(v) if isfinite(v) else None for v in values)


def _largest(values: Array) -> float:
    finite = np.abs(values[np.isfinite(values)])
    return float(finite.max()) if finite.size else 0.0
