"""A part's record: one plain value that the paper, the tables, the JSON and the screens are made from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import nan
from typing import Any

from core.advice import BAND, CLOSE, Advice
from core.errors import InputError
from core.events import STRUCK, Event, effective
from core.joblog import checked_log
from core.jobtypes import Job
from core.records.checks import Check, checks_of
from core.records.facts import Fact, facts_of
from core.records.fates import Entry, Stamp, entries_of, stamp_of
from core.records.later import Later, later_of
from core.records.readings import Reading, readings_of_log
from core.records.strip import Strip, after, before
from core.records.work import Ahead, Work, ahead_of, works_of
from core.refitting import refit
from core.signoff import AGAIN, sign_off
from core.units import format_limit

UNKNOWN = "not worked out"
NOT_SIGNED = "NOT SIGNED OFF"


@dataclass(frozen=True)
class SignOff:
    """by : name; concession : in writing, "" for none; verdicts : by check, as they were shown then; seal :
    of the entry, which pins all before it, "" where the log carries none; warnings : that were shown then,
    such as of a gauge whose calibration was past"""

    by: str
    stamp: Stamp
    concession: str
    verdicts: Mapping[str, str]
    seal: str = ""
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Remark:
    """A note, or any other entry that is no work, no reading and no check."""

    text: str
    stamp: Stamp
    status: str


@dataclass(frozen=True)
class Record:
    """All that is on record of a part, oldest first; of a signed part, as it was signed.

    site : what one is called; each : what a count of strokes is for; position_mm : (n,) of the sites; ahead :
    work still planned; state : verdict on the gaps; chance : of being within; widest_gap_mm,
    widest_gap_sd_mm, widest_at : as of the advice; rule : how it is decided; before, now : the part against
    its template; NaN and None where the gaps cannot be worked out; signed : None while it is not signed off;
    warnings : of job and log; misfits : why what is planned cannot be run as it stands; later : what was
    entered since the sign-off, of which nothing above tells; broken : sentences on what was changed outside
    the program; log : every entry as it stands in the log
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
    later: tuple[Later, ...] = ()
    broken: tuple[str, ...] = ()
    log: tuple[Event, ...] = ()

    @property
    def sign_off_text(self) -> str:
        """Who signed the part off and when, or plainly that nobody did."""
        if self.signed is None:
            return NOT_SIGNED
        when = f", {self.signed.stamp.when[:16]}" if self.signed.stamp.when else ""
        return f"Signed off by {self.signed.by}{when}"


def part_record(
    job: Job, events: Iterable[Any], advice: Advice | None = None, broken: Iterable[str] = ()
) -> Record:
    """The record of a part from its whole log. Pure: same input, same record.

    advice : what :func:`core.refit` says of the same log, where it is at hand; broken : what its seals say of
    it. A signed part is told as it was signed; work is still planned on it once it was taken up again. Raises
    InputError for a log that does not fit the job; one that fits but contradicts itself is told without a
    verdict (UNKNOWN).
    """
    whole = checked_log(job, events)
    closing = sign_off(whole)
    log = whole if closing is None else list(closing.signed)
    later = () if closing is None else later_of(job, closing)
    now, problem = _worked_out(job, whole) if advice is None else (advice, "")
    told = now
    if closing is not None and closing.uncounted:
        told, problem = _worked_out(job, log)
    entries = entries_of(log)
    readings = readings_of_log(job, entries)
    live = effective(log)
    signed = _signed(live)
    works = works_of(job, log, entries, told)
    worked = sum(entry.counts and entry.event["event"] in STRUCK for entry in entries)
    open_now = now if signed is None or later else None
    return Record(
        name=job.name,
        kind=job.kind,
        document=job.document,
        site=job.part.sites.label,
        each=_each(job),
        position_mm=tuple(map(float, job.part.sites.position_mm)),
        facts=facts_of(job, entries),
        works=tuple(works),
        ahead=() if open_now is None else ahead_of(job, open_now),
        readings=tuple(readings),
        checks=checks_of(job, entries, live, {} if signed is None else signed.verdicts),
        remarks=tuple(_remarks(entries, whole[len(log) :])),
        before=before(job, readings),
        now=None if told is None else after(job, told, readings, worked, signed is not None),
        state=UNKNOWN if told is None else told.verdict,
        chance=nan if told is None else float(told.chance_within),
        widest_gap_mm=nan if told is None else float(told.widest_gap_mm),
        widest_gap_sd_mm=nan if told is None else float(told.widest_gap_sd_mm),
        widest_at=None if told is None else int(told.widest_at),
        tolerance_mm=job.tolerance_mm,
        rule=_rule(job),
        signed=signed,
        warnings=_warnings(job, told, problem, signed),
        misfits=() if open_now is None else open_now.misfits,
        later=later,
        broken=tuple(broken),
        log=tuple(whole),
    )


