"""One part's record: its job, its log that only grows, and what the Bench shows of it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import uuid4

from tinydb import TinyDB
from tinydb.table import Document, Table

from core.errors import DamagedDocument, InputError
from core.events import Event
from core.jsontext import json_ready
from core.store.clock import Clock, stamped
from core.store.codec import copied, plain_event
from core.store.envelope import SCHEMA
from core.store.seals import SEALED, Chain, Seals, chain_from, chain_of, check_seals, sealed, sealed_on
from core.store.storage import DocumentStorage

_ADDED = ("id", "at", "offset", "who", "schema", *SEALED)


@dataclass(frozen=True, slots=True)
class PartCard:
    """What the Bench shows of a part without opening its record.

    id : of the part; name, kind : as in its job, empty when the job has none
    created_at, changed_at : UTC, ISO 8601; event_count : length of the log
    summary_text : what the app last handed in, as JSON text
    """

    id: str
    name: str
    kind: str
    created_at: str
    changed_at: str
    event_count: int
    summary_text: str = "{}"

    @property
    def summary(self) -> dict[str, Any]:
        """What the app last handed in; a copy at each call."""
        summary: dict[str, Any] = json.loads(self.summary_text)
        return summary


class PartFile:
    """The record of one part. Every change is durable when the call returns.

    What is handed out are copies; the record changes through ``append`` and ``set_summary`` alone.
    """

    def __init__(self, part_id: str, storage: DocumentStorage, now: Clock, told: Callable[[PartCard], None]):
        """A record that is there. Raises DamagedDocument when the document is none of a part.

        told : called with the new card after each change.
        """
        self.id = part_id
        self._storage = storage
        self._now = now
        self._told = told
        if storage.read() is None:
            raise DamagedDocument(storage.path, "the file is missing")
        self._base = TinyDB(storage=lambda: storage)
        self._head = _head(self._base.table("part"), storage.path)
        self._log = self._base.table("events")
        self._ids = {event.get("id") for event in self._log}
        self._chain: Chain | None = chain_from(self._head.get("sealed"))

    @property
    def job_document(self) -> dict[str, Any]:
        """The job as it was set up."""
        job: dict[str, Any] = copied(self._head["job"])
        return job

    @property
    def events(self) -> list[Event]:
        """The whole log in the order of recording, withdrawn and corrected events included."""
        events: list[Event] = copied([dict(event) for event in self._log])
        return events

    @property
    def seals(self) -> Seals:
        """What the seals of the log say of it and of the job; the time goes with the length of the log."""
        return check_seals(self._head["job"], self._log, self._chain)

    @property
    def card(self) -> PartCard:
        """What the Bench shows of this part."""
        job, head = self._head["job"], self._head
        return PartCard(
            id=self.id,
            name=_text(job.get("name")),
            kind=_text(job.get("kind")),
            created_at=head["created_at"],
            changed_at=head["changed_at"],
            event_count=len(self._ids),
            summary_text=json.dumps(head["summary"], separators=(",", ":")),
        )

    def append(
        self,
        event: Mapping[str, Any],
        *,
        who: str = "",
        at: datetime | None = None,
        summary: Mapping[str, Any] | None = None,
    ) -> Event:
        """Record one event and return it as recorded, with id, at, offset, who, schema, number and seal.

        at : when it happened, with offset; the present moment when left out.
        summary : replaces what the Bench shows, in the same step.
        Raises InputError for an event that cannot be recorded, StoreError when the disk fails; the
        record is then as before.
        """
        moment = stamped(self._now() if at is None else at)
        recorded, chain = sealed(_recorded(event, moment, who), self._chain_now())
        if "of" in recorded and recorded["of"] not in self._ids:
            raise InputError("event.of", recorded["of"], "the id of an event of this part is wanted")
        head = {**self._head, "changed_at": moment["at"], "sealed": chain.document, **_summary(summary)}
        with self._storage.together():
            self._log.insert(recorded)
            self._base.table("part").upsert(Document(head, doc_id=1))
        self._ids.add(recorded["id"])
        self._chain = chain
        self._changed(head)
        copy: Event = copied(recorded)
        return copy

    def set_summary(self, summary: Mapping[str, Any]) -> None:
        """Replace what the Bench shows of this part. Raises InputError, StoreError as ``append``."""
        head = {**self._head, **_summary(summary)}
        self._base.table("part").upsert(Document(head, doc_id=1))
        self._changed(head)

    def document(self) -> dict[str, Any]:
        """The part as a plain document, ``{"schema": 1, "job": {...}, "events": [...]}``."""
        return {"schema": SCHEMA, "job": self.job_document, "events": self.events}

    def close(self) -> None:
        """Refuse further changes; reading goes on."""
        self._base.close()

    def _chain_now(self) -> Chain:
        """Of a log without seals, one that covers it as it is."""
        return self._chain or chain_of(self._head["job"], self.events)

    def _changed(self, head: dict[str, Any]) -> None:
        self._head = head
        self._told(self.card)


def write_part(
    storage: DocumentStorage, job: Mapping[str, Any], events: Iterable[Event], moment: Mapping[str, str]
) -> None:
    """Make a part's record in an empty storage, in one step.

    events : checked ones; what they lack of id, at, offset, who and schema is added, and the seals.
    """
    base = TinyDB(storage=lambda: storage)
    ready = json_ready(job, "job")
    log, chain = sealed_on(ready, [{**_added(moment, ""), **event} for event in events])
    head = {
        "job": ready,
        "created_at": moment["at"],
        "changed_at": moment["at"],
        "summary": {},
        "sealed": chain.document,
    }
    with storage.together():
        base.table("part").insert(head)
        base.table("events").insert_multiple(log)


def _recorded(event: Mapping[str, Any], moment: Mapping[str, str], who: str) -> Event:
    checked = plain_event(event)
    for name in _ADDED:
        if name in checked:
            raise InputError(f"event.{name}", checked[name], "an event without it is wanted")
    if not isinstance(who, str):
        raise InputError("who", who, "a name as text is wanted, empty if not known")
    return {**_added(moment, who), **checked}


def new_id() -> str:
    """An id that no part and no event had before, on any device."""
    return uuid4().hex


def _added(moment: Mapping[str, str], who: str) -> dict[str, Any]:
    return {"id": new_id(), **moment, "who": who, "schema": SCHEMA}


def _summary(summary: Mapping[str, Any] | None) -> dict[str, Any]:
    if summary is None:
        return {}
    if not isinstance(summary, Mapping):
        raise InputError("summary", summary, "an object is wanted")
    return {"summary": json_ready(summary, "summary")}


def _head(table: Table, path: str) -> dict[str, Any]:
    head = table.get(doc_id=1)
    if not isinstance(head, dict) or not all(
        isinstance(head.get(name), kind)
        for name, kind in (("job", dict), ("created_at", str), ("changed_at", str), ("summary", dict))
    ):
        raise DamagedDocument(path, "the file is not the record of a part")
    return dict(head)


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""
