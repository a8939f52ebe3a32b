"""Bytes of one document file: a JSON object that carries the SHA-256 of its own contents.

Form, on one line::

    {"sha256":"<64 hex digits>","schema":1,"tables":{...}}

The digest covers every byte after the comma behind it, so that any changed byte is noticed: in the
digest, in the fixed text before it, or in what it covers.
"""

from __future__ import annotations

import hashlib
import json
from typing import Any

from core.errors import DamagedDocument, NewerDocument

SCHEMA = 1
Tables = dict[str, dict[str, dict[str, Any]]]
_HEAD = b'{"sha256":"'
_DIGITS = 64
_BODY = len(_HEAD) + _DIGITS + 2


def encode(tables: Tables) -> bytes:
    """File contents for these tables. Raises ValueError or TypeError for what JSON cannot hold."""
    text = json.dumps({"schema": SCHEMA, "tables": tables}, separators=(",", ":"), allow_nan=False)
    body = text[1:].encode("ascii") + b"\n"
    return _HEAD + _digest(body) + b'",' + body


def decode(raw: bytes, path: str) -> Tables:
    """The tables held by a file's contents.

    path : named in errors.
    Raises DamagedDocument saying what is wrong, NewerDocument for a schema of a later version.
    """
    body = raw[_BODY:]
    if not raw.startswith(_HEAD):
        # A later version that seals its files in another way begins them in another way.
        _refuse_newer(_loaded(raw), path)
        raise DamagedDocument(path, _what_is_wrong(raw))
    if raw[len(_HEAD) : _BODY] != _digest(body) + b'",':
        raise DamagedDocument(path, _what_is_wrong(raw))
    document = _loaded(b"{" + body)
    _refuse_newer(document, path)
    if not isinstance(document, dict) or not _are_tables(document.get("tables")):
        raise DamagedDocument(path, "the file is not a record of this program")
    tables: Tables = document["tables"]
    return tables


def salvaged(raw: bytes) -> Tables | None:
    """The tables that can still be read, whatever the checksum says; None where there are none."""
    document = _loaded(raw)
    tables = document.get("tables") if isinstance(document, dict) else None
    return tables if _are_tables(tables) else None


def refuse_newer(schema: Any, field: str) -> None:
    """Raise NewerDocument when ``schema`` is a whole number above the one this version writes."""
    if isinstance(schema, int) and not isinstance(schema, bool) and schema > SCHEMA:
        wanted = f"{SCHEMA} is the newest this version reads; open it with the newer version that wrote it"
        raise NewerDocument(field, schema, wanted)


def _digest(body: bytes) -> bytes:
    return hashlib.sha256(body).hexdigest().encode("ascii")


def _loaded(raw: bytes) -> Any:
    """What the bytes hold as JSON, or None: not being JSON is damage, which the caller names."""
    try:
        return json.loads(raw)
    except (ValueError, RecursionError):
        return None


def _refuse_newer(document: Any, path: str) -> None:
    if isinstance(document, dict):
        refuse_newer(document.get("schema"), f"{path}: schema")


def _what_is_wrong(raw: bytes) -> str:
    if not raw.strip(b"\0 \r\n\t"):
        return "the file is empty"
    if not raw.startswith(_HEAD):
        return "the file does not begin as a record of this program"
    if not raw.endswith(b"}\n"):
        return "the file is cut short"
    return "the contents do not match their checksum"


def _are_tables(tables: Any) -> bool:
    return isinstance(tables, dict) and all(
        isinstance(table, dict) and all(isinstance(document, dict) for document in table.values())
        for table in tables.values()
    )
