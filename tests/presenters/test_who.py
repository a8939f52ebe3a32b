"""Who works: typed once, chosen afterwards, kept by the shop, and on every entry."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

import core
from shopapp.presenters.bench import BenchPresenter
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.who import LONGEST, USED, WORKS, WhoPresenter, used, working
from tests.presenters.conftest import RIB, events_of, key


@pytest.fixture
def nobody(folder: core.MemoryFolder, clock: Any, advise: Any) -> Iterator[Session]:
    """A session as the app begins it at a new shop, with the rib open."""
    with core.Shop(folder, now=clock) as shop:
        session = Session(shop, clock, who=working(shop.settings))
        session.open(shop.new_part(RIB))
        yield session


def test_nobody_is_named_at_first(nobody: Session) -> None:
    assert BenchPresenter(nobody).view().who == "no name is set: Settings, Who works"
    view = WhoPresenter(nobody).view()
    assert view.rows == () and not key(view, "nobody").enabled and not key(view, "forget").enabled


def test_a_typed_name_is_on_the_entries_that_follow(nobody: Session) -> None:
    who = WhoPresenter(nobody)
    nobody.log(core.note("before"))
    who.change("name", "  A.  Worker ")
    assert who.press("take_typed").go == "bench"
    nobody.log(core.note("after"))
    assert [event["who"] for event in events_of(nobody, "note")] == ["", "A. Worker"]
    assert BenchPresenter(nobody).view().who == "A. Worker works"
    assert who.view().typed == ""


def test_names_used_before_are_chosen_by_one_touch(nobody: Session) -> None:
    """The last one first, each once, the one that works now marked."""
    who = WhoPresenter(nobody)
    for name in ("A. Worker", "B: Checker", "A. Worker", "C. Bender"):
        who.change("name", name)
        who.press("take_typed")
    assert [row.value for row in who.view().rows] == ["C. Bender", "A. Worker", "B: Checker"]
    assert who.press(who.view().rows[2].name).go == "bench"
    assert nobody.who == "B: Checker"
    assert [(row.value, row.state) for row in who.view().rows] == [
        ("B: Checker", "ok"),
        ("C. Bender", "plain"),
        ("A. Worker", "plain"),
    ]


def test_no_name_and_forgetting_one(nobody: Session) -> None:
    who = WhoPresenter(nobody)
    for name in ("A. Worker", "B. Cheker"):
        who.change("name", name)
        who.press("take_typed")
    view = who.press("forget")
    assert nobody.who == "" and [row.value for row in view.rows] == ["A. Worker"]
    who.press("take:A. Worker")
    view = who.press("nobody")
    assert nobody.who == "" and [row.value for row in view.rows] == ["A. Worker"]


def test_it_survives_a_restart(folder: core.MemoryFolder, clock: Any, nobody: Session) -> None:
    who = WhoPresenter(nobody)
    who.change("name", "A. Worker")
    who.press("take_typed")
    nobody.shop.close()
    with core.Shop(folder, now=clock) as shop:
        again = Session(shop, clock, who=working(shop.settings))
        again.open(shop.new_part(RIB))
        assert again.log(core.note("later"))["who"] == "A. Worker"
        assert used(shop.settings) == ("A. Worker",)


def test_it_is_proposed_at_sign_off(nobody: Session) -> None:
    finish, who = FinishPresenter(nobody), WhoPresenter(nobody)
    assert finish.view().who == ""
    who.change("name", "A. Worker")
    who.press("take_typed")
    assert finish.view().who == "A. Worker"
    assert finish.change("who", "B. Checker").who == "B. Checker"


@pytest.mark.parametrize("name", ["", "   "])
def test_a_blank_name_is_refused(nobody: Session, name: str) -> None:
    who = WhoPresenter(nobody)
    who.change("name", name)
    assert who.press("take_typed").complaint == "a name is wanted, such as that on the time sheet"
    assert nobody.who == "" and used(nobody.shop.settings) == ()


def test_a_name_ends_where_there_is_no_more_room(nobody: Session) -> None:
    assert len(WhoPresenter(nobody).change("name", "W" * 90).typed) == LONGEST


def test_a_name_that_cannot_be_written_is_not_taken(nobody: Session, monkeypatch: Any) -> None:
    def full(*_: Any) -> None:
        raise core.StoreError("settings.json", "no room on the disk")

    who = WhoPresenter(nobody)
    who.change("name", "A. Worker")
    monkeypatch.setattr(nobody.shop.settings, "set", full)
    view = who.press("take_typed")
    assert view.complaint.startswith("Not written: no room on the disk; touch again") and nobody.who == ""
    assert view.typed == "A. Worker"


@pytest.mark.parametrize("stored", [None, 7, ["A. Worker"], {"name": "A"}])
def test_settings_that_hold_something_else_name_nobody(nobody: Session, stored: Any) -> None:
    nobody.shop.settings.set(WORKS, stored)
    nobody.shop.settings.set(USED, stored if not isinstance(stored, list) else [7, *stored])
    assert working(nobody.shop.settings) == ""
    assert used(nobody.shop.settings) == (("A. Worker",) if isinstance(stored, list) else ())
