"""Seals: every change by hand is named, whatever its kind, and nothing is refused for it.

SHA-256 itself is held against the example of FIPS 180-4 (the message "abc", from memory).
"""

from __future__ import annotations

import copy
import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import core.events as log
from core.errors import DamagedDocument, InputError
from core.store import MemoryFolder, Shop, check_seals
from core.store.envelope import decode, encode

JOB = {"name": "Shutter rib 3", "kind": "section", "tolerance": "0.5 mm"}  # invented
EVENTS = [
    log.pass_done("shrink", [0, 3, 1]),
    log.gaps_read([0.1, None, "touching"]),
    log.annealed(),
    log.check_read("twist", 0.3),
    log.signed_off("A. Worker"),
]
Document = dict[str, Any]


def recorded() -> Document:
    """A part of five entries as the store writes it."""
    with Shop(MemoryFolder()) as shop:
        part = shop.open(shop.new_part(JOB))
        for event in EVENTS:
            part.append(event)
        return part.document()


def named(document: Document) -> list[tuple[int, str]]:
    return [(b.number, b.event) for b in check_seals(document["job"], document["events"]).broken]


def test_the_chain_is_what_its_description_says() -> None:
    """Reckoned anew with hashlib alone, from the words in DEVELOPERS.md."""
    assert hashlib.sha256(b"abc").hexdigest().startswith("ba7816bf8f01cfea414140de5dae2223")

    def text(value: Any) -> str:
        return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True)

    document = recorded()
    seal = hashlib.sha256(text({"job": document["job"], "unsealed": []}).encode()).hexdigest()
    for number, event in enumerate(document["events"], 1):
        plain = {name: value for name, value in event.items() if name != "seal"}
        assert event["number"] == number
        seal = hashlib.sha256((seal + text(plain)).encode()).hexdigest()
        assert event["seal"] == seal


def change_a_value(document: Document) -> None:
    document["events"][1]["gaps_mm"][0] = 0.05


def change_who(document: Document) -> None:
    document["events"][3]["who"] = "somebody else"


def take_one_out(document: Document) -> None:
    del document["events"][2]


def swap_two(document: Document) -> None:
    events = document["events"]
    events[1], events[2] = events[2], events[1]


def put_one_in(document: Document) -> None:
    document["events"].insert(2, log.note("all was well"))


def put_a_copy_in(document: Document) -> None:
    document["events"].append(copy.deepcopy(document["events"][0]))


def change_a_seal(document: Document) -> None:
    document["events"][1]["seal"] = "0" * 64


def renumber(document: Document) -> None:
    del document["events"][2]
    for number, event in enumerate(document["events"], 1):
        event["number"] = number


def change_the_job(document: Document) -> None:
    document["job"]["tolerance"] = "5 mm"


@pytest.mark.parametrize(
    ("change", "found"),
    [
        (change_a_value, [(2, "gaps_read")]),
        (change_who, [(4, "check_read")]),
        (take_one_out, [(3, "")]),
        (swap_two, [(2, "gaps_read")]),
        (put_one_in, [(3, "note")]),
        (put_a_copy_in, [(1, "pass_done")]),
        (change_a_seal, [(2, "gaps_read")]),
        (renumber, [(3, "check_read"), (4, "signed_off")]),
        (change_the_job, [(1, "pass_done")]),
    ],
)
def test_a_change_by_hand_is_named(change: Callable[[Document], None], found: list[tuple[int, str]]) -> None:
    document = recorded()
    assert named(document) == []
    change(document)
    assert named(document) == found


def test_a_chain_reckoned_anew_looks_whole_but_ends_in_another_seal() -> None:
    """What the seals do not protect against, and what a seal that was written down does."""
    document = recorded()
    signed = document["events"][-1]["seal"]
    for event in document["events"]:
        del event["number"], event["seal"]
    change_a_value(document)
    with Shop(MemoryFolder()) as shop:
        forged = shop.open(shop.import_part(document))
        assert forged.seals.broken == ()
        assert forged.seals.last != signed


def changed_on_disk(folder: MemoryFolder, part_id: str, change: Callable[[Any], None], seal: bool) -> None:
    """The part's file edited; seal : with the checksum of the file put right as well."""
    raw = folder.contents[part_id]
    tables = decode(raw, "here")
    change(tables)
    head, body = raw[:76], encode(tables)
    folder.contents[part_id] = body if seal else head + body[76:]


