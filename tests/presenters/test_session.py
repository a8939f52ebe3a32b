"""The session: what is logged is on disk, advice follows, undo leaves its trace."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from shopapp.presenters import rounds
from shopapp.presenters.live_log import LiveLog
from shopapp.presenters.session import Session
from tests.presenters.conftest import RIB, SITES, Clock, an_advice, settled


def test_an_entry_is_on_disk_when_log_returns(tmp_path: Path, clock: Clock) -> None:
    with core.Shop(tmp_path / "data", now=clock) as shop:
        session = Session(shop, now=clock, who="A. Worker")
        session.open(shop.new_part(RIB))
        written = session.log(core.gap_read(3, 0.35))
        found = [
            p
            for p in (tmp_path / "data").rglob("*")
            if p.is_file() and written["id"] in p.read_text("utf-8", "replace")
        ]
        assert found
    assert (written["who"], written["at"]) == ("A. Worker", "2026-03-14T15:09:00.000000Z")


def test_undo_walks_back_and_keeps_everything(session: Session) -> None:
    session.log(core.pass_done("shrink", [1] * SITES))
    session.log(core.gap_read(0, 0.3))
    assert session.undo()["event"] == "gap_read"
    assert session.undo()["event"] == "pass_done"
    assert session.undo() is None
    assert [e["event"] for e in session.events] == ["note", "pass_done", "gap_read", "withdrawn", "withdrawn"]
    assert [e["event"] for e in session.live] == ["note"]
    assert len(session.shop.open(session.part_id).events) == 5


@pytest.mark.property
@given(st.lists(st.sampled_from(["pass", "gap", "skip", "seated", "anneal", "undo"]), max_size=40), st.data())
def test_a_growing_log_counts_as_one_read_at_once(names: list[str], data: st.DataObject) -> None:
    """The same rounds, passes and start of the round, however the log came about."""
    growing = LiveLog()
    for i, name in enumerate(names):
        last = rounds.last_entry(growing.events)
        station = data.draw(st.integers(0, 3))
        event = {
            "pass": core.pass_done("shrink", [1]),
            "gap": core.gap_read(station, 0.1 * i, confirmed=station == 2),
            "skip": core.gap_read(station, None),
            "seated": core.template_seated(),
            "anneal": core.annealed(),
            "undo": core.note("nothing to undo") if last is None else core.withdrawn(last["id"]),
        }[name]
        growing.add({**event, "id": str(i)})
    whole = LiveLog(growing.events)
    assert rounds.open_round(growing.live) == rounds.open_round(whole.live)
    assert rounds.passes(growing.live) == rounds.passes(whole.live)
    assert rounds.unread_pass(growing.live) == rounds.unread_pass(whole.live)
    assert growing.round_start == whole.round_start


def test_a_full_disk_at_the_summary_loses_no_entry(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise core.StoreError("rib.json", "no space left")

    settled(session)
    monkeypatch.setattr(session.shop.open(session.part_id), "set_summary", full)
    session.log(core.signed_off("A. Worker"))
    assert session.standing.closed
    monkeypatch.undo()


def test_advice_is_stale_until_the_thread_is_back(session: Session) -> None:
    assert session.stale
    assert session.advice is None
    work = session.begin()
    assert session.stale
    session.finish(work.run())
    assert not session.stale
    assert session.advice is not None


def test_an_answer_for_an_older_log_is_used_and_known_to_be_old(session: Session) -> None:
    work = session.begin()
    session.log(core.pass_done("shrink", [1] * SITES))
    session.finish(work.run())
    assert session.advice is not None
    assert session.stale
    assert session.round_advice is None  # it does not know of the pass


def test_an_answer_for_another_part_is_dropped(session: Session) -> None:
    work = session.begin()
    session.open(session.shop.new_part(RIB))
    session.log(core.note("as many entries as the other one"))
    session.finish(work.run())
    assert session.advice is None


def test_notes_and_checks_do_not_make_the_advice_old(session: Session) -> None:
    settled(session)
    session.log(core.note("looks good"))
    session.log(core.check_read("twist", 0.3))
    assert not session.stale
    session.log(core.annealed())
    assert session.stale


def test_a_log_that_cannot_be_worked_out_says_why(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(job: object, events: object) -> None:
        raise core.InputError("events[1].strokes", [1], "10 counts are wanted")

    monkeypatch.setattr(core, "refit", refuse)
    settled(session)
    assert session.advice is None
    assert session.problem == "Entry 2 of the log, strokes: “1”: 10 counts are wanted"


def test_a_signed_part_takes_no_more(session: Session) -> None:
    session.log(core.signed_off("A. Worker"))
    with pytest.raises(core.InputError, match="signed off"):
        session.log(core.annealed())
    assert session.events[-1]["event"] == "signed_off"


def test_the_index_tells_the_bench_what_is_next(session: Session, advise: Callable[..., None]) -> None:
    settled(session)
    (card,) = session.shop.parts()
    assert card.summary["next"] == "Pass 1: shrink, medium bite, 24 strokes"
    assert card.summary["widest"] == "1.20 ± 0.10 mm"
    advise(an_advice(verdict="not measured"))
    session.log(core.pass_done("shrink", [3] * SITES))
    settled(session)
    (card,) = session.shop.parts()
    assert card.summary["next"] == "Read the gaps after pass 1"
    assert card.summary["widest"] == "not known yet"


def test_opening_a_part_that_cannot_be_opened_keeps_the_old_one(session: Session) -> None:
    before = session.part_id
    with pytest.raises(core.InputError):
        session.open("no such part")
    assert session.part_id == before
    assert session.job.name == "Shutter rib 3"
