"""The bytes on disk: form, seal, and that any change to them is noticed.

The seal is checked with ``hashlib`` against FIPS 180-4's own example, so that it is SHA-256 that is kept.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import DamagedDocument, NewerDocument
from core.store import Shop
from core.store.envelope import decode, encode

NOTE = {"event": "note", "text": "edge filed"}
SHOP = Callable[[], Shop]
TABLES = {"part": {"1": {"job": {"name": "rib"}}}, "events": {"1": NOTE, "2": NOTE}}


def resealed(document: dict[str, object]) -> bytes:
    """A file as another version would write it, its seal right."""
    body = json.dumps(document)[1:].encode() + b"\n"
    return b'{"sha256":"' + hashlib.sha256(body).hexdigest().encode() + b'",' + body


def test_the_library_computes_the_published_digest() -> None:
    """FIPS 180-4 / NIST example: SHA-256 of "abc" (from memory)."""
    published = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(b"abc").hexdigest() == published


def test_a_part_file_is_one_json_object_that_carries_its_digest(opened: SHOP, data: Path) -> None:
    shop = opened()
    part_id = shop.new_part({"name": "rib"})
    event = shop.open(part_id).append(NOTE)
    raw = (data / "parts" / f"{part_id}.json").read_bytes()
    document = json.loads(raw)
    assert list(document) == ["sha256", "schema", "tables"]
    assert document["schema"] == 1
    assert document["sha256"] == hashlib.sha256(raw.split(b",", 1)[1]).hexdigest()
    assert document["tables"]["part"]["1"]["job"] == {"name": "rib"}
    assert document["tables"]["events"] == {"1": event}


def test_the_copy_is_the_state_before_the_last_change(opened: SHOP, data: Path) -> None:
    shop = opened()
    part = shop.open(shop.new_part({"name": "rib"}))
    path = data / "parts" / f"{part.id}.json"
    copy = path.with_name(path.name + ".last")
    assert copy.read_bytes() == path.read_bytes()
    assert not copy.samefile(path)
    for _ in range(3):
        before = path.read_bytes()
        part.append(NOTE)
        assert copy.read_bytes() == before != path.read_bytes()
        assert not copy.samefile(path)


def test_the_folder_holds_nothing_else(opened: SHOP, data: Path) -> None:
    shop = opened()
    part = shop.open(shop.new_part({"name": "rib"}))
    part.append(NOTE)
    shop.settings.set("palette", "dim shop")
    shop.close()
    found = sorted(str(path.relative_to(data)) for path in data.rglob("*") if path.is_file())
    parts = [f"parts/{part.id}.json", f"parts/{part.id}.json.last"]
    assert found == ["index.lines", *parts, "settings.json", "settings.json.last", "shop.lock"]


def test_every_flipped_bit_is_noticed() -> None:
    raw = encode(TABLES)
    assert decode(raw, "rib") == TABLES
    for place in range(len(raw)):
        for bit in range(8):
            changed = bytearray(raw)
            changed[place] ^= 1 << bit
            with pytest.raises(DamagedDocument):
                decode(bytes(changed), "rib")


def test_every_truncation_is_noticed() -> None:
    raw = encode(TABLES)
    for length in range(len(raw)):
        with pytest.raises(DamagedDocument):
            decode(raw[:length], "rib")


@pytest.mark.property
@given(st.binary(max_size=200))
def test_foreign_bytes_are_named_as_damage(raw: bytes) -> None:
    with pytest.raises(DamagedDocument):
        decode(raw, "rib")


@pytest.mark.parametrize(
    ("raw", "what"),
    [
        (b"", "the file is empty"),
        (b"\0" * 4096, "the file is empty"),
        (b"shutter rib", "the file does not begin as a record of this program"),
        (b"[1, 2]", "the file does not begin as a record of this program"),
        (b'{"name": "rib"}', "the file does not begin as a record of this program"),
        (b"[" * 100_000, "the file does not begin as a record of this program"),
        (encode(TABLES)[:-20], "the file is cut short"),
        (encode(TABLES).replace(b"filed", b"field"), "the contents do not match their checksum"),
        (resealed({"schema": 1}), "the file is not a record of this program"),
        (resealed({"schema": 1, "tables": []}), "the file is not a record of this program"),
        (resealed({"schema": 1, "tables": {"part": {"1": 5}}}), "the file is not a record of this program"),
    ],
)
def test_what_is_wrong_is_said(raw: bytes, what: str) -> None:
    with pytest.raises(DamagedDocument) as damage:
        decode(raw, "parts/rib.json")
    assert str(damage.value) == f"parts/rib.json: {what}"


@pytest.mark.parametrize(
    "raw", [resealed({"schema": 2, "tables": {}}), b'{"schema": 2, "sealed": "otherwise"}']
)
def test_a_newer_schema_is_told_from_damage(raw: bytes) -> None:
    with pytest.raises(NewerDocument) as newer:
        decode(raw, "parts/rib.json")
    assert newer.value.value == 2
    assert str(newer.value).startswith("parts/rib.json: schema: 2 cannot be used; 1 is the newest")