def _worked_out(job: Job, log: Sequence[Event]) -> tuple[Advice | None, str]:
    """The advice, or why there is none: a log that contradicts itself is on record all the same."""
    try:
        return refit(job, log), ""
    except InputError as error:
        return None, f"The gaps cannot be worked out: {error.value}; {error.expected}."


def _warnings(job: Job, told: Advice | None, problem: str, signed: SignOff | None) -> tuple[str, ...]:
    found = [problem] if problem else []
    found += job.warnings if told is None else (*job.warnings, *told.warnings)
    then = "" if signed is None else signed.verdicts.get("gaps", "")
    if told is not None and then and then != told.verdict:
        found.append(f"Signed off with gaps {then}; worked out anew from the same readings: {told.verdict}.")
    return tuple(dict.fromkeys(found))


def _rule(job: Job) -> str:
    sure = f"{100 * job.confidence:g} %"
    seated = " The widest gap counts with the template seated at its best." * bool(len(job.part.seat_sd))
    return (
        f"Within when the chance that no gap is wider than {format_limit(job.tolerance_mm)} is {sure} or "
        f"more, outside when the chance of the contrary is, else {CLOSE} (JCGM 106:2012, ISO 14253-1)."
        f"{seated} A check with a limit is decided the same way with the uncertainty of its gauge. ± is half "
        f"of a 95 % band ({BAND:g} standard uncertainties)."
    )


def _each(job: Job) -> str:
    label = job.part.sites.label
    whole = job.part.sites.round_mm is None
    return f"strokes at each {label}" if whole else f"strokes on every spot half-way across each {label}"


def _signed(live: Sequence[Event]) -> SignOff | None:
    event = next((event for event in reversed(live) if event["event"] == "signed_off"), None)
    if event is None:
        return None
    verdicts, warnings = event.get("verdicts"), event.get("warnings")
    return SignOff(
        by=str(event["by"]),
        stamp=stamp_of(event),
        concession=str(event.get("concession") or ""),
        verdicts=dict(verdicts) if isinstance(verdicts, Mapping) else {},
        seal=str(event.get("seal") or ""),
        warnings=tuple(map(str, warnings)) if isinstance(warnings, list | tuple) else (),
    )


REMARKS = {
    "trial_taken": "trial taken up",
    "batch_begun": "another batch, or another tool, begun",
    AGAIN: "taken up again",
}


def _remarks(entries: Sequence[Entry], later: Sequence[Event]) -> list[Remark]:
    """Notes and the like, and sign-offs before the last; notes of after it too. What the pass card writes
    down before a pass stands with the pass."""
    notes = entries_of([event for event in later if event["event"] == "note"])
    told = ((entry, _remark(entry.event, last=entry is entries[-1])) for entry in (*entries, *notes))
    return [Remark(text, entry.stamp, entry.status) for entry, text in told if text is not None]


def _remark(event: Event, last: bool) -> str | None:
    """What is to be said of an entry, None where that stands elsewhere."""
    name, text = event["event"], str(event.get("text") or event.get("note") or "")
    if name == "note":
        return None if "planned" in event else text
    if name == "signed_off" and not last:
        concession = event.get("concession")
        return f"signed off by {event['by']}{f', with concession: {concession}' if concession else ''}"
    if name in REMARKS:
        said = event.get("source") or event.get("why") or text
        return f"{REMARKS[name]}{f': {said}' if said else ''}"
    return text or None
