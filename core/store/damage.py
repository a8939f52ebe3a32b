"""What is known of a document that could not be opened."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import PurePath

from core.errors import NewerDocument, StoreError
from core.store.clock import local_now
from core.store.envelope import decode, encode, salvaged
from core.store.folder import SETTINGS, Folder, MemoryFolder
from core.store.part import PartCard, PartFile
from core.store.seals import Broken, Seals
from core.store.storage import DocumentStorage


@dataclass(frozen=True)
class Damage:
    """A document that could not be opened; everything else in the shop could.

    part_id : to be given to ``Shop.restore``; "settings" for the shop's settings
    name : of the part as last known, may be empty; path : of the file
    error : why it could not be opened
    has_copy : whether ``Shop.restore`` can bring back a sound copy
    copy : card of that copy, None for the settings and when there is no sound copy
    readable : a part's document that can be read all the same; ``Shop.accept`` takes it as it stands
    broken : then what its seals name, entry by entry
    """

    part_id: str
    name: str
    path: str
    error: StoreError | NewerDocument
    has_copy: bool = False
    copy: PartCard | None = None
    readable: bool = False
    broken: tuple[Broken, ...] = ()

    @property
    def what(self) -> str:
        """What is wrong, as a sentence without the path."""
        return self.error.what if isinstance(self.error, StoreError) else str(self.error)

    @property
    def file(self) -> str:
        """Name of the file, without the folders that it is in."""
        return PurePath(self.path).name

    @property
    def is_settings(self) -> bool:
        """Whether it is no part, but the shop's settings."""
        return self.part_id == SETTINGS

    @property
    def is_newer(self) -> bool:
        """Whether a newer version wrote it: sound, left alone, not to be restored."""
        return isinstance(self.error, NewerDocument)


def damage_of(folder: Folder, part_id: str, name: str, error: StoreError | NewerDocument) -> Damage:
    """What can be said of a document of ``folder`` that raised ``error``.

    name : of the part as last known, empty when not known; the copy's name stands in for it.
    """
    path = folder.path(part_id)
    if isinstance(error, NewerDocument):
        return Damage(part_id, name, path, error)
    seals = _seals(folder, part_id)
    found = Damage(
        part_id, name, path, error, readable=seals is not None, broken=seals.broken if seals else ()
    )
    try:
        raw = folder.read_copy(part_id)
        card = None if raw is None else _card(part_id, raw)
    except (StoreError, NewerDocument):
        return found
    return replace(found, name=name or (card.name if card else ""), has_copy=raw is not None, copy=card)


def salvaged_part(folder: Folder, part_id: str) -> bytes | None:
    """A part's document as it stands under a checksum of its own; None where it cannot be read as one."""
    try:
        raw = folder.read(part_id)
        tables = None if part_id == SETTINGS or raw is None else salvaged(raw)
        if tables is None:
            return None
        made = encode(tables)
        _part(part_id, made)
    except (StoreError, NewerDocument, ValueError):
        return None
    return made


def _seals(folder: Folder, part_id: str) -> Seals | None:
    """What the seals say of a damaged document that can be read."""
    made = salvaged_part(folder, part_id)
    return None if made is None else _part(part_id, made).seals


def _card(part_id: str, raw: bytes) -> PartCard | None:
    """Card of a copy. Raises DamagedDocument, NewerDocument when the copy is not sound either."""
    if part_id == SETTINGS:
        decode(raw, part_id)
        return None
    return _part(part_id, raw).card


def _part(part_id: str, raw: bytes) -> PartFile:
    """The part in these bytes, apart from the shop."""
    apart = MemoryFolder()
    apart.contents[part_id] = raw
    return PartFile(part_id, DocumentStorage(apart, part_id), local_now, lambda _: None)
