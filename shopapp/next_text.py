"""The next pass as lines of text for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isnan, nan
from typing import TYPE_CHECKING, Any

import numpy as np

import core
from shopapp import next_beside
from shopapp.cautions import IN_A_LINE
from shopapp.presenters import (
    disc_facts,
    feeding,
    lobe_views,
    reseating,
    responses,
    stayed,
    turned_edge,
    verdicts,
    wording,
)
from shopapp.presenters.part_words import words_of
from shopapp.presenters.steps import ONCE_IT_FITS, rounding

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from core import Advice, Job, Pass, Suspect, Tool, Zone

WORKS = {
    "shrink": "shrink (press together)",
    "stretch": "stretch (pull apart)",
    "fold up": "fold up with the tool",
    "fold back": "fold back with the tool",
}
NO_PASS = {"within": "no pass is wanted", "too close to call": "no pass before the gaps are read again"}
NOTHING = 0.02  # share of the most that a station wants, below which it wants nothing worth saying


def next_lines(job: Job, advice: Advice, live: Sequence[dict[str, Any]] = ()) -> list[str]:
    """Verdict, what to look at again, the next pass by station, and why. Stations count from 1.

    live : the log as it counts: what was taken up in it is named among what the plan starts from
    """
    return [
        f"{job.name}: {_verdict(job, advice)}",
        *(f"  caution: {sentence}" for sentence in dict.fromkeys((*job.warnings, *advice.warnings))),
        *(_suspect(job, suspect) for suspect in advice.suspects),
        *_to_state(job),
        *_sides(job, advice),
        *_reseat(job, advice),
        *(f"  starts from: {source}" for source in responses.sources(job, live)),
        *_learned(job, advice),
        *_cautions(advice),
        *_pass(job, advice),
        *_later(job, advice),
        *next_beside.side_effects(job, advice),
        *next_beside.counter(job, advice),
        *next_beside.limits(job, advice),
        *(f"  {sentence}" for sentence in advice.reasons if sentence not in job.warnings),
    ]


def _verdict(job: Job, advice: Advice) -> str:
    gap = core.format_band(advice.widest_gap_mm, advice.widest_gap_sd_mm)
    where, limit = f"at {job.part.sites.label} {advice.widest_at + 1}", core.format_limit(job.tolerance_mm)
    if advice.verdict == "not measured":
        return f"not measured yet; widest gap as reckoned {gap} {where}, tolerance {limit}"
    if advice.doubts:
        return f"in doubt, no verdict; widest gap as read {gap} {where}, tolerance {limit}"
    chance = verdicts.chance(nan if advice.suspects else advice.chance_within)
    return f"{advice.verdict}; widest gap {gap} {where}, tolerance {limit}, chance of being within {chance}"


def _sides(job: Job, advice: Advice) -> Iterator[str]:
    """Where the edge is to get shorter and where longer, before the first pass can go to the wrong side; the
    ring that keeps its size always."""
    disc = disc_facts.ring_kept(job)  # what is done on either side of it goes for every pass
    if not advice.passes_done:
        disc = (*disc_facts.blank(job), *disc_facts.circles(job))
    for fact in disc:
        yield f"  {fact.label[0].lower()}{fact.label[1:]}: {fact.value}"
    if advice.passes_done:
        return
    if isinstance(job.part, core.ReadOnMeridians):
        yield "  (reckoned on the face that the template is held to)"
    target = np.where(_folded(job), 0.0, job.part.target)
    least = NOTHING * max(target.max(), -target.min())
    ways = (("shorter", target > least), ("longer", target < -least))
    if _folded(job).any():
        yield f"  the tool folds, no edge is to change: {_listed(_folded(job), job.part.sites.label)}"
    asked = [f"{way} at {_listed(where, job.part.sites.label)}" for way, where in ways if where.any()]
    if asked:
        yield f"  the {words_of(job.part).edge} is to get {', '.join(asked)}"
    if "line" in job.document:
        yield "  (if that is the wrong side: gapwright next --reference, which side the worked edge lies)"


def _to_state(job: Job) -> Iterator[str]:
    """What limits decided, as a job in a file has to state it to stay so."""
    if job.settled:
        stated = ", ".join(f'"{name}": "{value}"' for name, value in job.settled.items())
        yield f"  for it to stay so whatever becomes of the limits, state in the file: {stated}"


def _listed(where: Any, label: str) -> str:
    """Sites where it is so."""
    return wording.listed(np.flatnonzero(where).tolist(), label)


def _suspect(job: Job, suspect: Suspect) -> str:
    expected = core.format_band(suspect.expected_mm, suspect.sd_mm, touching=job.template.rigid)
    where = f"{job.part.sites.label} {suspect.station + 1}{wording.on_meridian(suspect.at_deg)}"
    read = "beyond " * suspect.beyond + core.format_length(suspect.read_mm)
    return f"  read {where} again: {read} was read, everything else says {expected}"


def _reseat(job: Job, advice: Advice) -> Iterator[str]:
    seat = reseating.view(job, advice.reseat)
    if seat is not None:
        yield f"  {seat.text}"


def _learned(job: Job, advice: Advice) -> Iterator[str]:
    for fact in stayed.last(job, advice):
        yield f"  {fact.label[0].lower()}{fact.label[1:]}: {fact.value}"
    for response in advice.response.values():
        if response.known:
            yield f"  {job.part.sites.done_by(response.action)}, {response.bite} bite: {response}"


def _cautions(advice: Advice) -> Iterator[str]:
    """Before anything that is to be struck."""
    if advice.verdict != "within" or advice.smooth_now is not None or advice.counter is not None:
        yield f"  cautions: {IN_A_LINE}"


def _pass(job: Job, advice: Advice) -> Iterator[str]:
    planned = advice.next_pass
    if advice.smooth_now is not None:
        yield from _smoothing(job, advice)
        return
    step = rounding(advice)
    if planned is None and step is not None:
        yield f"  no even pass is wanted; next: {lobe_views.text(step)}"
        return
    if step is not None:
        yield f"  first: {lobe_views.text(step)}; then the pass, before the gaps are read:"
    if planned is None:
        yield f"  {NO_PASS.get(advice.verdict, 'no pass is planned: why is said below')}"
        return
    gap, tool = (
        core.format_band(planned.expected_gap_mm, planned.expected_gap_sd_mm),
        job.tools[planned.action],
    )
    words = job.part.sites.words(planned.action, planned.strokes)
    what = f"not to be run as it stands; {ONCE_IT_FITS}, the next pass" if advice.misfits else "next pass"
    yield (
        f"  {what}: {', '.join(WORKS[word] for word in words)}, {planned.bite} bite, "
        f"{_strokes(planned.total)}; expected widest gap {gap}{next_beside.after_pass(job, planned)}"
    )
    yield from _setting(tool, planned.bite)
    if planned.change_minutes is not None:
        yield f"  change the tool to it before{_takes(planned.change_minutes)}"
    if planned.anneal_first:
        yield f"  {wording.anneal(planned)}; log that"
    yield from _counts(job, advice, planned)
    label = job.part.sites.label
    rate = tool.strokes_per_minute if isnan(planned.strokes_per_minute) else planned.strokes_per_minute
    assumed = rate == tool.strokes_per_minute and not _rate_given(job, tool)
    why = " (assumed: the tool's own rate is not said)" if assumed else ""
    yield f"  feed for a machine that makes {rate:g} strokes a minute{why}:"
    yield from (_fed(zone, label) for zone in planned.feed)
    yield f"  with its gaps it takes about {wording.minutes(planned.minutes)}, anneals not counted"


def _counts(job: Job, advice: Advice, planned: Pass) -> Iterator[str]:
    """Strokes site by site, where they go, and what they are there."""
    label, round_ = job.part.sites.label, job.part.sites.round_mm is not None
    yield f"  {label:>7}  at mm     strokes{'  depth stop' * round_}"
    folded = job.part.sites.folded(planned.strokes)
    for i, (place, count) in enumerate(zip(_marked(job), planned.strokes, strict=True)):
        how = disc_facts.stop_text(job, planned.action, i) if count else ""
        how = "fold with the tool" if i in folded else how
        yield f"  {i + 1:7d}  {place:8.1f}  {count:6d}  {how}".rstrip()
    if round_:
        yield (
            "  at: radius half-way across the ring, from the middle of the disc; strokes on each spot all "
            "round; depth stop: how far in from the disc's edge the patch reaches, rows side by side share "
            "the strokes"
        )
    for fact in turned_edge.fold_facts(job, advice, planned):
        yield f"  {fact.label.lower()}: {fact.value}"


def _folded(job: Job) -> NDArray[np.bool_]:
    """(n,) where the tool folds and strokes on the edge do not turn it."""
    return job.part.sites.folded_up("shrink") != 0.0


def _marked(job: Job) -> NDArray[np.float64]:
    """(n,) where each site is marked, mm: along the edge, or from the middle of the flat disc."""
    part = job.part
    if not isinstance(part, core.ReadOnMeridians):
        return part.sites.position_mm
    return 0.5 * (part.rings_mm[1:] + part.rings_mm[:-1])


def _setting(tool: Tool, bite: str) -> Iterator[str]:
    yield f"  with {tool}"
    if bite in tool.settings:
        yield f"  ram setting of the {bite} bite: {tool.settings[bite].text}"


def _rate_given(job: Job, tool: Tool) -> bool:
    """Whether the document says how fast this set is run."""
    sets = [job.document["tool"], *job.document.get("more_tools", ())]
    return any("strokes_per_minute" in one for one in sets if one.get("name", "") == tool.name)


def _smoothing(job: Job, advice: Advice) -> Iterator[str]:
    wanted = advice.smooth_now
    if wanted is None:
        return
    until = f"not to be run as it stands; {ONCE_IT_FITS}, " if advice.misfits else ""
    yield f"  {until}smooth the faces: {wanted.bite} bite, {_strokes(wanted.total)} in all"
    yield from _setting(job.tools[job.smoother], wanted.bite)
    yield f"  feed at {wanted.strokes_per_minute:g} strokes a minute:"
    yield from (_fed(zone, job.part.sites.label) for zone in wanted.feed)
    yield f"  with its gaps it takes about {wording.minutes(wanted.minutes)}"


def _later(job: Job, advice: Advice) -> Iterator[str]:
    for number, planned in enumerate(advice.remaining[1:], start=advice.passes_done + 2):
        gap = core.format_band(planned.expected_gap_mm, planned.expected_gap_sd_mm)
        anneal = "anneal, then " if planned.anneal_first else ""
        does = job.part.sites.done_by(planned.action, planned.strokes)
        how = f"{anneal}{does}, {planned.bite} bite, {_strokes(planned.total)}"
        then = f"{gap}{next_beside.after_pass(job, planned)}"
        yield f"  pass {number}, as planned now: {how}; widest gap {then}"
        yield from (f"    {held}" for held in wording.held(planned, job.part.sites.label))
    wanted = advice.smoothing
    if wanted is not None and not wanted.due:
        how = f"{wanted.bite} bite, {_strokes(wanted.total)}, {wanted.strokes_per_minute:g} strokes a minute"
        yield f"  smoothing at the end, as planned now: {how}; about {wording.minutes(wanted.minutes)}"
    if len(advice.remaining) > 1 or (advice.remaining and wanted is not None):
        in_it = feeding.changes(advice) or ", no tool change in it"
        more = "; more passes may follow" if feeding.more_may_follow(job, advice) else ""
        took = f"about {wording.minutes(advice.minutes_left)}{in_it}, anneals not counted{more}"
        yield f"  all of this takes {took}"


def _takes(minutes: float) -> str:
    return f", about {wording.minutes(minutes)}" if minutes > 0.0 else ""


def _fed(zone: Zone, label: str) -> str:
    """A zone with its feed; a single stroke is made standing."""
    if zone.first == zone.last and zone.strokes == 1:
        return f"  {_zone(zone, label)}"
    feed = f"feed {zone.feed_mm_per_s:.1f} mm/s{f' in {zone.goes} goes' if zone.goes > 1 else ''}"
    still = f"standing{f', shared out over {zone.spots} spots side by side' if zone.spots > 1 else ''}"
    return f"  {_zone(zone, label)}, {still if zone.standing else feed}, {zone.seconds:.1f} s"


def _zone(zone: Zone, label: str) -> str:
    if zone.first == zone.last:
        return f"{label} {zone.first + 1}: {_strokes(zone.strokes)}"
    return f"{label}s {zone.first + 1} to {zone.last + 1}: {_strokes(zone.strokes)} each"


def _strokes(count: int) -> str:
    return f"{count} stroke" if count == 1 else f"{count} strokes"
