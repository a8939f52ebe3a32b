"""A part's record: one plain value that the paper, the tables, the JSON and the screens are made from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, nan
from typing import Any

from core.advice import BAND, CLOSE, Advice
from core.calibration import in_words
from core.errors import InputError
from core.events import STRUCK, Event, effective
from core.joblog import checked_log
from core.jobtypes import Job
from core.records.facts import Fact, facts_of
from core.records.fates import COUNTS, NOBODY, Entry, Stamp, entries_of, stamp_of
from core.records.readings import Reading, readings_of_log
from core.records.strip import Strip, after, before
from core.records.work import Ahead, Work, ahead_of, works_of
from core.refitting import refit
from core.units import format_limit

UNDECIDED, UNKNOWN = "not decided", "not worked out"
NOT_SIGNED = "NOT SIGNED OFF"


@dataclass(frozen=True)
class Check:
    """One check of the finished part, by name.

    value : a number in ``unit``, or a word; sd : standard uncertainty, in ``unit``, None where there is none;
    calibration : of the gauge when it was read, in words, "" for none; limit, verdict : in words; verdict is
    UNDECIDED where nobody wrote one down; latest : the last one of its name since the last work, which is the
    one that counts; status, by, instead : as of an entry
    """

    name: str
    value: float | str
    unit: str
    sd: float | None
    gauge: str
    limit: str
    verdict: str
    latest: bool
    stamp: Stamp
    status: str = COUNTS
    by: Stamp = NOBODY
    instead: str = ""
    calibration: str = ""


@dataclass(frozen=True)
class SignOff:
    """by : name; concession : in writing, "" for none; verdicts : by check, as they were shown then"""

    by: str
    stamp: Stamp
    concession: str
    verdicts: Mapping[str, str]


@dataclass(frozen=True)
class Remark:
    """A note, or any other entry that is no work, no reading and no check."""

    text: str
    stamp: Stamp
    status: str


@dataclass(frozen=True)
class Record:
    """All that is on record of a part, oldest first.

    site : what one is called; each : what a count of strokes is for; position_mm : (n,) of the sites; ahead :
    work still planned; state : verdict on the gaps; chance : of being within; widest_gap_mm,
    widest_gap_sd_mm, widest_at : as of the advice; rule : how it is decided; before, now : the part against
    its template; NaN and None where the gaps cannot be worked out; signed : None while it is not signed off;
    warnings : of job and log; misfits : why what is planned cannot be run as it stands
    """

    name: str
    kind: str
    document: Mapping[str, Any]
    site: str
    each: str
    position_mm: tuple[float, ...]
    facts: tuple[Fact, ...]
    works: tuple[Work, ...]
    ahead: tuple[Ahead, ...]
    readings: tuple[Reading, ...]
    checks: tuple[Check, ...]
    remarks: tuple[Remark, ...]
    before: Strip
    now: Strip | None
    state: str
    chance: float
    widest_gap_mm: float
    widest_gap_sd_mm: float
    widest_at: int | None
    tolerance_mm: float
    rule: str
    signed: SignOff | None
    warnings: tuple[str, ...]
    misfits: tuple[str, ...] = ()

    @property
    def sign_off_text(self) -> str:
        """Who signed the part off and when, or plainly that nobody did."""
        if self.signed is None:
            return NOT_SIGNED
        when = f", {self.signed.stamp.when[:16]}" if self.signed.stamp.when else ""
        return f"Signed off by {self.signed.by}{when}"


def part_record(job: Job, events: Iterable[Any], advice: Advice | None = None) -> Record:
    """The record of a part from its whole log. Pure: same input, same record.

    advice : what :func:`core.refit` says of the same log, where it is at hand. Raises InputError for a log
    that does not fit the job; one that fits but contradicts itself is told without a verdict (UNKNOWN).
    """
    log = checked_log(job, events)
    told, problem = (_worked_out(job, log)) if advice is None else (advice, "")
    entries = entries_of(log)
    readings = readings_of_log(job, entries)
    signed = _signed(effective(log))
    works = works_of(job, log, entries, () if told is None else told.gap_history_mm)
    worked = sum(entry.counts and entry.event["event"] in STRUCK for entry in entries)
    return Record(
        name=job.name,
        kind=job.kind,
        document=job.document,
        site=job.part.sites.label,
        each=_each(job),
        position_mm=tuple(map(float, job.part.sites.position_mm)),
        facts=facts_of(job, entries),
        works=tuple(works),
        ahead=() if signed or told is None else ahead_of(job, told),
        readings=tuple(readings),
        checks=tuple(_checks(entries, signed)),
        remarks=tuple(_remarks(entries)),
        before=before(job, readings),
        now=None if told is None else after(job, told, readings, worked),
        state=UNKNOWN if told is None else told.verdict,
        chance=nan if told is None else float(told.chance_within),
        widest_gap_mm=nan if told is None else float(told.widest_gap_mm),
        widest_gap_sd_mm=nan if told is None else float(told.widest_gap_sd_mm),
        widest_at=None if told is None else int(told.widest_at),
        tolerance_mm=job.tolerance_mm,
        rule=_rule(job),
        signed=signed,
        warnings=tuple(dict.fromkeys((*([problem] if problem else ()), *_warnings(job, told)))),
        misfits=() if signed or told is None else told.misfits,
    )


def _worked_out(job: Job, log: Sequence[Event]) -> tuple[Advice | None, str]:
    """The advice, or why there is none: a log that contradicts itself is on record all the same."""
    try:
        return refit(job, log), ""
    except InputError as error:
        return None, f"The gaps cannot be worked out: {error.value}; {error.expected}."


def _warnings(job: Job, told: Advice | None) -> tuple[str, ...]:
    return job.warnings if told is None else (*job.warnings, *told.warnings)


def _rule(job: Job) -> str:
    sure = f"{100 * job.confidence:g} %"
    return (
        f"Within when the chance that no gap is wider than {format_limit(job.tolerance_mm)} is {sure} or "
        f"more, outside when the chance of the contrary is, else {CLOSE} (JCGM 106:2012, ISO 14253-1). The "
        f"widest gap counts with the template seated at its best; ± is half of a 95 % band ({BAND:g} "
        "standard uncertainties)."
    )


def _each(job: Job) -> str:
    label = job.part.sites.label
    whole = job.part.sites.round_mm is None
    return f"strokes at each {label}" if whole else f"strokes on every spot half-way across each {label}"


def _signed(live: Sequence[Event]) -> SignOff | None:
    event = next((event for event in reversed(live) if event["event"] == "signed_off"), None)
    if event is None:
        return None
    verdicts = event.get("verdicts")
    return SignOff(
        by=str(event["by"]),
        stamp=stamp_of(event),
        concession=str(event.get("concession") or ""),
        verdicts=dict(verdicts) if isinstance(verdicts, Mapping) else {},
    )


def _checks(entries: Sequence[Entry], signed: SignOff | None) -> list[Check]:
    """In the order of the log; work on the metal makes those before it tell of another shape."""
    latest: dict[str, Entry] = {}
    for entry in entries:
        if entry.counts and entry.event["event"] in (*STRUCK, "annealed"):
            latest = {}
        elif entry.counts and entry.event["event"] == "check_read":
            latest[str(entry.event["check"])] = entry
    verdicts = {} if signed is None else signed.verdicts
    return [
        _check(entry, latest.get(str(entry.event["check"])) is entry, verdicts)
        for entry in entries
        if entry.event["event"] == "check_read"
    ]


def _check(entry: Entry, latest: bool, verdicts: Mapping[str, str]) -> Check:
    event, name = entry.event, str(entry.event["check"])
    value, sd = event["value"], event.get("sd")
    verdict = event.get("verdict") or (verdicts.get(name) if latest else None)
    return Check(
        name=name,
        value=float(value) if _is_number(value) else str(value),
        unit=str(event.get("unit") or ""),
        sd=float(sd) if sd is not None and _is_number(sd) and _is_number(value) else None,
        gauge=str(event.get("gauge") or ""),
        limit=str(event.get("limit") or ""),
        verdict=str(verdict or UNDECIDED),
        latest=latest,
        stamp=entry.stamp,
        status=entry.status,
        by=entry.by,
        instead="" if entry.instead is None else str(entry.instead.get("value", "")),
        calibration=in_words(
            str(event.get("calibrated", "")),
            str(event.get("calibration_due", "")),
            entry.stamp.when[: len("2026-03-14")],
        ),
    )


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


REMARKS = {"trial_taken": "trial taken up", "batch_begun": "another batch, or another tool, begun"}


def _remarks(entries: Sequence[Entry]) -> list[Remark]:
    """Notes and the like; what the pass card writes down before a pass stands with the pass."""
    found = []
    for entry in entries:
        event, name = entry.event, entry.event["event"]
        text = str(event.get("text") or event.get("note") or "")
        if name == "note" and "planned" not in event:
            found.append(Remark(text, entry.stamp, entry.status))
        elif name in REMARKS:
            said = event.get("source") or text
            found.append(Remark(f"{REMARKS[name]}{f': {said}' if said else ''}", entry.stamp, entry.status))
        elif name != "note" and event.get("note"):
            found.append(Remark(text, entry.stamp, entry.status))
    return found
