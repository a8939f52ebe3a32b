"""A log held against its job: what no bar, gauge or template of this job could have given is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import numpy as np

from core.checks import NOT_NEEDED
from core.errors import InputError
from core.events import FORMS, ROUND, Event, checked
from core.jobfields import Fields, chosen, nearest
from core.jobtypes import Job
from core.readings.gauges import GAUGES, Gauge
from core.readings.laying import check_laying
from core.readings.named import gauges_of, template_from
from core.readings.templates import Template
from core.roundlog import check_heights, check_meridian, check_rim, check_rounded
from core.seendoc import seen_from
from core.units import format_length

MOST_BOW = 0.25  # of the length; more is a slip of the decimal point
MOST_STROKES = 1000  # at one site in one pass; more is a slip of the finger
# Fields of the events that the mathematics reads; others (checks, notes, sign-off) are free.
KNOWN: dict[str, tuple[str, ...]] = {
    "pass_done": ("action", "bite", "strokes"),
    "gaps_read": ("gaps_mm", "gauge", "template", "confirmed", "at_deg"),
    "gap_read": ("station", "gap_mm", "gauge", "template", "confirmed", "at_deg"),
    "template_seated": (),
    "annealed": (),
    "smoothed": ("bite", "strokes"),
    "counter_done": ("action", "bite", "strokes"),
    "bow_read": ("bow_mm", "countered"),
    "rim_read": (*FORMS["rim_read"], "gauge"),
    "heights_read": (*FORMS["heights_read"], "gauge"),
    "rounded": FORMS["rounded"],
    "trial_taken": FORMS["trial_taken"],
    "batch_begun": (),
    "withdrawn": ("of",),
    "corrected": ("of", "with"),
}
RECORD = ("event", "id", "at", "offset", "who", "schema", "number", "seal", "note")


def checked_log(job: Job, events: Iterable[Any]) -> list[Event]:
    """The same events, each of them possible for this job.

    Checked are: the form of each event, its fields' names, one entry a station, known bites, the sign
    that a rigid template allows, the reach of the gauge, stations that a sweep cannot be read at, ids
    given once. Raises InputError with the path of the first field that is wrong, ``events[3].gaps_mm[7]``.
    """
    if isinstance(events, str | bytes | Mapping) or not isinstance(events, Iterable):
        raise InputError("events", events, "a list of events is wanted")
    log = [checked(event, f"events[{i}]") for i, event in enumerate(events)]
    seen: set[str] = set()
    for i, event in enumerate(log):
        field = f"events[{i}]"
        check_event(job, event, field)
        if "id" in event:
            _new_id(event["id"], seen, f"{field}.id")
        if "of" in event and (not isinstance(event["of"], str) or event["of"] not in seen):
            raise InputError(f"{field}.of", event["of"], "the id of an earlier event is wanted")
    return log


def check_event(job: Job, event: Mapping[str, Any], field: str = "event") -> None:
    """Raises InputError when this event, its form already checked, is impossible for this job."""
    name = event["event"]
    known = dict.fromkeys((*KNOWN.get(name, ()), *RECORD))
    for key in event:
        if name in KNOWN and key not in known:
            raise InputError(f"{field}.{key}", event[key], f"there is no such field{nearest(key, known)}")
    check = _CHECKS.get(name)
    if check is not None:
        check(job, event, field)


def _new_id(value: Any, seen: set[str], field: str) -> None:
    if not isinstance(value, str) or not value:
        raise InputError(field, value, "a text is wanted")
    if value in seen:
        raise InputError(field, value, "an id that no earlier event has is wanted")
    seen.add(value)


def _check_pass(job: Job, event: Mapping[str, Any], field: str) -> None:
    _check_strokes(job, event, field, event["action"])


def _check_smoothed(job: Job, event: Mapping[str, Any], field: str) -> None:
    _check_strokes(job, event, field, job.smoother)


def _check_counter(job: Job, event: Mapping[str, Any], field: str) -> None:
    if job.under[event["action"]].other_edge() is None:
        wanted = (
            "counter-work wants another edge than the worked one, and this part has none that the tool takes"
        )
        raise InputError(f"{field}.event", event["event"], wanted)
    _check_strokes(job, event, field, event["action"])


def _check_strokes(job: Job, event: Mapping[str, Any], field: str, action: str) -> None:
    chosen(event["bite"], f"{field}.bite", job.tools[action].bites)
    strokes = event["strokes"]
    _one_a_site(job, strokes, f"{field}.strokes", "0 where none")
    for i, count in enumerate(strokes):
        _check_count(count, f"{field}.strokes[{i}]")


def _check_count(count: int, field: str) -> None:
    if count > MOST_STROKES:
        raise InputError(field, count, f"at most {MOST_STROKES} in one pass is wanted")


def _check_gaps(job: Job, event: Mapping[str, Any], field: str) -> None:
    gaps = event["gaps_mm"]
    _one_a_site(job, gaps, f"{field}.gaps_mm", "null where not read")
    check = _gap_check(job, event, field)
    for i, gap in enumerate(gaps):
        check(i, gap, f"{field}.gaps_mm[{i}]")
    confirmed = event.get("confirmed", [])
    if not isinstance(confirmed, list | tuple):
        raise InputError(f"{field}.confirmed", confirmed, "a list of stations, from 0, is wanted")
    for i, station in enumerate(confirmed):
        _station(job, station, f"{field}.confirmed[{i}]")


def _check_gap(job: Job, event: Mapping[str, Any], field: str) -> None:
    _station(job, event["station"], f"{field}.station")
    _gap_check(job, event, field)(event["station"], event["gap_mm"], f"{field}.gap_mm")
    if event.get("confirmed") != ROUND and not isinstance(event.get("confirmed", False), bool):
        raise InputError(f"{field}.confirmed", event["confirmed"], f"true, false or '{ROUND}' is wanted")


def _check_bow(job: Job, event: Mapping[str, Any], field: str) -> None:
    if "bow_mm" not in job.part.side_effects(np.zeros(len(job.part.sites))):
        wanted = f"a {job.kind} has no bow out of its plane to be read"
        raise InputError(f"{field}.event", event["event"], wanted)
    most = MOST_BOW * job.part.length_mm
    if abs(event["bow_mm"]) > most:
        wanted = f"at most {format_length(most)} either way, a quarter of the length, is wanted"
        raise InputError(f"{field}.bow_mm", event["bow_mm"], wanted)
    if not isinstance(event.get("countered", False), bool):
        raise InputError(f"{field}.countered", event["countered"], "true or false is wanted")


def _check_trial(job: Job, event: Mapping[str, Any], field: str) -> None:
    seen_from(Fields({name: event[name] for name in FORMS["trial_taken"]}, field), job.tools)


def _check_rounded(job: Job, event: Mapping[str, Any], field: str) -> None:
    check_rounded(job, event, field)
    chosen(event["bite"], f"{field}.bite", job.tools[event["action"]].bites)
    _check_count(event["strokes"], f"{field}.strokes")


def _check_check(job: Job, event: Mapping[str, Any], field: str) -> None:
    """A check of the job takes what it asks for; others are left as they are."""
    check = next((check for check in job.checks if check.name == event["check"]), None)
    if check is None or event["value"] == NOT_NEEDED:
        return
    if check.answers and event["value"] not in dict(check.answers):
        wanted = f"one of {', '.join(word for word, _ in check.answers)} is wanted"
        raise InputError(f"{field}.value", event["value"], wanted)
    if not check.answers and isinstance(event["value"], str):
        raise InputError(f"{field}.value", event["value"], f"a number in {check.unit} is wanted")


def _check_correction(job: Job, event: Mapping[str, Any], field: str) -> None:
    if event["with"]["event"] in ("withdrawn", "corrected"):
        raise InputError(f"{field}.with.event", event["with"]["event"], "what was done or read is wanted")
    check_event(job, event["with"], f"{field}.with")


_CHECKS: dict[str, Callable[[Job, Mapping[str, Any], str], None]] = {
    "pass_done": _check_pass,
    "smoothed": _check_smoothed,
    "counter_done": _check_counter,
    "gaps_read": _check_gaps,
    "gap_read": _check_gap,
    "bow_read": _check_bow,
    "rim_read": check_rim,
    "heights_read": check_heights,
    "rounded": _check_rounded,
    "trial_taken": _check_trial,
    "check_read": _check_check,
    "corrected": _check_correction,
}


def _gap_check(job: Job, event: Mapping[str, Any], field: str) -> Callable[[int, Any, str], None]:
    """The check of one reading with the gauge and the template of this event."""
    gauges = gauges_of(event.get("gauge"), job.gauge, len(job.part.sites), f"{field}.gauge")
    length = job.part.length_mm
    template = template_from(_or(event.get("template"), job.template), f"{field}.template", length)
    if template != job.template:  # that was held against the part when the job was read
        check_laying(job.part, template, f"{field}.template", event.get("template"))
    check_meridian(job, event, field)
    readable = template.layout(job.part.sites.position_mm, length).readable

    def check(station: int, gap: Any, path: str) -> None:
        if gap is None:
            return
        if not readable[station]:
            raise InputError(path, gap, "null is wanted: the template hangs over the end of the bar there")
        if isinstance(gap, str):
            return
        if template.rigid and gap < 0.0:
            raise InputError(path, gap, _sign_wanted(template))
        gauge = gauges[station]
        if abs(gap) > gauge.largest_mm:
            raise InputError(path, gap, _reach_wanted(gauge, abs(gap)))

    return check


def _reach_wanted(gauge: Gauge, gap_mm: float) -> str:
    """What to do about a gap wider than the gauge reaches: no number, or the gauge that did read it."""
    wanted = f"readings with {gauge.name} go up to {format_length(gauge.largest_mm)}; 'beyond' is wanted"
    longest = max(GAUGES.values(), key=lambda g: g.largest_mm)
    if gap_mm > longest.largest_mm:
        return wanted
    return f'{wanted}, or in this event the gauge that did read it, such as "gauge": "{longest.name}"'


def _sign_wanted(template: Template) -> str:
    return f"0 or more is wanted: a template held {template.name} touches the part and cannot overlap it"


def _one_a_site(job: Job, entries: Any, field: str, nothing: str) -> None:
    n = len(job.part.sites)
    if len(entries) != n:
        wanted = f"{n} entries, one a {job.part.sites.label}, are wanted ({nothing})"
        raise InputError(field, f"{len(entries)} entries", wanted)


def _station(job: Job, station: Any, field: str) -> None:
    n = len(job.part.sites)
    if isinstance(station, bool) or not isinstance(station, int) or not 0 <= station < n:
        raise InputError(field, station, f"a {job.part.sites.label} from 0 to {n - 1} is wanted")


def _or(value: Any, default: Any) -> Any:
    return default if value is None else value
