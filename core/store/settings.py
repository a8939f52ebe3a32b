"""Shop-wide settings: names with plain values, kept in a document like those of the parts."""

from __future__ import annotations

from typing import Any

from tinydb import TinyDB
from tinydb.table import Document

from core.errors import InputError
from core.jsontext import json_ready
from core.store.codec import copied
from core.store.storage import DocumentStorage


class Settings:
    """Values by name, such as the operator, the palette, the screen's measure, the gauges owned."""

    def __init__(self, storage: DocumentStorage) -> None:
        """Settings as they were left."""
        self._storage = storage
        self._base = TinyDB(storage=lambda: storage)
        self._table = self._base.table("settings")

    def get(self, name: str, default: Any = None) -> Any:
        """The value, a copy, or ``default`` when it was never set."""
        return self.all().get(name, default)

    def all(self) -> dict[str, Any]:
        """All values by name; copies."""
        found = self._table.get(doc_id=1)
        values: dict[str, Any] = copied({} if found is None else found)
        return values

    def set(self, name: str, value: Any) -> None:
        """Set a value, durable on return. Raises InputError for what JSON cannot hold, StoreError."""
        if not isinstance(name, str) or not name:
            raise InputError("name", name, "the name of a setting is wanted")
        with self._storage.together():
            self._table.upsert(Document({name: json_ready(value, name)}, doc_id=1))

    def close(self) -> None:
        """Refuse further changes; reading goes on."""
        self._base.close()
