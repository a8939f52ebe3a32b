"""The bench and the cautions."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import core
from core.forming.exposure import noise_hours
from shopapp.cautions import CAUTIONS
from shopapp.presenters.bench import MOST_CARDS, BenchPresenter
from shopapp.presenters.cautions import CautionsPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import RIB, SITES, Clock, events_of, key, settled


def test_an_empty_shop_says_what_to_do_first(clock: Clock) -> None:
    with core.Shop(core.MemoryFolder(), now=clock) as shop:
        bench = BenchPresenter(Session(shop, now=clock))
        view = bench.view()
        assert (
            view.empty == "No part is in work. Touch New part: name it, give its line, section and tolerance."
        )
        assert key(view, "new").main
        assert "search" not in {one.name for one in view.keys}
        assert bench.press("new").go == "setup"
        assert bench.press("finished").empty == "No part is signed off yet."


def test_a_card_shows_how_it_falls_and_what_is_next(session: Session, advise: Callable[..., None]) -> None:
    advise(gap_history_mm=(6.0, float("nan"), 1.2))
    settled(session)
    (card,) = BenchPresenter(session).view().cards
    assert (card.name, card.widest, card.history_mm) == ("Shutter rib 3", "1.20 ± 0.10 mm", (6.0, 1.2))
    assert (card.next, card.state_text) == ("Pass 1: shrink, medium bite, 24 strokes", "Outside tolerance")
    assert (card.set_text, card.tolerance_mm) == ("pass 1 of 1", 0.5)
    assert card.outline[0] == (0.0, 0.0)
    assert len(card.outline) == 24


def test_a_card_never_worked_out_says_so(session: Session) -> None:
    session.shop.new_part({**RIB, "name": "Shutter rib 4"})
    cards = {card.name: card for card in BenchPresenter(session).view().cards}
    assert cards["Shutter rib 4"].next == "Open it to see what is next"
    assert cards["Shutter rib 4"].widest == "not known yet"


def test_touching_a_card_opens_the_part(session: Session) -> None:
    other = session.shop.new_part({**RIB, "name": "Shutter rib 4"})
    assert BenchPresenter(session).open(other).go == "part"
    assert session.job.name == "Shutter rib 4"


def test_another_like_it(session: Session) -> None:
    assert BenchPresenter(session).press(f"like:{session.part_id}").go == "setup"
    assert session.like == RIB


def test_finished_parts_are_one_touch_away(session: Session, advise: Callable[..., None]) -> None:
    advise(verdict="within")
    settled(session)
    session.log(core.signed_off("A. Worker"))
    bench = BenchPresenter(session)
    view = bench.view()
    assert (view.cards, key(view, "finished").text) == ((), "Done 1")
    assert "1 finished part under Done" in view.empty
    (card,) = bench.press("finished").cards
    assert (card.name, card.state_text) == ("Shutter rib 3", "Signed off")
    assert bench.press("in_work").cards == ()


def test_parts_are_found_by_words_of_their_name(session: Session) -> None:
    """In work or finished, in any order of the words, whatever the case."""
    settled(session)
    session.log(core.signed_off("A. Worker"))
    bench = BenchPresenter(session)
    session.shop.new_part({**RIB, "name": "Dome panel 12"})
    assert key(bench.view(), "search").enabled
    found = bench.change("search", "RIB shut")
    assert ([card.name for card in found.cards], found.header.where) == (["Shutter rib 3"], "Found: 1 part")
    assert [card.name for card in bench.change("search", "  ").cards] == ["Dome panel 12"]
    none = bench.change("search", "rib 12")
    assert none.cards == () and none.empty.startswith("No part is called “rib 12”")
    assert (bench.press("all").sought, len(bench.view().cards)) == ("", 1)


def test_parts_of_a_set_are_found_by_their_place(session: Session) -> None:
    place = {"id": "a", "part": 4, "of": 6}
    session.shop.open(session.shop.new_part({**RIB, "name": "Rib"})).set_summary({"set": place})
    assert [card.in_set for card in BenchPresenter(session).change("search", "part 4").cards] == [
        "part 4 of 6"
    ]


def test_more_cards_than_anybody_looks_through_are_not_shown(session: Session, clock: Clock) -> None:
    for i in range(MOST_CARDS):
        clock.pass_by(1.0)
        session.shop.new_part({**RIB, "name": f"Rib {i}"})
    bench = BenchPresenter(session)
    view = bench.view()
    assert (len(view.cards), view.cards[0].name) == (MOST_CARDS, f"Rib {MOST_CARDS - 1}")
    assert (
        view.more == f"The {MOST_CARDS} changed last are shown, of {MOST_CARDS + 1}. Search finds the others."
    )
    assert [card.name for card in bench.change("search", "shutter").cards] == ["Shutter rib 3"]


def test_a_damaged_file_is_named_and_its_copy_offered(folder: core.MemoryFolder, clock: Clock) -> None:
    with core.Shop(folder, now=clock) as shop:
        part_id = shop.new_part(RIB)
        shop.open(part_id).append(core.pass_done("shrink", [1] * SITES))
        shop.new_part({**RIB, "name": "Shutter rib 4"})
    folder.contents[part_id] = folder.contents[part_id][:-20]
    with core.Shop(folder, now=clock) as shop:
        bench = BenchPresenter(Session(shop, now=clock))
        view = bench.view()
        assert [card.name for card in view.cards] == ["Shutter rib 4"]
        (damaged,) = view.damaged
        assert damaged.name == "Shutter rib 3"
        assert damaged.text.endswith(
            "The last good copy holds 0 entries and is of before the last change: the last entry may be "
            f"missing in it. File memory:{part_id}"
        )
        assert (damaged.restore.text, damaged.restore.enabled) == ("Bring back last good copy", True)
        view = bench.restore(part_id)
        assert view.damaged == ()
        assert {card.name for card in view.cards} == {"Shutter rib 3", "Shutter rib 4"}
        assert bench.restore(part_id).complaint.endswith("the id of a damaged document is wanted")


def test_a_damaged_file_without_a_copy(folder: core.MemoryFolder, clock: Clock) -> None:
    with core.Shop(folder, now=clock) as shop:
        part_id = shop.new_part(RIB)
    folder.contents[part_id] = b"{"
    folder.copies.clear()
    with core.Shop(folder, now=clock) as shop:
        (damaged,) = BenchPresenter(Session(shop, now=clock)).view().damaged
        assert (damaged.restore.enabled, damaged.restore.why) == (False, "there is no good copy")


def test_two_damaged_files_are_told_apart_by_their_keys(folder: core.MemoryFolder, clock: Clock) -> None:
    with core.Shop(folder, now=clock) as shop:
        ids = [shop.new_part(RIB), shop.new_part(RIB)]
        for part_id in ids:
            shop.open(part_id).append(core.note("begun"))
    for part_id in ids:
        folder.contents[part_id] = folder.contents[part_id][:-20]
    with core.Shop(folder, now=clock) as shop:
        bench = BenchPresenter(Session(shop, now=clock))
        told = bench.view().damaged
        assert [d.name for d in told] == ["1. Shutter rib 3", "2. Shutter rib 3"]
        assert [d.restore.text[-3:] for d in told] == [", 1", ", 2"]
        (left,) = bench.press(told[0].restore.name).damaged
        assert (left.part_id, left.name) == (told[1].part_id, "Shutter rib 3")


def test_a_path_is_told_by_the_name_of_its_file(tmp_path: Path, clock: Clock) -> None:
    """Where the data folder is, is no matter of the bench."""
    with core.Shop(tmp_path, now=clock) as shop:
        part_id = shop.new_part(RIB)
    (tmp_path / "parts" / f"{part_id}.json").write_bytes(b"{")
    with core.Shop(tmp_path, now=clock) as shop:
        (damaged,) = BenchPresenter(Session(shop, now=clock)).view().damaged
    assert f"File {part_id}.json" in damaged.text
    assert str(tmp_path) not in damaged.text


def test_damaged_settings_are_named_and_brought_back(folder: core.MemoryFolder, clock: Clock) -> None:
    with core.Shop(folder, now=clock) as shop:
        shop.settings.set("a", 1)
        shop.settings.set("a", 2)
    folder.contents["settings"] = b"{"
    with core.Shop(folder, now=clock) as shop:
        bench = BenchPresenter(Session(shop, now=clock))
        (damaged,) = bench.view().damaged
        assert damaged.name == "What the shop keeps beside its parts"
        assert bench.press(damaged.restore.name).damaged == ()
        assert shop.settings.get("a") == 1


class TestCautions:
    def test_they_cover_what_can_hurt(self, session: Session) -> None:
        text = " ".join(
            f"{title} {body}" for title, body in CautionsPresenter(session).view().cautions
        ).lower()
        for word in (
            "local rules",
            "the machine's instructions",
            "nip",
            "glove",
            "hearing",
            "ear protection",
        ):
            assert word in text
        for word in ("sharp", "eye protection", "dust", "burn", "hot", "crack", "guards", "can be wrong"):
            assert word in text
        for word in ("aircraft", "lifting", "pressure", "licensed", "approved data, material, inspection"):
            assert word in text

    def test_acknowledged_once_a_part_and_always_at_hand(self, session: Session) -> None:
        session.open(session.shop.new_part(RIB))
        cautions = CautionsPresenter(session)
        assert cautions.view().needed
        assert [k.name for k in cautions.view().keys] == ["understood", "close"]
        assert cautions.press("close").go == "part"
        assert events_of(session, "note") == []
        assert cautions.press("understood").go == "pass_card"
        (note,) = events_of(session, "note")
        assert (note["text"], note["cautions"]) == ("Cautions read and understood", "understood")
        assert not cautions.view().needed
        cautions.press("understood")
        assert len(events_of(session, "note")) == 1

    def test_without_a_part_they_can_be_read(self, clock: Clock) -> None:
        with core.Shop(core.MemoryFolder(), now=clock) as shop:
            cautions = CautionsPresenter(Session(shop, now=clock))
            view = cautions.view()
            assert (view.needed, view.header.back) == (False, "bench")
            assert cautions.press("close").go == "bench"

    def test_the_metal_of_the_part_is_watched_for(self, session: Session) -> None:
        session.open(session.shop.new_part(RIB))
        title, body = CautionsPresenter(session).view().cautions[-1]
        metal = core.METALS["aluminium 5754-O"]
        assert (
            title == "Aluminium 5754-O" and metal.watch and all(sentence in body for sentence in metal.watch)
        )

    def test_the_time_at_the_machine_is_reckoned_by_equal_energy(self) -> None:
        """Directive 2003/10/EC, article 3: exposure action values of 80 and 85 dB(A) over 8 hours."""
        (body,) = [body for title, body in CAUTIONS if title == "Hearing"]
        lower, upper = (60 * noise_hours(95.0, daily) for daily in (80.0, 85.0))
        assert f"at 95 dB(A) after {lower:.0f} and {upper:.0f} min" in body
        assert "80 and 85 dB(A) over 8 h call for action" in body
