"""The log of a part: what was done and what was read, as plain JSON-ready mappings.

Events are only ever appended. A correction or an undo is itself an event that points at the one it
changes; :func:`effective` applies them and folds single readings into rounds.

Forms (``id``, ``at`` and ``who`` are added by the store; a log written by hand may leave them out)::

    {"event": "pass_done", "action": "shrink", "bite": "medium", "strokes": [0, 3, ...]}
    {"event": "gaps_read", "gaps_mm": [0.1, None, "touching", "beyond"], "gauge": ..., "template": ...,
     "confirmed": [2]}
    {"event": "gap_read", "station": 3, "gap_mm": 0.35, "gauge": ..., "template": ..., "confirmed": False}
    {"event": "template_seated"}            the template was lifted and seated again: a new round of gaps
    {"event": "annealed"}
    {"event": "smoothed", "bite": "light", "strokes": [4, 4, ...]}
    {"event": "counter_done", "action": "stretch", "bite": "medium", "strokes": [1, 0, ...]}
    {"event": "bow_read", "bow_mm": 2.5, "countered": False}
    {"event": "trial_taken", ...}           what the part starts from: the fields of :class:`core.seen.Seen`
    {"event": "batch_begun"}                another batch of metal, or another tool, than the parts before
    {"event": "withdrawn", "of": ID}        undo
    {"event": "corrected", "of": ID, "with": {...an event without id...}}
    {"event": "check_read", ...} {"event": "signed_off", ...} {"event": "note", "text": ...}
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import inf
from numbers import Integral, Real
from typing import Any

from core.errors import InputError

Event = dict[str, Any]
Gap = float | str | None
ACTIONS = ("shrink", "stretch")
WORDS = ("touching", "beyond")
ENDS_ROUND = ("pass_done", "template_seated", "annealed", "smoothed", "counter_done", "gaps_read")
FORMS: dict[str, tuple[str, ...]] = {
    "pass_done": ("action", "bite", "strokes"),
    "gaps_read": ("gaps_mm",),
    "gap_read": ("station", "gap_mm"),
    "template_seated": (),
    "annealed": (),
    "smoothed": ("bite", "strokes"),
    "counter_done": ("action", "bite", "strokes"),
    "bow_read": ("bow_mm",),
    "trial_taken": ("action", "bite", "strokes", "ratio", "sd", "source"),
    "batch_begun": (),
    "withdrawn": ("of",),
    "corrected": ("of", "with"),
    "check_read": ("check", "value"),
    "signed_off": ("by",),
    "note": ("text",),
}


def pass_done(action: str, strokes: Sequence[int], bite: str = "medium") -> Event:
    """A pass as it was run: whole strokes at every site, 0 where none.

    Raises InputError for an unknown action or a count that is not a whole number from 0 up.
    """
    event = {"event": "pass_done", "action": action, "bite": bite, "strokes": _whole(strokes)}
    return checked(event)


def gaps_read(
    gaps_mm: Sequence[Gap],
    gauge: Any = None,
    template: Any = None,
    confirmed: Sequence[int] = (),
) -> Event:
    """One round of gaps, one entry a station, in mm, the template seated once.

    None: not read. "touching": no gap to be felt. "beyond": wider than the gauge reaches.
    gauge : name of the gauge where it is not the job's, or a list with one name (or None) a station;
    confirmed : indices (from 0) of readings that were questioned and found right.
    """
    event: Event = {"event": "gaps_read", "gaps_mm": [_plain(g) for g in gaps_mm]}
    if gauge is not None:
        event["gauge"] = gauge
    if template is not None:
        event["template"] = template
    if len(confirmed):
        event["confirmed"] = [int(i) for i in confirmed]
    return checked(event)


def gap_read(
    station: int, gap_mm: Gap, gauge: Any = None, template: Any = None, confirmed: bool = False
) -> Event:
    """One reading as it is taken; readings in a row make one round. station : index from 0."""
    event: Event = {"event": "gap_read", "station": station, "gap_mm": _plain(gap_mm)}
    event.update({k: v for k, v in (("gauge", gauge), ("template", template)) if v is not None})
    if confirmed:
        event["confirmed"] = True
    return checked(event)


def template_seated() -> Event:
    """The template was lifted and seated again: what is read next is a new round."""
    return {"event": "template_seated"}


def check_read(check: str, value: Any, **more: Any) -> Event:
    """A finish check beside the gaps: its name, its value with unit as text, and what belongs to it."""
    return checked({"event": "check_read", "check": check, "value": value, **more})


def signed_off(by: str, **more: Any) -> Event:
    """The part is closed. by : name of who checked."""
    return checked({"event": "signed_off", "by": by, **more})


def note(text: str, **more: Any) -> Event:
    """A remark, kept with the part."""
    return checked({"event": "note", "text": text, **more})


def annealed() -> Event:
    """The part was softened: hardening by earlier strokes is gone."""
    return {"event": "annealed"}


def smoothed(strokes: Sequence[int], bite: str) -> Event:
    """A light smoothing pass over faces that stay in sight: whole strokes at every site, 0 where none."""
    return checked({"event": "smoothed", "bite": bite, "strokes": _whole(strokes)})


def counter_done(action: str, strokes: Sequence[int], bite: str = "medium") -> Event:
    """Counter-work as it was run: whole strokes at every site on the edge that the work leaves alone, 0
    where none. Raises InputError as :func:`pass_done`."""
    return checked({"event": "counter_done", "action": action, "bite": bite, "strokes": _whole(strokes)})


def bow_read(bow_mm: float, countered: bool = False) -> Event:
    """The bow out of the plane as read on the bench plate: the heel line at mid-length over its two ends, mm.

    > 0 where the middle stands out towards the upright flange of an angle, or towards the other flange of a
    channel or a Z; for any section: upwards, as the bar lies with its worked edge on the left of the way from
    the first station to the last. countered : work on another edge that is not in the log changed it since it
    was last read.
    """
    event: Event = {"event": "bow_read", "bow_mm": _plain(bow_mm)}
    if countered:
        event["countered"] = True
    return checked(event)


def withdrawn(event_id: str) -> Event:
    """Undo of the event with this id; both stay in the log."""
    return {"event": "withdrawn", "of": event_id}


def corrected(event_id: str, by: Event) -> Event:
    """Replacement of the event with this id; both stay in the log."""
    return checked({"event": "corrected", "of": event_id, "with": by})


def checked(event: Any, field: str = "event") -> Event:
    """The same event, its form checked. Raises InputError naming the field that is wrong."""
    if not isinstance(event, Mapping):
        raise InputError(field, event, "an object with an 'event' field is wanted")
    name = event.get("event")
    if not isinstance(name, str) or name not in FORMS:
        raise InputError(f"{field}.event", name, "one of " + ", ".join(FORMS) + " is wanted")
    for key in FORMS[name]:
        if key not in event:
            raise InputError(f"{field}.{key}", None, f"a '{name}' event needs it")
    check = _CHECKS.get(name)
    if check is not None:
        check(event, field)
    return dict(event)


def effective(events: Iterable[Any]) -> list[Event]:
    """Events as they count: withdrawn ones gone, corrected ones replaced, single gaps in rounds.

    The input is not changed. Raises InputError when an event points at one that is not there.
    """
    return _rounds(_resolved([checked(e, f"events[{i}]") for i, e in enumerate(events)]))


def _resolved(log: list[Event]) -> list[Event]:
    """Walk back from the last event: what is withdrawn later never counted, nor did its own effect."""
    place = {e["id"]: i for i, e in enumerate(log) if "id" in e}
    dead: set[int] = set()
    replaced: dict[int, Event] = {}
    for i in reversed(range(len(log))):
        event = log[i]
        if event["event"] not in ("withdrawn", "corrected"):
            continue
        target = place.get(event["of"])
        if target is None or target >= i:
            raise InputError(f"events[{i}].of", event["of"], "the id of an earlier event is wanted")
        if i in dead:
            continue
        if event["event"] == "withdrawn":
            dead.add(target)
        else:
            replaced.setdefault(target, {**event["with"], "id": event["of"], "corrected_by": event.get("id")})
    changes = ("withdrawn", "corrected")
    return [replaced.get(i, e) for i, e in enumerate(log) if i not in dead and e["event"] not in changes]


def _rounds(events: list[Event]) -> list[Event]:
    """Fold single readings into one 'gaps_read' a round; a later reading of a station counts."""
    out: list[Event] = []
    current: Event | None = None
    for event in events:
        if event["event"] == "gap_read":
            template = event.get("template")
            if current is None or current.get("template") != template:
                current = {"event": "gaps_read", "by_station": {}, "gauge": {}, "confirmed": []}
                current.update({} if template is None else {"template": template})
                out.append(current)
            station = event["station"]
            current["by_station"][station] = event["gap_mm"]
            current["gauge"][station] = event.get("gauge")
            current["confirmed"] = [c for c in current["confirmed"] if c != station]
            if event.get("confirmed"):
                current["confirmed"].append(station)
        else:
            if event["event"] in ENDS_ROUND:
                current = None
            out.append(event)
    return out


def _plain(gap: Any) -> Any:
    """Numbers of any numeric library as plain ones; anything else is left for the check to refuse."""
    return float(gap) if isinstance(gap, Real) and not isinstance(gap, bool) else gap


def _whole(strokes: Any) -> Any:
    if not isinstance(strokes, Iterable) or isinstance(strokes, str):
        return strokes
    return [int(m) if isinstance(m, Integral) and not isinstance(m, bool) else m for m in strokes]


def _check_pass(event: Mapping[str, Any], field: str) -> None:
    if event["action"] not in ACTIONS:
        raise InputError(f"{field}.action", event["action"], "'shrink' or 'stretch' is wanted")
    _check_strokes(event, field)


def _check_strokes(event: Mapping[str, Any], field: str) -> None:
    if not isinstance(event["bite"], str):
        raise InputError(f"{field}.bite", event["bite"], "the name of a bite is wanted")
    strokes = event["strokes"]
    if not isinstance(strokes, Sequence) or isinstance(strokes, str):
        raise InputError(f"{field}.strokes", strokes, "a list of whole numbers is wanted")
    for i, m in enumerate(strokes):
        if isinstance(m, bool) or not isinstance(m, int | float) or not 0 <= m < inf or m != int(m):
            raise InputError(f"{field}.strokes[{i}]", m, "a whole number from 0 up is wanted")


def _check_gap(gap: Any, field: str) -> None:
    if gap is None or (isinstance(gap, str) and gap in WORDS):
        return
    if isinstance(gap, bool) or not isinstance(gap, int | float) or gap != gap or abs(gap) == float("inf"):
        raise InputError(field, gap, "a number in mm, 'touching', 'beyond' or nothing is wanted")


def _check_gaps(event: Mapping[str, Any], field: str) -> None:
    gaps = event["gaps_mm"]
    if not isinstance(gaps, Sequence) or isinstance(gaps, str):
        raise InputError(f"{field}.gaps_mm", gaps, "a list with one entry a station is wanted")
    for i, gap in enumerate(gaps):
        _check_gap(gap, f"{field}.gaps_mm[{i}]")


def _check_one_gap(event: Mapping[str, Any], field: str) -> None:
    station = event["station"]
    if isinstance(station, bool) or not isinstance(station, int) or station < 0:
        raise InputError(f"{field}.station", station, "the number of a station, from 0, is wanted")
    _check_gap(event["gap_mm"], f"{field}.gap_mm")


def _check_bow(event: Mapping[str, Any], field: str) -> None:
    bow = event["bow_mm"]
    if isinstance(bow, bool) or not isinstance(bow, int | float) or not -inf < bow < inf:
        raise InputError(f"{field}.bow_mm", bow, "a number in mm, of either sign, is wanted")


def _check_correction(event: Mapping[str, Any], field: str) -> None:
    checked(event["with"], f"{field}.with")


_CHECKS = {
    "pass_done": _check_pass,
    "smoothed": _check_strokes,
    "counter_done": _check_pass,
    "gaps_read": _check_gaps,
    "gap_read": _check_one_gap,
    "bow_read": _check_bow,
    "corrected": _check_correction,
}
