"""A job with its log as one JSON document, for scripts, the office and the command line.

Form::

    {"schema": 1, "job": {...}, "events": [...]}

Text in, text out; no file is touched here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from core.errors import InputError, NewerDocument
from core.events import Event
from core.jobdoc import job as job_from
from core.jobfields import MissingField, nearest
from core.joblog import checked_log
from core.jobtypes import Job
from core.jsontext import json_ready, read_json, write_json

SCHEMA = 1
FIELDS = ("schema", "job", "events")


@dataclass(frozen=True)
class JobDocument:
    """A job and its log, both checked. job.document holds the job as it was given."""

    job: Job
    events: tuple[Event, ...]

    def text(self) -> str:
        """JSON text that :func:`read_document` reads back to the same job and log."""
        return write_document(self.job.document, self.events)

    def begun(self) -> str:
        """The same as a part is begun with it: what the job left open is stated, unless seals of the log hold
        the job as it is."""
        sealed = any("seal" in event for event in self.events)
        return write_document(self.job.document if sealed else self.job.settled_document, self.events)


def read_document(text: str | bytes, field: str = "document") -> JobDocument:
    """Job and log from JSON text (UTF-8).

    Raises NewerDocument for a schema of a newer version, InputError for everything else that cannot
    be used: an empty text, not JSON (with line and column), an unknown field, a bad job, a bad event.
    """
    given = read_json(text, field)
    if not isinstance(given, dict):
        raise InputError(
            field, type(given).__name__, 'an object {"schema": 1, "job": ..., "events": ...} is wanted'
        )
    if "schema" not in given:
        raise MissingField("schema", f'"schema": {SCHEMA} has to stand beside "job" and "events"')
    check_schema(given["schema"], "schema")
    for key in given:
        if key not in FIELDS:
            raise InputError(key, given[key], f"there is no such field{nearest(key, dict.fromkeys(FIELDS))}")
    if "job" not in given:
        raise MissingField("job")
    events = given.get("events", [])
    if not isinstance(events, list):
        raise InputError("events", events, "a list of events is wanted")
    job = job_from(given["job"]) if isinstance(given["job"], dict) else _refuse_job(given["job"])
    return JobDocument(job, tuple(checked_log(job, events)))


def write_document(job_document: Mapping[str, Any], events: Sequence[Mapping[str, Any]]) -> str:
    """JSON text of a job document and its log. Raises InputError for what JSON cannot hold."""
    whole = {"schema": SCHEMA, "job": dict(job_document), "events": list(events)}
    return write_json(json_ready(whole))


def check_schema(schema: Any, field: str) -> None:
    """Raises NewerDocument above the schema of this version, InputError for what is none."""
    if isinstance(schema, bool) or not isinstance(schema, int) or schema < 1:
        raise InputError(field, schema, f"the version of the document's form, {SCHEMA}, is wanted")
    if schema > SCHEMA:
        raise NewerDocument(
            field,
            schema,
            f"this version reads up to {SCHEMA}; a newer one is needed, and nothing was changed",
        )


def _refuse_job(value: Any) -> Job:
    raise InputError("job", value, "an object with the fields of a job is wanted")
