"""One part as plain JSON: ``{"schema": 1, "job": {...}, "events": [...]}``; no files are opened here."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from core.errors import InputError
from core.events import Event, checked, effective
from core.store.envelope import SCHEMA, refuse_newer

_FIELDS = ("schema", "job", "events")


class PartDocument(NamedTuple):
    """A job with its log, as they stand in a document."""

    job: dict[str, Any]
    events: list[Event]


def plain(value: Any, field: str) -> Any:
    """A copy of ``value`` as JSON gives it back.

    Raises InputError naming ``field`` when JSON cannot hold it: a number that is none, another type.
    """
    try:
        return json.loads(json.dumps(value, allow_nan=False))
    except (TypeError, ValueError, RecursionError) as error:
        raise InputError(field, value, f"text, numbers, lists and objects are wanted ({error})") from error


def plain_event(event: Any, field: str = "event") -> Event:
    """A checked copy of an event. Raises InputError naming the field that is wrong."""
    try:
        return checked(plain(event, field), field)
    except RecursionError as error:
        raise InputError(field, "...", "fewer corrections inside corrections are wanted") from error


def to_document(job: Mapping[str, Any], events: Iterable[Event]) -> dict[str, Any]:
    """The JSON-ready document of a job and its log; copies, nothing of the arguments is shared."""
    return {"schema": SCHEMA, "job": plain(job, "job"), "events": plain(list(events), "events")}


def from_document(source: Mapping[str, Any] | str | bytes) -> PartDocument:
    """The job and the checked log in a document, given as a mapping or as JSON text.

    Events may lack what the store adds (id, at, offset, who, schema). The job is not looked into.
    Raises InputError naming the field that is wrong, NewerDocument for a later version's document.
    """
    document = _read(source) if isinstance(source, str | bytes) else source
    if not isinstance(document, Mapping):
        raise InputError("document", document, "an object with schema, job and events is wanted")
    refuse_newer(document.get("schema"), "schema")
    if document.get("schema") != SCHEMA or isinstance(document["schema"], bool):
        raise InputError("schema", document.get("schema"), f"{SCHEMA} is wanted")
    for name in document:
        if name not in _FIELDS:
            raise InputError(str(name), document[name], "only schema, job and events are wanted")
    return PartDocument(_job(document.get("job")), _events(document.get("events")))


def _read(source: str | bytes) -> Any:
    try:
        text = source.decode("utf-8-sig") if isinstance(source, bytes) else source
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_no_repeats)
    except InputError:
        raise
    except UnicodeDecodeError as error:
        raise InputError("document", source, "text in UTF-8 is wanted") from error
    except (ValueError, RecursionError) as error:
        raise InputError("document", source, f"a JSON object is wanted ({error})") from error


def _no_constant(word: str) -> Any:
    raise InputError("document", word, "a number is wanted")


def _no_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object whose names are all different: of two values for one name, neither can be trusted."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise InputError(twice, [value for name, value in pairs if name == twice], "one value is wanted")
    return found


def _job(job: Any) -> dict[str, Any]:
    if not isinstance(job, Mapping):
        raise InputError("job", job, "an object describing the job is wanted")
    copied: dict[str, Any] = plain(job, "job")
    return copied


def _events(events: Any) -> list[Event]:
    if not isinstance(events, list | tuple):
        raise InputError("events", events, "a list of events is wanted, empty if nothing was logged")
    log = [_event(event, f"events[{i}]") for i, event in enumerate(events)]
    ids: set[str] = set()
    for i, event in enumerate(log):
        if event.get("id") in ids:
            raise InputError(f"events[{i}].id", event["id"], "an id of its own is wanted")
        if "id" in event:
            ids.add(event["id"])
    effective(log)
    return log


def _event(event: Any, field: str) -> Event:
    copied = plain_event(event, field)
    refuse_newer(copied.get("schema"), f"{field}.schema")
    for name in ("id", "at", "offset", "who", "of"):
        if name in copied and not isinstance(copied[name], str):
            raise InputError(f"{field}.{name}", copied[name], "text is wanted")
    if "at" in copied:
        _check_moment(copied["at"], f"{field}.at")
    return copied


def _check_moment(at: str, field: str) -> None:
    wanted = "a date and time in UTC is wanted, such as 2030-05-17T09:30:00Z"
    try:
        moment = datetime.fromisoformat(at)
    except ValueError as error:
        raise InputError(field, at, wanted) from error
    if moment.tzinfo is None:
        raise InputError(field, at, wanted)
