"""Every piece of work that a log tells of: as it was planned, as it was done, and how long it took."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from math import degrees, isfinite
from typing import Any

from core.advice import Advice, Stayed
from core.beside import beside
from core.events import STRUCK, Event
from core.jobtypes import Job, Tool
from core.planned import Pass, Smoothing
from core.readings.named import meridian_rad
from core.records.fates import COUNTS, WITHDRAWN, Entry, Stamp, described, moment_of
from core.records.places import places_of

KINDS = {
    "pass_done": "pass",
    "smoothed": "smoothing",
    "counter_done": "counter-work",
    "rounded": "step against lobes",
    "annealed": "anneal",
}
READS = ("gap_read", "gaps_read", "rim_read", "heights_read", "bow_read")


@dataclass(frozen=True)
class Planned:
    """What the pass card asked for. as_shown : it was done so; strokes : one a site, () where the log does
    not keep them; in_all : of the whole pass; gap_mm, gap_sd_mm, bow_mm, twist_rad : widest gap, bow and
    twist expected after it; minutes : with the round of gaps after it; None for what the log does not keep
    """

    as_shown: bool
    action: str
    bite: str
    strokes: tuple[int, ...]
    in_all: int | None
    gap_mm: float | None
    gap_sd_mm: float | None
    minutes: float | None
    bow_mm: float | None = None
    twist_rad: float | None = None


@dataclass(frozen=True)
class Work:
    """One piece of work.

    number : of a pass that counts, from 1, else None; kind : of ``KINDS``; strokes : one a site; in_all :
    strokes of the whole pass, more where each is for every spot of its site; where : in words, where
    ``strokes`` does not tell it, and ``in_all`` is then of every spot; setting : of the ram, as the shop
    writes it; rate : strokes a minute; planned : None where the log keeps no plan; gap_mm : widest gap by the
    last round after it; minutes : from the entry before it to the last reading after it, breaks included;
    status, by, instead : as of an entry; stayed : of what a pass was to do, after spring-back, with the
    angles of an edge that is turned; words : what its strokes do, as ``Sites.words``
    """

    number: int | None
    kind: str
    action: str
    bite: str
    strokes: tuple[int, ...]
    in_all: int | None
    where: str
    setting: str
    tool: str
    rate: float | None
    planned: Planned | None
    gap_mm: float | None
    minutes: float | None
    stamp: Stamp
    status: str
    by: Stamp
    instead: str
    stayed: str = ""
    words: tuple[str, ...] = ()

    @property
    def counts(self) -> bool:
        """Whether it is in force."""
        return self.status == COUNTS


@dataclass(frozen=True)
class Ahead:
    """A pass or a smoothing that is still planned. Fields as of :class:`Work`; gap_mm, gap_sd_mm, bow_mm,
    twist_rad : expected after it, None where none is foretold, beside : both in words with their bands;
    anneal_first : the metal is to be softened before it; change_first : "tool" or "face" is changed first;
    words : what its strokes do, as ``Sites.words``; where : in words, what counts do not tell"""

    number: int | None
    kind: str
    action: str
    bite: str
    strokes: tuple[int, ...]
    in_all: int
    setting: str
    tool: str
    rate: float
    gap_mm: float | None
    gap_sd_mm: float | None
    minutes: float | None
    anneal_first: bool = False
    bow_mm: float | None = None
    twist_rad: float | None = None
    beside: str = ""
    change_first: str = ""
    words: tuple[str, ...] = ()
    where: str = ""


def ahead_of(job: Job, advice: Advice) -> tuple[Ahead, ...]:
    """The passes still planned, next first, and a smoothing that is wanted."""
    found = [
        _ahead(job, advice.passes_done + k, "pass", planned.action, planned)
        for k, planned in enumerate(advice.remaining, start=1)
    ]
    wanted = advice.smoothing
    return (*found, *(() if wanted is None else (_ahead(job, None, "smoothing", "", wanted),)))


def _ahead(job: Job, number: int | None, kind: str, action: str, planned: Pass | Smoothing) -> Ahead:
    tool = job.tools[action or job.smoother]
    return Ahead(
        number=number,
        kind=kind,
        action=action,
        bite=planned.bite,
        strokes=tuple(map(int, planned.strokes)),
        in_all=planned.total,
        setting=setting_of(tool, planned.bite),
        tool=tool_name(tool),
        rate=float(planned.strokes_per_minute),
        gap_mm=_number(getattr(planned, "expected_gap_mm", None)),
        gap_sd_mm=_number(getattr(planned, "expected_gap_sd_mm", None)),
        minutes=_number(planned.minutes),
        words=job.part.sites.words(action, planned.strokes) if action else (),
        anneal_first=isinstance(planned, Pass) and planned.anneal_first,
        bow_mm=_number(getattr(planned, "bow_mm", None)),
        twist_rad=_number(getattr(planned, "twist_rad", None)),
        beside=beside(planned) if isinstance(planned, Pass) else "",
        where=places_of(job, planned) if isinstance(planned, Pass) else "",
        change_first=_changed_first(planned),
    )


def _changed_first(planned: Pass | Smoothing) -> str:
    if isinstance(planned, Smoothing) and planned.change_face:
        return "face"
    return "" if planned.change_minutes is None else "tool"


def works_of(job: Job, log: Sequence[Event], entries: Sequence[Entry], told: Advice | None) -> list[Work]:
    """In the order of the work. told : what the readings say of this log, None where nothing."""
    history_mm = () if told is None else told.gap_history_mm
    stayed = () if told is None else told.stayed
    minutes = _minutes(entries)
    found, passes = [], 0
    for entry in sorted(entries, key=_first_place):
        if entry.event["event"] not in KINDS:
            continue
        first = entry.place if entry.of is None else entry.of
        work = replace(_work(job, entry), planned=_plan(job, log, entry), minutes=minutes.get(first))
        if entry.counts and entry.event["event"] == "pass_done":
            gap = history_mm[passes] if passes < len(history_mm) else float("nan")
            passes += 1
            came = "; ".join(_stayed(job, one) for one in stayed if one.number == passes)
            work = replace(work, number=passes, gap_mm=float(gap) if isfinite(gap) else None, stayed=came)
        found.append(work)
    return found


def _stayed(job: Job, one: Stayed) -> str:
    folded = job.part.sites.folded_up(one.action)[list(one.sites)].any()
    return f"{one}{' where folded' * bool(folded)}{f', {one.told}' if one.told else ''}"


def _first_place(entry: Entry) -> tuple[int, int]:
    """A correction stands where the entry stands that it puts right."""
    return (entry.place if entry.of is None else entry.of), entry.place


def _work(job: Job, entry: Entry) -> Work:
    event, sites = entry.event, job.part.sites
    kind = KINDS[event["event"]]
    strokes = tuple(event.get("strokes", ())) if event["event"] != "rounded" else ()
    struck = event["event"] in STRUCK
    action = event.get("action", job.smoother if struck else "")
    tool = job.tools[action] if struck else None
    return Work(
        number=None,
        kind=kind,
        action=event.get("action", ""),
        bite=event.get("bite", ""),
        strokes=strokes,
        in_all=job.strokes_in_all(action, strokes) if strokes else event.get("strokes"),
        where=_where(event),
        setting=setting_of(tool, event.get("bite", "")),
        tool="" if tool is None else tool_name(tool),
        rate=None if tool is None else tool.strokes_per_minute,
        planned=None,
        gap_mm=None,
        minutes=None,
        stamp=entry.stamp,
        status=entry.status,
        by=entry.by,
        instead="" if entry.instead is None else described(entry.instead, sites.label),
        words=sites.words(action, strokes) if event["event"] == "pass_done" else (),
    )


def _where(event: Event) -> str:
    """Which places a step against lobes took, which is not told by sites."""
    if "lobes" not in event:
        return ""
    at = degrees(meridian_rad(event["at_deg"], "at_deg"))
    return f"{event['lobes']} arcs, the middle of one at {at:g}°"


def setting_of(tool: Tool | None, bite: str) -> str:
    """The ram setting of a bite as the shop writes it, "" where it does not."""
    return tool.settings[bite].text if tool is not None and bite in tool.settings else ""


def tool_name(tool: Tool) -> str:
    """What a tool set is called; by its face where it has no name."""
    return tool.name or f"{tool.face} set"


def _plan(job: Job, log: Sequence[Event], entry: Entry) -> Planned | None:
    """From the note that the pass card writes just before the work."""
    place = entry.place if entry.of is None else entry.of
    before = log[place - 1] if place else {}
    planned = before.get("planned") if before.get("event") == "note" else None
    if not isinstance(planned, Mapping) or entry.event["event"] not in ("pass_done", "smoothed"):
        return None
    as_shown = bool(planned.get("as_shown"))
    done = log[place] if as_shown else {}
    action = str(planned.get("action", done.get("action", "")))
    strokes = _counts(planned.get("strokes", done.get("strokes", ())), len(job.part.sites))
    return Planned(
        as_shown=as_shown and entry.of is None,
        action=action,
        bite=str(planned.get("bite", done.get("bite", ""))),
        strokes=strokes,
        in_all=job.strokes_in_all(action or job.smoother, strokes) if strokes else None,
        gap_mm=_number(planned.get("gap_mm")),
        gap_sd_mm=_number(planned.get("gap_sd_mm")),
        minutes=_number(planned.get("minutes")),
        bow_mm=_number(planned.get("bow_mm")),
        twist_rad=_number(planned.get("twist_rad")),
    )


def _counts(value: Any, n: int) -> tuple[int, ...]:
    """Notes are free: what is no list of counts is not told."""
    fits = isinstance(value, list | tuple) and len(value) == n and all(isinstance(m, int) for m in value)
    return tuple(value) if fits else ()


def _number(value: Any) -> float | None:
    plain = isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)
    return float(value) if plain else None


def _minutes(entries: Sequence[Entry]) -> dict[int, float]:
    """By place of each work: from the entry before it to the last reading before the next work."""
    made = list(_moments(entries))
    found: dict[int, float] = {}
    began = ended = None
    place = -1
    for entry, moment in made:
        if entry.event["event"] in KINDS:
            place, began = entry.place, ended
        if place >= 0 and began is not None and entry.event["event"] in (*KINDS, *READS):
            found[place] = (moment - began).total_seconds() / 60.0
        ended = moment
    return {place: minutes for place, minutes in found.items() if minutes >= 0.0}


def _moments(entries: Sequence[Entry]) -> Iterator[tuple[Entry, datetime]]:
    for entry in entries:
        at = moment_of(entry.event)
        if (
            entry.of is None
            and entry.status != WITHDRAWN
            and at is not None
            and entry.event["event"] != "note"
        ):
            yield entry, at
