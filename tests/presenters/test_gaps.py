"""Gaps: each touch is a reading on disk, doubtful ones are asked for again at once."""

from __future__ import annotations

import pytest

import core
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import SITES, events_of


@pytest.fixture
def gaps(session: Session) -> GapsPresenter:
    session.log(core.pass_done("shrink", [3] * SITES))
    session.settle()
    return GapsPresenter(session)


def test_a_leaf_is_one_touch_on_disk_and_moves_on(gaps: GapsPresenter, session: Session) -> None:
    view = gaps.view()
    assert view.station == "station 1 of 10"
    assert view.expected == "0.30 ± 0.08 mm"
    view = gaps.press("leaf:0.35")
    assert [e["gap_mm"] for e in events_of(session, "gap_read")] == [0.35]
    assert view.station == "station 2 of 10"
    assert view.last == "station 1: 0.35"
    assert view.progress == "1 of 10 read"
    assert (view.strip.marks[0].text, view.strip.marks[0].value_mm) == ("0.35", 0.35)


def test_a_slipped_point_is_questioned_after_it_was_logged(gaps: GapsPresenter, session: Session) -> None:
    view = gaps.typed("3.5\n")
    assert view.question == (
        "3.50 mm was read, 0.30 ± 0.08 mm is expected. 0.35 mm would fit: is the point in the right place?"
    )
    assert view.station == "station 1 of 10"
    assert len(events_of(session, "gap_read")) == 1
    assert [k.name for k in view.keys if k.main] == ["again"]
    view = gaps.press("right")
    last = events_of(session, "gap_read")[-1]
    assert (last["gap_mm"], last["confirmed"]) == (3.5, True)
    assert (view.question, view.station) == ("", "station 2 of 10")


def test_reading_it_again_replaces_it(gaps: GapsPresenter, session: Session) -> None:
    gaps.typed("3.5\n")
    view = gaps.press("again")
    assert (view.question, view.station) == ("", "station 1 of 10")
    view = gaps.press("leaf:0.35")
    assert view.station == "station 2 of 10"
    assert not events_of(session, "gap_read")[-1].get("confirmed")
    assert view.strip.marks[0].text == "0.35"


def test_the_same_doubtful_reading_twice_stands(gaps: GapsPresenter, session: Session) -> None:
    gaps.typed("2\n")
    gaps.press("again")
    view = gaps.typed("2,05\n")
    assert view.question == ""
    assert events_of(session, "gap_read")[-1]["confirmed"] is True


@pytest.mark.parametrize(
    ("text", "mm"),
    [("0.35", 0.35), (".3", 0.3), ("0,35", 0.35), ("0.012 in", 0.3048), ("12 thou", 0.3048), ("0.3 mm", 0.3)],
)
def test_typed_readings_are_understood(gaps: GapsPresenter, session: Session, text: str, mm: float) -> None:
    gaps.typed(text + "\n")
    assert events_of(session, "gap_read")[-1]["gap_mm"] == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("-0.2", "“-0.2”: a gap to the inside template is 0 or more; where it touches, “Touching”"),
        (
            "12",
            "“12”: the reach of this gauge (feeler leaves) is 5.00 mm; touch “Beyond”, or take another gauge",
        ),
        (
            "0.3.5",
            "“0.3.5”: it has two separators; write one decimal sign and no thousands sign, such as 1234.5",
        ),
        ("", "type a reading first"),
    ],
)
def test_what_cannot_be_a_reading_stays_typed(
    gaps: GapsPresenter, session: Session, text: str, complaint: str
) -> None:
    view = gaps.typed(text + "\n")
    assert view.complaint == complaint
    assert view.entry == text
    assert events_of(session, "gap_read") == []


def test_touching_beyond_and_skip(gaps: GapsPresenter, session: Session) -> None:
    view = gaps.press("touching")
    assert view.question == ""  # 0 is within four deviations of 0.30 ± 0.08? no: 0.3 / 0.055 is 5.4
    events = [e["gap_mm"] for e in events_of(session, "gap_read")]
    assert events == ["touching"]
