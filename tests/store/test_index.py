"""The index is only a memory of the parts: lost, torn, old or full disk, it comes right again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from core.errors import StoreError
from core.store import MemoryFolder, PartCard, Shop

NOTE = {"event": "note", "text": "edge filed"}
SHOP = Callable[[], Shop]


def filled(shop: Shop, parts: int) -> dict[str, PartCard]:
    for i in range(parts):
        part = shop.open(shop.new_part({"name": f"rib {i}", "kind": "section"}))
        part.append(NOTE, summary={"state": "in work", "widest_mm": [4.0, 1.5, i / 1000]})
    return cards(shop)


def cards(shop: Shop) -> dict[str, PartCard]:
    return {card.id: card for card in shop.parts()}


def test_a_thousand_parts_are_read_again_from_their_files() -> None:
    folder = MemoryFolder()
    with Shop(folder) as shop:
        wanted = filled(shop, 1000)
    folder.index = b""
    with Shop(folder) as shop:
        assert cards(shop) == wanted
    assert folder.index.count(b"\n") == 1000
    with Shop(folder) as shop:
        assert cards(shop) == wanted


@pytest.mark.parametrize(
    "harm",
    [
        lambda raw: b"",
        lambda raw: b"\xff\x00 nothing of ours\n" * 50,
        lambda raw: raw[: len(raw) // 2],
        lambda raw: raw[: len(raw) // 2] + raw[len(raw) // 2 + 7 :],
        lambda raw: raw.replace(b"in work", b"signed!"),
        lambda raw: b"\0" * len(raw),
        lambda raw: raw.split(b"\n", 7)[7],
    ],
    ids=["gone", "foreign", "torn", "hole", "changed", "zeros", "lines lost"],
)
def test_a_harmed_index_comes_right(opened: SHOP, data: Path, harm: Callable[[bytes], bytes]) -> None:
    with opened() as shop:
        wanted = filled(shop, 12)
    index = data / "index.lines"
    index.write_bytes(harm(index.read_bytes()))
    with opened() as shop:
        assert cards(shop) == wanted
        assert shop.damaged() == []
    with opened() as shop:
        assert cards(shop) == wanted


def test_an_index_left_behind_by_a_crash_comes_right(opened: SHOP, data: Path) -> None:
    index = data / "index.lines"
    with opened() as shop:
        part_id = next(iter(filled(shop, 3)))
        before = index.read_bytes()
        shop.open(part_id).append(NOTE, summary={"state": "signed off"})
        wanted = cards(shop)
    index.write_bytes(before)
    with opened() as shop:
        assert cards(shop) == wanted
        assert cards(shop)[part_id].summary == {"state": "signed off"}


def test_files_carried_over_without_their_index(opened: SHOP, data: Path, tmp_path: Path) -> None:
    with opened() as shop:
        wanted = filled(shop, 3)
    other = tmp_path / "other"
    (other / "parts").mkdir(parents=True)
    for path in data.glob("parts/*.json"):
        (other / "parts" / path.name).write_bytes(path.read_bytes())
    with Shop(other) as shop:
        assert cards(shop) == wanted


def test_a_current_index_is_believed_and_no_part_is_read(
    opened: SHOP, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened() as shop:
        wanted = filled(shop, 5)
    read: list[str] = []
    real = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: read.append(path.name) or real(path))
    with opened() as shop:
        assert cards(shop) == wanted
        assert not [name for name in read if name.removesuffix(".json") in wanted]
        assert shop.check() == []
        assert {name.removesuffix(".json") for name in read} >= set(wanted)


def test_one_reading_adds_one_line(opened: SHOP, data: Path) -> None:
    shop = opened()
    part_id = next(iter(filled(shop, 20)))
    index = data / "index.lines"
    before = index.read_bytes()
    shop.open(part_id).append(NOTE)
    after = index.read_bytes()
    assert after.startswith(before)
    assert after[len(before) :].count(b"\n") == 1


def test_a_long_index_is_written_anew_at_opening(opened: SHOP, data: Path) -> None:
    index = data / "index.lines"
    with opened() as shop:
        wanted = filled(shop, 2)
        part = shop.open(next(iter(wanted)))
    lines = index.read_bytes()
    index.write_bytes(lines * 400)
    with opened() as shop:
        assert cards(shop) == wanted
        assert part.id in wanted
    assert index.read_bytes().count(b"\n") == 2


def test_an_index_that_cannot_be_written_costs_no_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    folder = MemoryFolder()

    def full(contents: bytes) -> None:
        raise StoreError("memory:index", "no room")

    with Shop(folder) as shop:
        part = shop.open(shop.new_part({"name": "rib"}))
        with monkeypatch.context() as patched:
            for method in ("extend_index", "write_index"):
                patched.setattr(folder, method, full)
            event = part.append(NOTE, summary={"state": "in work"})
            assert shop.parts()[0].summary == {"state": "in work"}
            assert shop.check() == []
        wanted = cards(shop)
    with Shop(folder) as shop:
        assert cards(shop) == wanted
        assert shop.open(part.id).events == [event]


def test_an_index_that_cannot_be_read_counts_as_none(monkeypatch: pytest.MonkeyPatch) -> None:
    folder = MemoryFolder()
    with Shop(folder) as shop:
        wanted = filled(shop, 3)

    def unreadable() -> Any:
        raise StoreError("memory:index", "input/output error")

    monkeypatch.setattr(folder, "read_index", unreadable)
    with Shop(folder) as shop:
        assert cards(shop) == wanted
