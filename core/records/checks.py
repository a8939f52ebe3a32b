"""The checks of a finished part, one by one: what was read with what, and how it stands to its limit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any

from core.calibration import in_words
from core.checkresults import CheckResult, check_results
from core.checks import EVERY
from core.events import STRUCK, Event
from core.jobtypes import Job
from core.records.fates import COUNTS, NOBODY, Entry, Stamp

UNDECIDED = "not decided"


@dataclass(frozen=True)
class Check:
    """One check of the finished part, by name.

    label : in words; value : a number in ``unit``, or a word, None where it is not read; sd : standard
    uncertainty, in ``unit``, None where there is none; calibration : of the gauge when it was read, in words,
    "" for none; limit, verdict : in words, with what parts of a set are checked; verdict is UNDECIDED where
    nobody wrote one down and the job does not tell, "not read" or "not due" where there is no reading;
    latest : the last one of its name since the last work, which is the one that counts; photo : its path, ""
    for none; status, by, instead : as of an entry
    """

    name: str
    label: str
    value: float | str | None
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
    photo: str = ""


def checks_of(
    job: Job, entries: Sequence[Entry], live: Sequence[Event], signed: Mapping[str, str]
) -> tuple[Check, ...]:
    """Every reading of a check in the order of the log, then the checks of the job that are not read.

    live : the log as it counts; signed : verdicts by check, as they were shown at sign-off.
    """
    results = {result.check.name: result for result in check_results(job, live)}
    latest = _latest(entries)
    read = [entry for entry in entries if entry.event["event"] == "check_read"]
    found = []
    for entry in read:
        name = str(entry.event["check"])
        counts = latest.get(name) is entry
        found.append(_read(entry, results.get(name), counts, signed.get(name, "") if counts else ""))
    return (*found, *_not_read(results))


def _latest(entries: Sequence[Entry]) -> dict[str, Entry]:
    """By name; work on the metal makes those before it tell of another shape."""
    latest: dict[str, Entry] = {}
    for entry in entries:
        if entry.counts and entry.event["event"] in (*STRUCK, "annealed"):
            latest = {}
        elif entry.counts and entry.event["event"] == "check_read":
            latest[str(entry.event["check"])] = entry
    return latest


def _read(entry: Entry, result: CheckResult | None, latest: bool, signed: str) -> Check:
    """What an event does not say of its check, the job does."""
    event, value = entry.event, entry.event["value"]
    name, number = str(event["check"]), _is_number(event["value"])
    job = None if result is None else result.check
    sd: Any = event.get("sd", None if job is None else job.sd)
    worked_out = result.verdict if result is not None and latest else ""
    return Check(
        name=name,
        label=name if job is None else job.label,
        value=float(value) if number else str(value),
        unit=str(event.get("unit") or (job.unit if job and number else "")),
        sd=float(sd) if number and _is_number(sd) else None,
        gauge=str(event.get("gauge") or (job.gauge if job else "")),
        limit=_limit(str(event.get("limit") or ""), result),
        verdict=str(event.get("verdict") or signed or worked_out or UNDECIDED),
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
        photo=str(event.get("photo") or ""),
    )


def _not_read(results: Mapping[str, CheckResult]) -> Iterator[Check]:
    for name, result in results.items():
        if result.event is None:
            check = result.check
            yield Check(
                name=name,
                label=check.label,
                value=None,
                unit=check.unit,
                sd=None,
                gauge=check.gauge,
                limit=_limit("", result),
                verdict=result.verdict,
                latest=True,
                stamp=NOBODY,
            )


def _limit(logged: str, result: CheckResult | None) -> str:
    """As it was held against the reading, and which parts of a set are checked where not all are."""
    if result is None:
        return logged
    check = result.check
    sampled = "" if check.sampling == EVERY else check.sampled
    return ", ".join(text for text in (logged or check.limit, sampled) if text)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)
