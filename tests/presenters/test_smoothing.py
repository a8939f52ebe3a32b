"""Smoothing on the screens: a card in place of the pass card, a row, a line of the finish check."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import rounds, steps
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import SITES, events_of, key, settled
from tests.presenters.test_finish import fill

READ = core.gaps_read([0.3] * SITES)
LINE = "Smooth the faces: light bite, 40 strokes, 240 strokes/min, feed 40 mm/s"


def smoothing(change_face: bool = False) -> core.Smoothing:
    """Four light strokes at each of ten stations, 40 mm apart: 40 strokes at 240 a minute are 10 s."""
    zone = core.Zone(0, SITES - 1, 4, 40.0, 10.0)
    return core.Smoothing("light", np.full(SITES, 4), 240.0, (zone,), 3.4, change_face)


@pytest.fixture
def visible(session: Session, advise: Callable[..., None]) -> Session:
    """A part within its tolerance after one pass, its faces to stay in sight."""
    document = {**copy.deepcopy(dict(session.job.document)), "finish": "visible"}
    document["tool"]["face"] = "smooth"
    session.open(session.shop.new_part(document))
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    within: dict[str, Any] = {"verdict": "within", "next_pass": None, "remaining": ()}
    advise(**within, smoothing=smoothing(), gap_history_mm=(0.3,), minutes_left=3.4)
    session.log(core.pass_done("shrink", [1] * SITES))
    session.log(READ)
    return settled(session)


def test_part_and_next_lead_to_its_card(visible: Session) -> None:
    for screen in (PartPresenter(visible), NextPresenter(visible)):
        main = key(screen.view(), "next")
        assert (main.text, main.why, main.main) == ("Smooth", LINE, True)
        assert screen.press("next").go == "pass_card"
    assert events_of(visible, "smoothed") == []


def test_the_card_says_what_to_set_and_has_no_action(visible: Session) -> None:
    view = PassCardPresenter(visible).view()
    assert (view.action, view.arrows, view.setting) == ("Smooth", "", "smooth face, 240/min")
    assert [(f.label, f.value) for f in view.facts] == [
        ("Strokes in all", "40"),
        ("Tool set", "no name, patch 20 × 15 mm"),
        ("Then", "read the gaps again: it moves the part a little, either way"),
        ("Time", "about 3 min"),
        ("Pacer", "3 s to take hold, 10 s of strokes"),
    ]
    assert view.strip is not None and view.strip.strokes == (4,) * SITES
    assert view.strip.brackets[0].feed == "40 mm/s, 10 s"
    assert [k.text for k in view.keys] == ["Done as shown", "Done differently", "Not done"]


def test_a_face_that_leaves_marks_is_to_be_changed(visible: Session, advise: Callable[..., None]) -> None:
    advise(verdict="within", next_pass=None, remaining=(), smoothing=smoothing(change_face=True))
    visible.log(core.template_seated())
    facts = {f.label: (f.value, f.state) for f in PassCardPresenter(settled(visible)).view().facts}
    assert facts["Tool face"] == ("change to smooth or soft: smooth ones leave marks", "todo")


def test_the_pacer_runs_along_it(visible: Session) -> None:
    card = PassCardPresenter(visible)
    view = card.view()
    assert (view.pacer_seconds, view.pacer_text) == (pytest.approx(13.0), "Pacer, 10 s")
    middle = card.pacer(3.0 + 5.0)
    assert middle.position_mm == pytest.approx(200.0)
    assert (middle.zone, middle.text) == (0, "zone 1 of 1, 40 mm/s, 5 s left")


def test_done_as_shown_is_one_touch_and_the_gaps_come_next(visible: Session) -> None:
    assert PassCardPresenter(visible).press("done").go == "gaps"
    (event,) = events_of(visible, "smoothed")
    assert (event["bite"], event["strokes"]) == ("light", [4] * SITES)
    note = events_of(visible, "note")[-1]
    assert note["text"] == f"{LINE}; done as shown"
    assert note["planned"] == {"as_shown": True, "bite": "light", "strokes": [4] * SITES, "minutes": 3.4}
    assert len(events_of(visible, "pass_done")) == 1
    assert steps.next_step(settled(visible).standing).screen == "gaps"


def test_done_differently_asks_for_no_action(visible: Session) -> None:
    card = PassCardPresenter(visible)
    view = card.press("differently")
    assert (view.action, view.arrows, view.edit_text) == ("Smooth", "", "station 1: 4 strokes")
    assert not [k.name for k in view.keys if k.name.startswith("action")]
    card.press("clear")
    assert card.press("save").go == "gaps"
    assert events_of(visible, "smoothed")[0]["strokes"] == [0] + [4] * (SITES - 1)
    planned = events_of(visible, "note")[-1]["planned"]
    assert (planned["as_shown"], planned["strokes"]) == (False, [4] * SITES)


def test_not_done_logs_nothing_and_undo_takes_it_back(visible: Session) -> None:
    assert PassCardPresenter(visible).press("not_done").go == "part"
    assert events_of(visible, "smoothed") == []
    PassCardPresenter(visible).press("done")
    part = PartPresenter(settled(visible))
    assert key(part.view(), "undo").why == "takes back smoothing"
    part.press("undo")
    assert not any(event["event"] == "smoothed" for event in visible.live)


def test_it_stands_in_the_list_without_a_number(visible: Session, advise: Callable[..., None]) -> None:
    done, ahead = PartPresenter(visible).view().rows
    assert (done.number, done.status) == (1, "done")
    assert (ahead.number, ahead.status, ahead.action, ahead.bite, ahead.strokes) == (
        None, "next", "Smooth", "light", "40",
    )  # fmt: skip
    assert ahead.note == "then the gaps are read again"
    advise(verdict="outside", gap_history_mm=(0.6,))
    visible.log(core.smoothed([2] * SITES, "light"))
    first, smoothed, planned = PartPresenter(settled(visible)).view().rows
    assert (first.number, smoothed.number, planned.number) == (1, None, 2)
    assert (smoothed.status, smoothed.strokes, smoothed.was) == ("done", "20", "")


def test_without_it_sign_off_needs_a_word(visible: Session) -> None:
    finish = FinishPresenter(visible)
    fill(finish)
    row = next(row for row in finish.view().rows if row.name == "smoothing")
    assert (row.verdict, row.state, row.editable) == ("not smoothed yet", "todo", False)
    needs = "Faces that stay in sight: not smoothed yet. Sign-off needs a written concession"
    assert finish.view().needs == needs
    assert finish.press("sign").complaint == needs
    finish.change("concession", "marks are dressed out by hand")
    assert finish.press("sign").closed
    assert events_of(visible, "signed_off")[0]["verdicts"]["smoothing"] == "not smoothed yet"


def test_once_done_and_read_it_stands_against_nothing(visible: Session, advise: Callable[..., None]) -> None:
    PassCardPresenter(visible).press("done")
    advise(verdict="within", next_pass=None, remaining=(), smoothing=None)
    visible.log(READ)
    finish = FinishPresenter(settled(visible))
    fill(finish)
    assert {row.name: row.verdict for row in finish.view().rows}["smoothing"] == "smoothed"
    assert finish.view().needs == ""


def test_a_pass_after_it_leaves_marks_again() -> None:
    done, struck = core.smoothed([4] * SITES, "light"), core.pass_done("shrink", [1] * SITES)
    assert rounds.smoothed([]) and rounds.smoothed([struck, READ, done, READ])
    assert not rounds.smoothed([struck]) and not rounds.smoothed([struck, done, READ, struck])
