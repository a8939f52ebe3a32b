"""One damaged document: the rest opens, the damage is named, the last good copy is brought back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from core.errors import DamagedDocument, InputError, NewerDocument
from core.store import SETTINGS, MemoryFolder, Shop

NOTE = {"event": "note", "text": "edge filed"}
SHOP = Callable[[], Shop]


def flipped(raw: bytes) -> bytes:
    middle = len(raw) // 2
    return raw[:middle] + bytes([raw[middle] ^ 1]) + raw[middle + 1 :]


DAMAGE = {
    "cut short": lambda raw: raw[: len(raw) // 2],
    "one bit": flipped,
    "empty": lambda raw: b"",
    "zeros": lambda raw: b"\0" * len(raw),
    "not JSON": lambda raw: b"rib 3, second pass, see back of drawing",
    "not an object": lambda raw: b"[1, 2, 3]\n",
}


@pytest.fixture(params=list(DAMAGE))
def harm(request: pytest.FixtureRequest) -> Callable[[bytes], bytes]:
    return DAMAGE[request.param]


def three_parts(shop: Shop) -> list[str]:
    parts = [shop.new_part({"name": f"rib {i}", "kind": "section"}) for i in range(3)]
    for part_id in parts:
        for _ in range(4):
            shop.open(part_id).append(NOTE, summary={"state": "in work"})
    return parts


def document(data: Path, part_id: str) -> Path:
    return data / "parts" / f"{part_id}.json"


def test_the_rest_of_the_shop_opens(opened: SHOP, data: Path, harm: Callable[[bytes], bytes]) -> None:
    shop = opened()
    first, second, third = three_parts(shop)
    shop.close()
    path = document(data, second)
    path.write_bytes(harm(path.read_bytes()))
    shop = opened()
    assert {card.id for card in shop.parts()} == {first, third}
    assert len(shop.open(first).events) == len(shop.open(third).events) == 4
    (damage,) = shop.damaged()
    assert (damage.part_id, damage.name, damage.path) == (second, "rib 1", str(path))
    assert damage.what in str(damage.error)
    assert not damage.is_newer
    assert damage.has_copy
    assert damage.copy is not None
    assert damage.copy.event_count == 3
    with pytest.raises(DamagedDocument, match=second):
        shop.open(second)


def test_the_last_good_copy_is_brought_back(opened: SHOP, data: Path, harm: Callable[[bytes], bytes]) -> None:
    shop = opened()
    part_id = three_parts(shop)[1]
    before = shop.open(part_id).events
    shop.close()
    path = document(data, part_id)
    harmed = harm(path.read_bytes())
    path.write_bytes(harmed)
    shop = opened()
    shop.restore(part_id)
    events = shop.open(part_id).events
    assert events[:-1] == before[:-1]
    assert events[-1]["event"] == "note"
    assert events[-1]["text"].startswith("Brought back from the last good copy of 2030-05-17T00:00:00")
    assert shop.damaged() == []
    assert shop.open(part_id).card in shop.parts()
    assert path.with_name(path.name + ".damaged-1").read_bytes() == harmed
    shop.open(part_id).append(NOTE)
    shop.close()
    again = opened()
    assert len(again.open(part_id).events) == 5
    assert again.damaged() == []


def test_damage_while_the_shop_is_open_is_found_by_check(opened: SHOP, data: Path) -> None:
    shop = opened()
    parts = three_parts(shop)
    shop.close()
    shop = opened()
    assert shop.check() == []
    path = document(data, parts[0])
    path.write_bytes(flipped(path.read_bytes()))
    assert [damage.part_id for damage in shop.check()] == [parts[0]]
    assert {card.id for card in shop.parts()} == set(parts[1:])


def test_a_part_held_open_is_whole_again_with_its_next_event(opened: SHOP, data: Path) -> None:
    shop = opened()
    part = shop.open(three_parts(shop)[0])
    document(data, part.id).write_bytes(b"")
    assert [damage.part_id for damage in shop.check()] == [part.id]
    part.append(NOTE)
    assert shop.damaged() == []
    assert part.card in shop.parts()
    shop.close()
    assert len(opened().open(part.id).events) == 5


def test_damage_found_on_opening_a_part_is_remembered(opened: SHOP, data: Path) -> None:
    shop = opened()
    parts = three_parts(shop)
    shop.close()
    shop = opened()
    document(data, parts[0]).write_bytes(b"")
    with pytest.raises(DamagedDocument, match="empty"):
        shop.open(parts[0])
    assert [damage.part_id for damage in shop.damaged()] == [parts[0]]
    shop.restore(parts[0])
    assert shop.damaged() == []


def test_a_missing_file_is_damage_too(opened: SHOP, data: Path) -> None:
    shop = opened()
    part_id = three_parts(shop)[0]
    shop.close()
    document(data, part_id).unlink()
    shop = opened()
    (damage,) = shop.damaged()
    assert (damage.what, damage.name, damage.has_copy) == ("the file is missing", "rib 0", True)
    shop.restore(part_id)
    assert len(shop.open(part_id).events) == 4  # three kept, one note


def test_a_part_taken_away_with_its_copy_is_named_once(opened: SHOP, data: Path) -> None:
    shop = opened()
    part_id = three_parts(shop)[0]
    shop.close()
    for path in data.glob(f"parts/{part_id}*"):
        path.unlink()
    shop = opened()
    assert [(damage.name, damage.has_copy) for damage in shop.damaged()] == [("rib 0", False)]
    shop.close()
    assert opened().damaged() == []


def test_without_a_sound_copy_nothing_is_touched(opened: SHOP, data: Path) -> None:
    shop = opened()
    part_id = three_parts(shop)[0]
    shop.close()
    path = document(data, part_id)
    copy = path.with_name(path.name + ".last")
    for harmed in (path, copy):
        harmed.write_bytes(flipped(harmed.read_bytes()))
    before = path.read_bytes(), copy.read_bytes()
    shop = opened()
    (damage,) = shop.damaged()
    assert not damage.has_copy
    with pytest.raises(DamagedDocument, match="no sound copy"):
        shop.restore(part_id)
    assert (path.read_bytes(), copy.read_bytes()) == before


def test_only_what_is_damaged_is_restored(opened: SHOP) -> None:
    shop = opened()
    part_id = three_parts(shop)[0]
    for name in (part_id, "none", SETTINGS):
        with pytest.raises(InputError, match="damaged document"):
            shop.restore(name)
    assert len(shop.open(part_id).events) == 4


def test_a_newer_document_is_left_alone(opened: SHOP, data: Path) -> None:
    shop = opened()
    first, second, third = three_parts(shop)
    shop.close()
    path = document(data, second)
    newer = b'{"schema": 7, "contents": "of a later version"}\n'
    path.write_bytes(newer)
    shop = opened()
    assert {card.id for card in shop.parts()} == {first, third}
    (damage,) = shop.damaged()
    assert damage.is_newer
    assert "newer version" in damage.what
    for attempt in (shop.open, shop.restore):
        with pytest.raises(NewerDocument):
            attempt(second)
    shop.close()
    assert path.read_bytes() == newer


def test_damaged_settings_keep_no_part_from_opening(opened: SHOP, data: Path) -> None:
    shop = opened()
    three_parts(shop)
    shop.settings.set("palette", "dim shop")
    shop.settings.set("screen", 1.5)
    shop.close()
    path = data / "settings.json"
    path.write_bytes(flipped(path.read_bytes()))
    shop = opened()
    assert len(shop.parts()) == 3
    assert [(damage.part_id, damage.has_copy) for damage in shop.damaged()] == [(SETTINGS, True)]
    assert shop.settings.get("palette", "bright shop") == "bright shop"
    with pytest.raises(DamagedDocument):
        shop.settings.set("palette", "bright shop")
    shop.restore(SETTINGS)
    assert shop.settings.all() == {"palette": "dim shop"}
    shop.settings.set("screen", 2.0)
    shop.close()
    assert opened().settings.all() == {"palette": "dim shop", "screen": 2.0}


def test_missing_and_newer_settings(opened: SHOP, data: Path) -> None:
    shop = opened()
    shop.settings.set("palette", "dim shop")
    shop.close()
    path = data / "settings.json"
    path.unlink()
    shop = opened()
    shop.restore(SETTINGS)
    assert shop.settings.get("palette") == "dim shop"
    shop.close()
    path.write_bytes(b'{"schema": 2}')
    shop = opened()
    with pytest.raises(NewerDocument):
        shop.settings.set("palette", "bright shop")
    with pytest.raises(NewerDocument):
        shop.restore(SETTINGS)
    assert path.read_bytes() == b'{"schema": 2}'


def test_damage_in_memory_is_the_same() -> None:
    folder = MemoryFolder()
    with Shop(folder) as shop:
        part_id = three_parts(shop)[0]
    folder.contents[part_id] = flipped(folder.contents[part_id])
    with Shop(folder) as shop:
        assert [damage.part_id for damage in shop.damaged()] == [part_id]
        shop.restore(part_id)
        assert len(shop.open(part_id).events) == 4
    assert [name for name, _ in folder.aside] == [part_id]


def test_a_file_that_is_no_part_but_sealed_is_damage(opened: SHOP, data: Path) -> None:
    shop = opened()
    part_id = three_parts(shop)[0]
    shop.settings.set("palette", "dim shop")
    shop.close()
    document(data, part_id).write_bytes((data / "settings.json").read_bytes())
    (damage,) = opened().damaged()
    assert damage.what == "the file is not the record of a part"
