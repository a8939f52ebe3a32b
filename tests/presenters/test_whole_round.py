"""A round in doubt as a whole: it looks no good while it is, and one touch says that it is right."""

from __future__ import annotations

from typing import Any

import pytest

import core
from shopapp.next_text import next_lines
from shopapp.presenters import steps
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pieces import OK, TODO
from shopapp.presenters.session import Session
from shopapp.presenters.summary import summary_of
from tests.made_up import bowl, flange, rib
from tests.presenters.conftest import Clock, events_of, key, settled

DOCUMENTS = pytest.mark.parametrize("document", [rib(), bowl(), flange()], ids=["bar", "dish", "flange"])


def all_zero(folder: Any, clock: Clock, document: dict[str, Any], singly: bool = True) -> Session:
    """After the first pass every reading is 0: no part does so much at once, by what is believed."""
    session = Session(core.Shop(folder, now=clock), now=clock)
    session.open(session.shop.new_part(document))
    planned, n = settled(session).advice.next_pass, len(session.job.part.sites)
    session.log(core.pass_done(planned.action, planned.strokes.tolist(), planned.bite))
    round_ = [core.gap_read(i, 0.0) for i in range(n)] if singly else [core.gaps_read([0.0] * n)]
    for event in round_:
        session.log(event)
    return settled(session)


@DOCUMENTS
def test_nothing_looks_good_while_it_is_in_doubt(folder: Any, clock: Clock, document: dict[str, Any]) -> None:
    session = all_zero(folder, clock, document)
    view, part = NextPresenter(session).view(), PartPresenter(session).view()
    facts = {fact.label: fact.value for fact in (*view.facts, *part.facts)}
    assert (view.verdict, view.state) == ("In doubt", TODO)
    assert view.doubts and not set(view.doubts) & set(view.reasons), "why, once, beside the verdict"
    assert "not known" in facts["Chance of being within"] and facts["Verdict"] == "In doubt"
    assert "Widest gap" not in facts and OK not in {f.state for f in (*view.facts, *part.facts) if f.big}
    assert part.rows[0].was == "in doubt" and part.rows[0].state != OK
    told = summary_of(session.standing, session.events)
    assert (told["widest"], told["state_text"], told["state"]) == ("in doubt", "In doubt", TODO)
    assert told["history_mm"] == []
    row = next(row for row in FinishPresenter(session).view().rows if row.name == "gaps")
    assert row.value == "in doubt" and row.state != OK
    first, *_ = next_lines(session.job, session.advice)
    assert "in doubt, no verdict" in first and "%" not in first


@pytest.mark.parametrize("singly", [True, False])
@DOCUMENTS
def test_one_touch_confirms_all_of_it(
    folder: Any, clock: Clock, document: dict[str, Any], singly: bool
) -> None:
    session = all_zero(folder, clock, document, singly)
    presenter, before = NextPresenter(session), len(session.events)
    assert key(presenter.view(), "right").text == "These are right"
    presenter.press("right")
    settled(session)
    view = presenter.view()
    assert len(session.events) == before + 1 and events_of(session, "corrected")
    assert session.advice.verdict == "within" and view.state == OK
    assert not session.advice.doubts and not session.advice.suspects
    assert "right" not in [k.name for k in view.keys]
    assert view.last == "all of the round confirmed"
    record = core.part_record(session.job, session.events)
    assert all(reading.confirmed for reading in record.readings if reading.counts)


@pytest.mark.parametrize("singly", [True, False])
def test_it_is_taken_back_by_one_touch_as_well(folder: Any, clock: Clock, singly: bool) -> None:
    for screen in (NextPresenter, PartPresenter):
        session = all_zero(folder, clock, bowl(), singly)
        presenter = NextPresenter(session)
        presenter.press("right")
        settled(session)
        screen(session).press("undo")
        settled(session)
        assert session.advice.doubts and presenter.view().verdict == "In doubt"
        assert steps.next_step(session.standing) == steps.DOUBTED
        session.shop.close()


def test_after_the_template_was_seated_to_read_again_it_can_still_be_said(folder: Any, clock: Clock) -> None:
    session = all_zero(folder, clock, bowl())
    presenter = NextPresenter(session)
    assert presenter.press("next").go == "gaps"
    presenter.press("right")
    assert settled(session).advice.verdict == "within"


def test_where_no_round_is_in_doubt_there_is_no_such_key(folder: Any, clock: Clock) -> None:
    session = Session(core.Shop(folder, now=clock), now=clock)
    session.open(session.shop.new_part(rib()))
    made, planned = core.simulated_part(settled(session).job, 3), session.advice.next_pass
    made.work(planned.action, planned.bite, planned.strokes.tolist())
    session.log(core.pass_done(planned.action, planned.strokes.tolist(), planned.bite))
    session.log(core.gaps_read(*made.gaps_by_any_gauge()))
    presenter = NextPresenter(settled(session))
    assert "right" not in [k.name for k in presenter.view().keys]
    assert "no round" in presenter.press("right").complaint
