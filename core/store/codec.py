"""One part as plain JSON: ``{"schema": 1, "job": {...}, "events": [...]}``; no files are opened here."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from core.errors import InputError
from core.events import Event, checked, effective
from core.jsontext import json_ready, read_json
from core.store.envelope import SCHEMA, refuse_newer

_FIELDS = ("schema", "job", "events")


class PartDocument(NamedTuple):
    """A job with its log, as they stand in a document."""

    job: dict[str, Any]
    events: list[Event]


def copied(value: Any) -> Any:
    """A copy of a JSON-ready value."""
    return json.loads(json.dumps(value))


def plain_event(event: Any, field: str = "event") -> Event:
    """A checked, JSON-ready copy of an event. Raises InputError naming the field that is wrong."""
    return checked(json_ready(event, field), field)


def to_document(job: Mapping[str, Any], events: Iterable[Event]) -> dict[str, Any]:
    """The JSON-ready document of a job and its log; copies, nothing of the arguments is shared."""
    return {"schema": SCHEMA, "job": json_ready(job, "job"), "events": json_ready(list(events), "events")}


def from_document(source: Mapping[str, Any] | str | bytes) -> PartDocument:
    """The job and the checked log in a document, given as a mapping or as JSON text.

    The log may be missing, and its events may lack what the store adds (id, at, offset, who, schema).
    The job is not looked into.
    Raises InputError naming the field that is wrong, NewerDocument for a later version's document.
    """
    document = read_json(source) if isinstance(source, str | bytes) else source
    if not isinstance(document, Mapping):
        raise InputError("document", document, "an object with schema, job and events is wanted")
    refuse_newer(document.get("schema"), "schema")
    if document.get("schema") != SCHEMA or isinstance(document["schema"], bool):
        raise InputError("schema", document.get("schema"), f"{SCHEMA} is wanted")
    for name in document:
        if name not in _FIELDS:
            raise InputError(str(name), document[name], "only schema, job and events are wanted")
    return PartDocument(_job(document.get("job")), _events(document.get("events", [])))


def _job(job: Any) -> dict[str, Any]:
    if not isinstance(job, Mapping):
        raise InputError("job", job, "an object describing the job is wanted")
    ready: dict[str, Any] = json_ready(job, "job")
    return ready


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
    ready = plain_event(event, field)
    refuse_newer(ready.get("schema"), f"{field}.schema")
    for name in ("id", "at", "offset", "who", "of"):
        if name in ready and not isinstance(ready[name], str):
            raise InputError(f"{field}.{name}", ready[name], "text is wanted")
    if "at" in ready:
        _check_moment(ready["at"], f"{field}.at")
    return ready


def _check_moment(at: str, field: str) -> None:
    wanted = "a date and time in UTC is wanted, such as 2030-05-17T09:30:00Z"
    try:
        moment = datetime.fromisoformat(at)
    except ValueError as error:
        raise InputError(field, at, wanted) from error
    if moment.tzinfo is None:
        raise InputError(field, at, wanted)
