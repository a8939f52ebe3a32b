"""The shop: all parts' records in one data folder, open to one writer at a time."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import TracebackType
from typing import Any

from core.errors import DamagedDocument, InputError, NewerDocument, StoreError
from core.store.clock import Clock, local_now, stamped
from core.store.codec import from_document, to_document
from core.store.damage import Damage, damage_of, salvaged_part
from core.store.disk import DiskFolder
from core.store.folder import SETTINGS, Folder, MemoryFolder
from core.store.index import Index
from core.store.part import PartCard, PartFile, new_id, write_part
from core.store.seals import Seals
from core.store.settings import Settings
from core.store.storage import DocumentStorage

_MISSING = "the file is missing"


class Shop:
    """All parts of a shop. One Shop has the folder at a time; use it from one thread, and close it.

    ``settings`` holds the shop-wide values.
    """

    settings: Settings

    def __init__(self, folder: str | os.PathLike[str] | Folder, *, now: Clock = local_now) -> None:
        """Open the shop, making the folder if it is not there.

        folder : path of the data folder, or a Folder such as MemoryFolder
        now : the clock; returns the present moment with its offset
        Raises ShopInUse, and StoreError when the folder itself cannot be used. Damaged documents do
        not keep the shop from opening; see ``damaged``.
        """
        self._folder = folder if isinstance(folder, Folder) else DiskFolder(Path(folder))
        self._now = now
        self._open: dict[str, PartFile] = {}
        self._damage: dict[str, Damage] = {}
        self._closed = False
        try:
            self._index = Index(self._folder)
            self._read_parts(every_one=False)
            self._read_settings()
        except BaseException:
            self._folder.close()
            raise

    def __enter__(self) -> Shop:
        """The shop itself."""
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Close the shop."""
        self.close()

    def close(self) -> None:
        """Let others have the folder. What was handed out can still be read, not changed."""
        self._closed = True
        for part in self._open.values():
            part.close()
        self.settings.close()
        self._folder.close()

    def parts(self) -> list[PartCard]:
        """Cards of all sound parts, the one changed last first."""
        return sorted(self._index.cards(), key=lambda card: (card.changed_at, card.id), reverse=True)

    def new_part(self, job_document: Mapping[str, Any]) -> str:
        """Begin the record of a part; durable on return. Returns its id. What a job left open is best stated
        by then (``Job.settled_document``): its document never changes.

        Raises InputError when the job cannot be held as JSON, StoreError when the disk fails.
        """
        return self.import_part(to_document(job_document, []))

    def import_part(self, document: Mapping[str, Any] | str | bytes) -> str:
        """Begin the record of a part from a plain document with its log (see PartFile.document).

        What the events lack of id, at, offset, who and schema is added. Returns the part's id.
        Raises InputError or NewerDocument, naming the field; StoreError when the disk fails.
        """
        job, events = from_document(document)
        part_id = new_id()
        write_part(self._storage(part_id), job, events, stamped(self._now()))
        self._take_over(part_id)
        return part_id

    def open(self, part_id: str) -> PartFile:
        """The record of a part; the same object at each call.

        Raises InputError for an id that is not of this shop, DamagedDocument, NewerDocument.
        """
        if part_id not in self._open:
            if part_id not in self._index and part_id not in self._damage:
                raise InputError("part_id", part_id, "the id of a part of this shop is wanted")
            self._open[part_id] = self._read(part_id)
        return self._open[part_id]

    def damaged(self) -> list[Damage]:
        """What could not be opened, as far as it was found; ``check`` looks at everything."""
        return list(self._damage.values())

    def check(self) -> list[Damage]:
        """Read every part again, rebuild the index from them, and return what is damaged."""
        self._read_parts(every_one=True)
        return self.damaged()

    def restore(self, part_id: str) -> None:
        """Bring back the last good copy of a damaged document; the damaged file is set aside, not lost.

        The copy is the state before the last change, so the last entry may be missing; a note in the
        part's log says so. Raises InputError when the document is not known as damaged, NewerDocument
        when it is sound but newer, DamagedDocument when there is no sound copy.
        """
        damage = self._damage.get(part_id)
        if damage is None:
            raise InputError("part_id", part_id, "the id of a damaged document is wanted")
        if damage.is_newer:
            raise damage.error
        copy = self._folder.read_copy(part_id)
        if copy is None or not damage.has_copy:
            raise DamagedDocument(damage.path, "there is no sound copy to bring back")
        self._folder.set_aside(part_id)
        self._folder.replace(part_id, copy)
        del self._damage[part_id]
        if part_id == SETTINGS:
            self._read_settings()
        else:
            self._take_over(part_id)
            self._open[part_id].append({"event": "note", "text": _restored(damage)})

    def accept(self, part_id: str) -> None:
        """Take a damaged document of a part as it stands, with a checksum of its own.

        The file as it was found and the last good copy are set aside; the seals go on naming what was
        changed, and a note in the part's log says what was done. Raises InputError when the document is
        not known as damaged, DamagedDocument when it cannot be read.
        """
        damage = self._damage.get(part_id)
        if damage is None:
            raise InputError("part_id", part_id, "the id of a damaged document is wanted")
        found, copy = salvaged_part(self._folder, part_id), self._folder.read_copy(part_id)
        if found is None or damage.is_newer:
            raise DamagedDocument(damage.path, "its entries cannot be read")
        self._folder.set_aside(part_id)
        if copy is not None:  # a new document takes the place of the copy too, so it goes aside first
            self._folder.replace(part_id, copy)
            self._folder.set_aside(part_id)
        self._folder.replace(part_id, found)
        del self._damage[part_id]
        self._take_over(part_id)
        self._open[part_id].append({"event": "note", "text": _accepted(damage)})

    def check_seals(self) -> Iterator[tuple[PartCard, Seals]]:
        """Every sound part with what its seals say, one after the other; reads each part's document."""
        for card in self.parts():
            try:
                part = self._open.get(card.id) or self._read(card.id)
            except (StoreError, NewerDocument):
                continue  # noted by _read
            yield card, part.seals

    def _storage(self, name: str) -> DocumentStorage:
        storage = DocumentStorage(self._folder, name)
        if self._closed:
            storage.close()
        return storage

    def _take_over(self, part_id: str) -> None:
        self._open[part_id] = self._read(part_id)
        self._index.record([self._open[part_id].card])

    def _read(self, part_id: str) -> PartFile:
        """The record as it is on disk now; when it cannot be opened, that is noted."""
        try:
            return PartFile(part_id, self._storage(part_id), self._now, self._told)
        except (StoreError, NewerDocument) as error:
            self._note(part_id, error)
            raise

    def _told(self, card: PartCard) -> None:
        self._damage.pop(card.id, None)
        self._index.record([card])

    def _note(self, part_id: str, error: StoreError | NewerDocument) -> None:
        self._damage[part_id] = damage_of(self._folder, part_id, self._index.name(part_id), error)
        self._index.forget([part_id])

    def _read_parts(self, every_one: bool) -> None:
        """Bring the index up to the parts that are there, reading those it does not speak of."""
        listing = self._folder.listing()
        cards = []
        for part_id, stamp in listing.stamps.items():
            if every_one or not self._index.is_current(part_id, stamp):
                try:
                    cards.append(self._read(part_id).card)
                except (StoreError, NewerDocument):
                    continue  # noted by _read
        for part_id in (self._index.ids() | listing.copies) - listing.stamps.keys():
            self._note(part_id, DamagedDocument(self._folder.path(part_id), _MISSING))
        self._index.record(cards)
        self._index.tidy()

    def _read_settings(self) -> None:
        """Settings as they were left; unreadable ones are noted, empty, and refuse to be changed."""
        try:
            storage = self._storage(SETTINGS)
            if storage.read() is None and self._folder.read_copy(SETTINGS) is not None:
                raise DamagedDocument(storage.path, _MISSING)
        except (StoreError, NewerDocument) as error:
            self._note(SETTINGS, error)
            storage = DocumentStorage(MemoryFolder(), SETTINGS)
            storage.refuse(error)
        self.settings = Settings(storage)


def _restored(damage: Damage) -> str:
    when = f" of {damage.copy.changed_at}" if damage.copy is not None else ""
    return f"Brought back from the last good copy{when}; what was recorded after it may be missing."


def _accepted(damage: Damage) -> str:
    named = "; ".join(broken.what for broken in damage.broken) or "no entry is named by its seal"
    return f"Taken as it stood, although the file was changed outside the program. {named}."
