"""TinyDB storage over one document of a folder: checked when read, replaced whole when written."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from tinydb.storages import Storage

from core.errors import GapwrightError, StoreError
from core.store.envelope import Tables, decode, encode
from core.store.folder import Folder


class DocumentStorage(Storage):
    """Reads and writes one document; several changes can go to disk as one.

    The tables are read once and then kept: the folder's lock sees to it that nobody else writes.
    """

    def __init__(self, folder: Folder, name: str) -> None:
        """Read the document, if there is one. Raises DamagedDocument or NewerDocument."""
        self.path = folder.path(name)
        self._folder = folder
        self._name = name
        raw = folder.read(name)
        self._tables: Tables | None = None if raw is None else decode(raw, self.path)
        self._pending: Tables | None = None
        self._together = False
        self._refusal: GapwrightError | None = None

    def read(self) -> Tables | None:
        """The tables as they stand. What is on disk is copied, for TinyDB may change documents in place."""
        if self._pending is not None:
            return self._pending
        return None if self._tables is None else _copied(self._tables)

    def write(self, data: Tables) -> None:
        """Replace the document, durable on return. When it fails, the former state stays, here too.

        data : belongs to the storage from now on, as TinyDB hands it in.
        Raises StoreError; TypeError or ValueError for what JSON cannot hold.
        """
        if self._refusal is not None:
            raise self._refusal
        if self._together:
            self._pending = data
            return
        self._folder.replace(self._name, encode(data))
        self._tables = data

    @contextmanager
    def together(self) -> Iterator[None]:
        """Make all changes inside the block one replacement at its end; none when it raises."""
        self._together = True
        try:
            yield
            self._together = False
            if self._pending is not None:
                self.write(self._pending)
        finally:
            self._together = False
            self._pending = None

    def close(self) -> None:
        """Refuse further writing: the folder may belong to another program from now on."""
        self.refuse(StoreError(self.path, "the shop was closed; open it again to record more"))

    def refuse(self, reason: GapwrightError) -> None:
        """Raise ``reason`` at every attempt to write from now on."""
        self._refusal = reason


def _copied(tables: Tables) -> Tables:
    return {
        name: {number: dict(document) for number, document in table.items()} for name, table in tables.items()
    }