@pytest.fixture
def shelf() -> tuple[MemoryFolder, str]:
    """A folder with one part of five entries, closed."""
    folder = MemoryFolder()
    with Shop(folder) as shop:
        part_id = shop.new_part(JOB)
        for event in EVENTS:
            shop.open(part_id).append(event)
    return folder, part_id


def end_cut(tables: Any) -> None:
    del tables["events"]["5"], tables["events"]["4"]


def other_job(tables: Any) -> None:
    tables["part"]["1"]["job"]["tolerance"] = "5 mm"


@pytest.mark.parametrize(
    ("change", "what"),
    [
        (end_cut, "Entries 4 to 5 are missing: taken out after recording"),
        (other_job, "The job was changed after it was recorded"),
    ],
)
def test_the_record_itself_tells_its_end_and_its_job(
    shelf: tuple[MemoryFolder, str], change: Callable[[Any], None], what: str
) -> None:
    folder, part_id = shelf
    changed_on_disk(folder, part_id, change, seal=True)
    with Shop(folder) as shop:
        part = shop.open(part_id)
        assert [b.what for b in part.seals.broken] == [what]
        part.append(log.note("going on"))  # nothing is refused
        assert [b.what for b in part.seals.broken] == [what]
        ((card, seals),) = shop.check_seals()
        assert (card.id, seals.words) == (part_id, "changed outside the program")


def test_a_record_of_before_says_that_it_is_not_sealed(shelf: tuple[MemoryFolder, str]) -> None:
    folder, part_id = shelf

    def unseal(tables: Any) -> None:
        del tables["part"]["1"]["sealed"]
        for event in tables["events"].values():
            del event["number"], event["seal"]

    changed_on_disk(folder, part_id, unseal, seal=True)
    with Shop(folder) as shop:
        part = shop.open(part_id)
        assert (part.seals.words, part.seals.unsealed, part.seals.broken) == ("not sealed", 5, ())
        assert part.append(log.note("going on"))["number"] == 6
        assert part.seals.words == "sealed from entry 6, 1 entry"
    changed_on_disk(folder, part_id, lambda tables: tables["events"]["2"].update(at=""), seal=True)
    with Shop(folder) as shop:
        (broken,) = shop.open(part_id).seals.broken
        assert broken.what.endswith("or one of the first 5 entries, which carry no seals, was")


def test_an_edited_file_is_named_entry_by_entry_and_can_be_taken_as_it_stands(
    shelf: tuple[MemoryFolder, str],
) -> None:
    folder, part_id = shelf

    def edit(tables: Any) -> None:
        tables["events"]["4"]["value"] = 9.9

    changed_on_disk(folder, part_id, edit, seal=False)
    found, copy_before = folder.contents[part_id], folder.copies[part_id]
    with Shop(folder) as shop:
        (damage,) = shop.check()
        assert [b.number for b in damage.broken] == [4]
        assert damage.readable and damage.has_copy
        shop.accept(part_id)
        assert shop.damaged() == []
        assert [raw for _, raw in folder.aside] == [found, copy_before]
        events = shop.open(part_id).events
        assert (events[3]["value"], events[-1]["event"]) == (9.9, "note")
        assert "Entry 4, check read" in events[-1]["text"]
        assert [b.number for b in shop.open(part_id).seals.broken] == [4]
        with pytest.raises(InputError):
            shop.accept(part_id)


def test_what_cannot_be_read_cannot_be_taken(shelf: tuple[MemoryFolder, str]) -> None:
    folder, part_id = shelf
    folder.contents[part_id] = folder.contents[part_id][:200]
    with Shop(folder) as shop:
        (damage,) = shop.check()
        assert not damage.readable
        with pytest.raises(DamagedDocument, match="cannot be read"):
            shop.accept(part_id)
        shop.restore(part_id)
        assert len(shop.open(part_id).events) == 5


def test_a_plain_document_keeps_its_seals(tmp_path: Path) -> None:
    document = recorded()
    document["events"].append(log.note("added by hand"))
    with Shop(tmp_path) as shop:
        events = shop.open(shop.import_part(json.dumps(document))).events
        assert events[:5] == document["events"][:5]
        assert named({"job": JOB, "events": events}) == []
