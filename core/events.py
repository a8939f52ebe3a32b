"""The log of a part: what was done and what was read, as plain JSON-ready mappings.

Events are only ever appended. A correction or an undo is itself an event that points at the one it
changes; :func:`effective` applies them and folds single readings into rounds.

Forms (``id``, ``at`` and ``who`` are added by the store; a log written by hand may leave them out)::

    {"event": "pass_done", "action": "shrink", "bite": "medium", "strokes": [0, 3, ...]}
    {"event": "gaps_read", "gaps_mm": [0.1, None, "touching", "beyond"], "gauge": ..., "template": ...,
     "confirmed": [2], "at_deg": 45}
    {"event": "gap_read", "station": 3, "gap_mm": 0.35, "gauge": ..., "confirmed": True, "at_deg": 45, ...}
    {"event": "rim_read", "at_deg": [0, 45, 90, 135], "diameters_mm": [360.5, 359.0, ...], "gauge": ...}
    {"event": "heights_read", "at_deg": [0, 90], "heights_mm": [98.5, 99.0], "gauge": ...}
    {"event": "rounded", "action": "shrink", "bite": "light", "lobes": 2, "at_deg": 35, "strokes": 3}
    {"event": "template_seated"}            the template was lifted and seated again: a new round of gaps
    {"event": "annealed"}
    {"event": "smoothed", "bite": "light", "strokes": [4, 4, ...]}
    {"event": "counter_done", "action": "stretch", "bite": "medium", "strokes": [1, 0, ...]}
    {"event": "bow_read", "bow_mm": 2.5, "countered": False}
    {"event": "trial_taken", ...}           what the part starts from: the fields of :class:`core.seen.Seen`
    {"event": "batch_begun"}                another batch of metal, or another tool, than the parts before
    {"event": "withdrawn", "of": ID}        undo
    {"event": "corrected", "of": ID, "with": {...an event without id...}}
    {"event": "check_read", ...} {"event": "note", "text": ...}
    {"event": "signed_off", "by": ...} {"event": "reopened"}    see :mod:`core.signoff`
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from core.errors import InputError
from core.eventforms import (
    check_bow,
    check_check,
    check_count,
    check_gaps,
    check_heights,
    check_one_gap,
    check_rim,
    check_strokes,
    plain,
    plains,
    whole,
)

Event = dict[str, Any]
Gap = float | str | None
ACTIONS = ("shrink", "stretch")
ROUND = "round"  # what a reading confirms with itself: all of its round
STRUCK = ("pass_done", "smoothed", "counter_done", "rounded")
ENDS_ROUND = (*STRUCK, "template_seated", "annealed", "gaps_read")
FORMS: dict[str, tuple[str, ...]] = {
    "pass_done": ("action", "bite", "strokes"),
    "gaps_read": ("gaps_mm",),
    "gap_read": ("station", "gap_mm"),
    "template_seated": (),
    "annealed": (),
    "smoothed": ("bite", "strokes"),
    "counter_done": ("action", "bite", "strokes"),
    "bow_read": ("bow_mm",),
    "rim_read": ("at_deg", "diameters_mm"),
    "heights_read": ("at_deg", "heights_mm"),
    "rounded": ("action", "bite", "lobes", "at_deg", "strokes"),
    "trial_taken": ("action", "bite", "strokes", "ratio", "sd", "source"),
    "batch_begun": (),
    "withdrawn": ("of",),
    "corrected": ("of", "with"),
    "check_read": ("check", "value"),
    "signed_off": ("by",),
    "reopened": (),
    "note": ("text",),
}


def pass_done(action: str, strokes: Sequence[int], bite: str = "medium") -> Event:
    """A pass as it was run: whole strokes at every site, 0 where none.

    Raises InputError for an unknown action or a count that is not a whole number from 0 up.
    """
    event = {"event": "pass_done", "action": action, "bite": bite, "strokes": whole(strokes)}
    return checked(event)


def gaps_read(
    gaps_mm: Sequence[Gap],
    gauge: Any = None,
    template: Any = None,
    confirmed: Sequence[int] = (),
    at_deg: float | str | None = None,
) -> Event:
    """One round of gaps, one entry a station, in mm, the template seated once.

    None: not read. "touching": no gap to be felt. "beyond": wider than the gauge reaches.
    gauge : name of the gauge where it is not the job's, or a list with one name (or None) a station;
    confirmed : indices (from 0) of readings that were questioned and found right.
    at_deg : for a part read on meridians, the one that the template lay on: angle round the axis from a mark,
    0 to 360, or text with its unit; at the mark where it is not said.
    """
    event: Event = {"event": "gaps_read", "gaps_mm": [plain(g) for g in gaps_mm]}
    stands = [int(i) for i in confirmed] if len(confirmed) else None
    given = _given(gauge=gauge, template=template, confirmed=stands, at_deg=plain(at_deg))
    return checked({**event, **given})


def gap_read(
    station: int,
    gap_mm: Gap,
    gauge: Any = None,
    template: Any = None,
    confirmed: bool | str = False,
    at_deg: float | str | None = None,
) -> Event:
    """One reading as it is taken; readings in a row on one meridian make one round. station : index from 0;
    confirmed : it stands, ROUND: so do all of its round; at_deg : as for :func:`gaps_read`."""
    event: Event = {"event": "gap_read", "station": station, "gap_mm": plain(gap_mm)}
    given = _given(gauge=gauge, template=template, confirmed=confirmed or None, at_deg=plain(at_deg))
    return checked({**event, **given})


def rim_read(at_deg: Sequence[float | str], diameters_mm: Sequence[float], gauge: Any = None) -> Event:
    """Diameters of the rim across at angles round the axis, all of the same edge of the metal.

    at_deg : from the mark, as for :func:`gaps_read`; gauge : what they were read with, else a steel rule.
    """
    return _across("rim_read", at_deg, "diameters_mm", diameters_mm, gauge)


def heights_read(at_deg: Sequence[float | str], heights_mm: Sequence[float], gauge: Any = None) -> Event:
    """Heights of the rim over the middle, on the face that the template is held to: from a straight-edge laid
    across the rim at angles round the axis down to the middle, by a depth stop. at_deg, gauge : as for
    :func:`rim_read`."""
    return _across("heights_read", at_deg, "heights_mm", heights_mm, gauge)


def _across(name: str, at_deg: Sequence[float | str], key: str, values: Any, gauge: Any) -> Event:
    return checked({"event": name, "at_deg": plains(at_deg), key: plains(values), **_given(gauge=gauge)})


def _given(**fields: Any) -> Event:
    return {key: value for key, value in fields.items() if value is not None}


def rounded(action: str, lobes: int, at_deg: float | str, strokes: int, bite: str = "light") -> Event:
    """A small step against lobes: strokes on every spot of as many arcs of the rim, half of it in all.

    at_deg : the middle of one arc. Raises InputError as :func:`pass_done`.
    """
    event = {"event": "rounded", "action": action, "bite": bite, "lobes": lobes, "at_deg": plain(at_deg)}
    return checked({**event, "strokes": strokes})


def template_seated() -> Event:
    """The template was lifted and seated again: what is read next is a new round."""
    return {"event": "template_seated"}


def note(text: str, **more: Any) -> Event:
    """A remark, kept with the part."""
    return checked({"event": "note", "text": text, **more})


def annealed() -> Event:
    """The part was softened: hardening by earlier strokes is gone."""
    return {"event": "annealed"}


def smoothed(strokes: Sequence[int], bite: str) -> Event:
    """A light smoothing pass over faces that stay in sight: whole strokes at every site, 0 where none."""
    return checked({"event": "smoothed", "bite": bite, "strokes": whole(strokes)})


def counter_done(action: str, strokes: Sequence[int], bite: str = "medium") -> Event:
    """Counter-work as it was run: whole strokes at every site on the edge that the work leaves alone, 0
    where none. Raises InputError as :func:`pass_done`."""
    return checked({"event": "counter_done", "action": action, "bite": bite, "strokes": whole(strokes)})


def bow_read(bow_mm: float, countered: bool = False) -> Event:
    """The bow out of the plane as read over the bench plate, mm: the heel line at mid-length over the mean of
    its two ends, the worked flange held level at mid-length.

    > 0 where the middle stands out towards the upright flange of an angle, or towards the other flange of a
    channel or a Z; for any section: upwards, as the bar lies with its worked edge on the left of the way from
    the first station to the last. countered : work on another edge that is not in the log changed it since it
    was last read.
    """
    event: Event = {"event": "bow_read", "bow_mm": plain(bow_mm)}
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
    """Walk back from the last: what is withdrawn later never counted, nor did its own effect."""
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
        if i not in dead and event["event"] == "withdrawn":
            dead.add(target)
        elif i not in dead:
            replaced.setdefault(target, {**event["with"], "id": event["of"], "corrected_by": event.get("id")})
    changes = ("withdrawn", "corrected")
    return [replaced.get(i, e) for i, e in enumerate(log) if i not in dead and e["event"] not in changes]


def _rounds(events: list[Event]) -> list[Event]:
    """Fold single readings into one 'gaps_read' a round; a later reading of a station counts."""
    out: list[Event] = []
    current: Event | None = None
    for event in events:
        if event["event"] == "gap_read":
            laid = {key: event[key] for key in ("template", "at_deg") if event.get(key) is not None}
            if current is None or any(current.get(key) != laid.get(key) for key in ("template", "at_deg")):
                current = {"event": "gaps_read", "by_station": {}, "gauge": {}, "confirmed": [], **laid}
                out.append(current)
            station = event["station"]
            current["by_station"][station] = event["gap_mm"]
            current["gauge"][station] = event.get("gauge")
            current["confirmed"] = [c for c in current["confirmed"] if c != station]
            if event.get("confirmed"):
                current["confirmed"] += current["by_station"] if event["confirmed"] == ROUND else [station]
        else:
            if event["event"] in ENDS_ROUND:
                current = None
            out.append(event)
    return out


def _check_pass(event: Mapping[str, Any], field: str) -> None:
    if event["action"] not in ACTIONS:
        raise InputError(f"{field}.action", event["action"], "'shrink' or 'stretch' is wanted")
    check_strokes(event, field)


def _check_correction(event: Mapping[str, Any], field: str) -> None:
    checked(event["with"], f"{field}.with")


def _check_rounded(event: Mapping[str, Any], field: str) -> None:
    _check_pass({**event, "strokes": []}, field)
    check_count(event["strokes"], f"{field}.strokes")


_CHECKS = {
    "pass_done": _check_pass,
    "smoothed": check_strokes,
    "counter_done": _check_pass,
    "gaps_read": check_gaps,
    "gap_read": check_one_gap,
    "bow_read": check_bow,
    "rim_read": check_rim,
    "heights_read": check_heights,
    "rounded": _check_rounded,
    "check_read": check_check,
    "corrected": _check_correction,
}
