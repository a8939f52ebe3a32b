"""Where the documents of a shop lie, as bytes under names; the disk and the memory keep one contract."""

from __future__ import annotations

import zlib
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass, field

from core.errors import StoreError

SETTINGS = "settings"


@dataclass(frozen=True, slots=True)
class Stamp:
    """Tells, without reading it, whether a document is still the one that the index speaks of."""

    size: int
    changed_ns: int


@dataclass(frozen=True)
class Listing:
    """What lies in the folder: the parts' documents with their stamps, and whose copies there are."""

    stamps: Mapping[str, Stamp] = field(default_factory=dict)
    copies: frozenset[str] = frozenset()


class Folder(ABC):
    """Documents as bytes under names: the parts by their id, and ``SETTINGS``.

    Beside each document the last good copy is kept: the state before the last replacement, or the
    first state while there was none. Every method raises StoreError when the place fails.
    """

    @abstractmethod
    def path(self, name: str) -> str:
        """Where the document lies, for messages."""

    @abstractmethod
    def read(self, name: str) -> bytes | None:
        """Contents of the document, None when there is none."""

    @abstractmethod
    def read_copy(self, name: str) -> bytes | None:
        """Contents of its last good copy, None when there is none."""

    @abstractmethod
    def replace(self, name: str, contents: bytes) -> None:
        """Put new contents in place, whole or not at all, durable on return; the old become the copy."""

    @abstractmethod
    def set_aside(self, name: str) -> None:
        """Take a damaged document out of the way, under another name, unchanged; the copy stays."""

    @abstractmethod
    def stamp(self, name: str) -> Stamp:
        """Stamp of a part's document that is there."""

    @abstractmethod
    def listing(self) -> Listing:
        """All parts' documents and copies."""

    @abstractmethod
    def read_index(self) -> bytes:
        """Contents of the index, empty when there is none."""

    @abstractmethod
    def write_index(self, contents: bytes) -> None:
        """Replace the index. Not durable: it can be rebuilt."""

    @abstractmethod
    def extend_index(self, contents: bytes) -> None:
        """Add to the end of the index. Not durable: it can be rebuilt."""

    @abstractmethod
    def close(self) -> None:
        """Let go of the place; calling it again does nothing."""


class MemoryFolder(Folder):
    """A folder in memory, for trying out and for tests; it can be closed and opened again."""

    def __init__(self) -> None:
        """An empty folder."""
        self.contents: dict[str, bytes] = {}
        self.copies: dict[str, bytes] = {}
        self.aside: list[tuple[str, bytes]] = []
        self.index = b""

    def path(self, name: str) -> str:
        """As Folder.path."""
        return f"memory:{name}"

    def read(self, name: str) -> bytes | None:
        """As Folder.read."""
        return self.contents.get(name)

    def read_copy(self, name: str) -> bytes | None:
        """As Folder.read_copy."""
        return self.copies.get(name)

    def replace(self, name: str, contents: bytes) -> None:
        """As Folder.replace."""
        self.copies[name] = self.contents.get(name, contents)
        self.contents[name] = contents

    def set_aside(self, name: str) -> None:
        """As Folder.set_aside."""
        if name in self.contents:
            self.aside.append((name, self.contents.pop(name)))

    def stamp(self, name: str) -> Stamp:
        """As Folder.stamp."""
        if name not in self.contents:
            raise StoreError(self.path(name), "the document is missing")
        # There is no clock here; a sum of the contents changes with them as well.
        return Stamp(len(self.contents[name]), zlib.crc32(self.contents[name]))

    def listing(self) -> Listing:
        """As Folder.listing."""
        parts = {name: self.stamp(name) for name in self.contents if name != SETTINGS}
        return Listing(parts, frozenset(self.copies) - {SETTINGS})

    def read_index(self) -> bytes:
        """As Folder.read_index."""
        return self.index

    def write_index(self, contents: bytes) -> None:
        """As Folder.write_index."""
        self.index = contents

    def extend_index(self, contents: bytes) -> None:
        """As Folder.extend_index."""
        self.index += contents

    def close(self) -> None:
        """As Folder.close; what was stored stays, to be opened again."""
