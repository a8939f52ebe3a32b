"""Gaps: each touch is a reading on disk, doubtful ones are asked for again at once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import rounds
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import SITES, an_advice, events_of, key, settled


@pytest.fixture
def gaps(session: Session) -> GapsPresenter:
    session.log(core.pass_done("shrink", [3] * SITES))
    settled(session)
    return GapsPresenter(session)


def test_a_leaf_is_one_touch_on_disk_and_moves_on(gaps: GapsPresenter, session: Session) -> None:
    view = gaps.view()
    assert view.header.where == "Shutter rib 3, gaps after pass 1"
    assert (view.station, view.expected) == ("station 1 of 10", "0.30 ± 0.08 mm")
    assert view.nearest == "leaf:0.3"
    view = gaps.press("leaf:0.35")
    assert [e["gap_mm"] for e in events_of(session, "gap_read")] == [0.35]
    assert (view.station, view.last) == ("station 2 of 10", "station 1: 0.35 mm")
    assert view.progress == "1 of 10 read"
    assert (view.strip.marks[0].text, view.strip.marks[0].value_mm) == ("0.35", 0.35)
    assert view.strip.current == 1


def test_leaf_keys_are_the_leaves_of_the_gauge(gaps: GapsPresenter) -> None:
    view = gaps.view()
    assert view.mode == "leaves"
    assert [k.text for k in view.leaves] == [f"{mm:.2f}" for mm in core.GAUGES["feeler leaves"].leaves_mm]
    assert view.pad == ()


def test_all_stations_then_the_result_is_the_main_key(gaps: GapsPresenter, session: Session) -> None:
    for _ in range(SITES):
        view = gaps.press("leaf:0.3")
    assert (view.station, view.progress) == ("all stations read", "10 of 10 read")
    assert key(view, "all").main
    assert key(view, "all").text == "See result"
    view = gaps.press("leaf:0.3")
    assert view.complaint == "every station is read; tap the one to be read again"
    assert len(events_of(session, "gap_read")) == SITES
    assert gaps.press("all").go == "next_step"
    assert [e["text"] for e in events_of(session, "note")] == ["Cautions read and understood"]


def test_that_is_all_is_kept_in_the_log(gaps: GapsPresenter, session: Session) -> None:
    assert not key(gaps.view(), "all").enabled
    assert gaps.press("all").complaint == "read at least one gap first"
    gaps.press("leaf:0.3")
    assert gaps.press("all").go == "next_step"
    assert events_of(session, "note")[-1]["text"] == "That is all: 1 of 10 gaps read"


def test_a_slipped_point_is_questioned_after_it_was_logged(gaps: GapsPresenter, session: Session) -> None:
    view = gaps.typed("3.5\n")
    assert view.question == (
        "3.50 mm was read, 0.30 ± 0.08 mm is expected. 0.35 mm would fit: is the point in the right place?"
    )
    assert (view.station, view.expected) == ("station 1 of 10", "0.30 ± 0.08 mm")
    assert view.strip.marks[0].suspect
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


def test_one_band_is_told_of_one_reading(
    gaps: GapsPresenter, session: Session, advise: Callable[..., None]
) -> None:
    """Beside the station as in the question, also once a refit that knows of the reading says otherwise."""
    view = gaps.typed("2\n")
    assert "2.00 mm was read, 0.30 ± 0.08 mm is expected." in view.question
    advise(expected_reading_mm=np.full(SITES, 0.5))
    settled(session)
    assert gaps.view().expected == "0.30 ± 0.08 mm"
    assert gaps.press("again").expected == "0.30 ± 0.08 mm"
    assert gaps.typed("0.3\n").question == ""
    assert gaps.tap(0).expected != "0.30 ± 0.08 mm"


def test_one_band_is_told_of_what_the_refit_sets_aside(
    gaps: GapsPresenter, session: Session, advise: Callable[..., None]
) -> None:
    for _ in range(SITES):
        gaps.press("leaf:0.3")
    advise(suspects=(core.Suspect(4, 0.3, 0.05, -0.05, 0.15, 5.0),))
    session.finish(session.begin().run())
    view = gaps.view()
    assert "everything else says 0 to 0.15 mm" in view.question
    assert view.expected == "0 to 0.15 mm"
    assert gaps.press("again").expected == "0 to 0.15 mm"


def test_the_same_doubtful_reading_twice_stands(gaps: GapsPresenter, session: Session) -> None:
    gaps.typed("2\n")
    gaps.press("again")
    view = gaps.typed("2,05\n")
    assert view.question == ""
    assert events_of(session, "gap_read")[-1]["confirmed"] is True


def test_a_second_doubtful_reading_that_differs_is_questioned_again(gaps: GapsPresenter) -> None:
    gaps.typed("2\n")
    assert gaps.typed("4\n").question.startswith("4.00 mm was read")


def test_a_template_seated_otherwise_shifts_the_expectation(gaps: GapsPresenter) -> None:
    """Every gap is 1 mm wider than at the best seating: only the first is a surprise."""
    assert gaps.typed("1.3\n").question != ""
    view = gaps.press("right")
    assert view.expected == "1.30 ± 0.08 mm"
    for _ in range(SITES - 1):
        assert gaps.typed("1.3\n").question == ""


def test_a_tilted_template_is_no_surprise_after_two(gaps: GapsPresenter) -> None:
    asked = []
    for i in range(SITES):
        asked.append(bool(gaps.typed(f"{0.3 + 0.4 * i:.2f}\n").question))
        if asked[-1]:
            gaps.press("right")
    assert asked[0] is False  # as expected
    assert asked[2:] == [False] * (SITES - 2)


@pytest.mark.parametrize(
    ("text", "mm"),
    [("0.35", 0.35), (".3", 0.3), ("0,35", 0.35), ("0.012 in", 0.3048), ("12 thou", 0.3048), ("0.3 mm", 0.3)],
)
def test_typed_readings_are_understood(gaps: GapsPresenter, session: Session, text: str, mm: float) -> None:
    """Inch of 25.4 mm exactly: international yard and pound agreement, 1959."""
    gaps.typed(text + "\n")
    assert events_of(session, "gap_read")[-1]["gap_mm"] == pytest.approx(mm)


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("-0.2", "“-0.2”: a gap to the inside template is 0 or more; where it touches, “Touching”"),
        (
            "12",
            "“12”: this gauge, feeler leaves, reads up to 5.00 mm; touch “Beyond”, or take another gauge",
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
    assert (view.complaint, view.entry) == (complaint, text)
    assert events_of(session, "gap_read") == []


def test_a_gauge_types_on_after_a_reading_that_was_not_taken(gaps: GapsPresenter, session: Session) -> None:
    """What Enter refused is not stuck before the next number, but can still be mended by rubbing out."""
    assert gaps.typed("0.3.5\n").complaint
    view = gaps.typed("0.35\n")
    assert view.complaint == ""
    assert [e["gap_mm"] for e in events_of(session, "gap_read")] == [0.35]
    gaps.typed("0.400.\n")
    gaps.typed("x\n")
    assert gaps.typed("\b\b0.4").entry == "0.4"


def test_touching_beyond_and_skip(session: Session, advise: Callable[..., None]) -> None:
    nothing_known = np.full(SITES, np.nan)
    advise(expected_reading_mm=nothing_known, expected_reading_sd_mm=nothing_known)
    gaps = GapsPresenter(settled(session))
    assert gaps.view().expected == "not known yet"
    assert gaps.view().nearest == ""
    for name in ("touching", "beyond", "skip"):
        view = gaps.press(name)
    assert [e["gap_mm"] for e in events_of(session, "gap_read")] == ["touching", "beyond", None]
    assert [m.text for m in view.strip.marks[:4]] == ["touches", "> 5.00", "skipped", ""]
    assert [m.state for m in view.strip.marks[:4]] == ["ok", "over", "plain", "todo"]
    assert (view.station, view.progress) == ("station 4 of 10", "2 of 10 read")


def test_beyond_is_no_surprise_where_a_wide_gap_is_expected(
    session: Session, advise: Callable[..., None]
) -> None:
    advise(expected_reading_mm=np.full(SITES, 40.0), expected_reading_sd_mm=np.full(SITES, 1.0))
    gaps = GapsPresenter(settled(session))
    assert gaps.press("beyond").question == ""
    assert gaps.press("leaf:0.3").question != ""


def test_any_station_can_be_read_again(gaps: GapsPresenter, session: Session) -> None:
    for _ in range(3):
        gaps.press("leaf:0.3")
    view = gaps.tap(0)
    assert view.station == "station 1 of 10"
    view = gaps.press("leaf:0.25")
    assert view.station == "station 4 of 10"
    assert [m.text for m in view.strip.marks[:3]] == ["0.25", "0.30", "0.30"]
    assert len(events_of(session, "gap_read")) == 4


def test_undo_goes_back_to_that_station_and_history_stays(gaps: GapsPresenter, session: Session) -> None:
    gaps.press("leaf:0.3")
    gaps.press("leaf:0.25")
    assert key(gaps.view(), "undo").why == "takes back 0.25 mm at station 2"
    view = gaps.press("undo")
    assert view.station == "station 2 of 10"
    assert view.strip.marks[1].text == ""
    assert [e["event"] for e in session.events][-3:] == ["gap_read", "gap_read", "withdrawn"]
    gaps.press("undo")
    assert len(rounds.passes(session.live)) == 1


def test_done_as_shown_by_mistake_is_taken_back_where_it_led_to(
    gaps: GapsPresenter, session: Session
) -> None:
    """Once no reading is left, the pass itself, back to its card; then nothing more."""
    gaps.press("leaf:0.3")
    assert key(gaps.press("undo"), "undo").text == "Undo pass"
    assert key(gaps.view(), "undo").why == "takes back shrink pass, 30 strokes"
    view = gaps.press("undo")
    assert view.go == "pass_card"
    assert rounds.passes(session.live) == []
    assert len(events_of(session, "pass_done")) == 1, "it stays in the record"
    assert not key(view, "undo").enabled
    assert gaps.press("undo").complaint == "no reading is there to be undone"


def test_counter_work_is_taken_back_to_where_it_is_run(gaps: GapsPresenter, session: Session) -> None:
    session.log(core.counter_done("shrink", [2] * 10, "medium"))
    assert gaps.press("undo").go == "bow"
    assert len(rounds.passes(session.live)) == 1


def test_another_gauge_for_a_wide_place(gaps: GapsPresenter, session: Session) -> None:
    gaps.press("leaf:0.3")
    view = gaps.press("gauge")
    assert [k.name for k in view.choices] == [f"choose:{name}" for name in core.GAUGES]
    view = gaps.press("choose:steel rule")
    assert view.mode == "pad"
    gaps.typed("12\n")
    gaps.press("right")
    assert [e.get("gauge") for e in events_of(session, "gap_read")] == [None, "steel rule", "steel rule"]
    view = gaps.view()
    assert view.progress == "2 of 10 read"
    assert view.strip.marks[1].text == "12.00"


def test_another_template_says_that_nothing_is_known(gaps: GapsPresenter, session: Session) -> None:
    gaps.press("template")
    view = gaps.press("choose:layout line")
    assert view.expected == "not known yet"
    assert key(GapsPresenter.press(gaps, "pad"), "digit:-").enabled
    gaps.typed("-0.4\n")
    last = events_of(session, "gap_read")[-1]
    assert (last["gap_mm"], last["template"]) == (-0.4, "layout line")
    assert gaps.view().strip.range_mm[0] < 0


def test_half_typed_text_outlives_another_look_and_a_new_pass_clears_it(
    gaps: GapsPresenter, session: Session
) -> None:
    gaps.typed("0.3")
    assert gaps.view().entry == "0.3"
    session.finish(session.begin().run())
    assert gaps.view().entry == "0.3"
    assert gaps.press("erase").entry == "0."
    session.log(core.pass_done("shrink", [1] * SITES))
    assert gaps.view().entry == ""


def test_a_restart_finds_the_round_as_it_was(gaps: GapsPresenter, session: Session) -> None:
    gaps.press("leaf:0.3")
    gaps.press("skip")
    session.open(session.part_id)
    view = GapsPresenter(session).view()
    assert (view.station, view.progress) == ("station 3 of 10", "1 of 10 read")
    assert view.expected == "not known yet"  # until the refit is back


def test_one_undo_takes_back_a_doubted_reading_with_its_answer(gaps: GapsPresenter) -> None:
    gaps.typed("4.5\n")
    gaps.press("right")
    view = gaps.press("undo")
    assert (view.station, view.progress) == ("station 1 of 10", "0 of 10 read")
    assert view.last == "taken back: 4.50 mm at station 1"


def test_a_station_left_out_is_offered(
    gaps: GapsPresenter, session: Session, advise: Callable[..., None]
) -> None:
    """A column slipped: what was typed for station 1 is what station 3 should read."""
    advise(
        expected_reading_mm=np.array([1.3, 2.3, 3.3, *[4.0] * 7]), expected_reading_sd_mm=np.full(SITES, 0.1)
    )
    session.log(core.template_seated())
    settled(session)
    question = gaps.typed("3.2\n").question
    assert question.endswith("1.30 ± 0.20 mm is expected. It would fit station 3: was one left out?")


def test_which_way_is_above_0_is_said_where_it_can_go_either_way(session: Session) -> None:
    """A rigid template touches; a layout line does not. A minus is as wide as a plus."""
    gaps = GapsPresenter(settled(session))
    assert gaps.view().strip.scale_text == "gap, mm"
    gaps.press("template")
    view = gaps.press("choose:layout line")
    assert view.strip.scale_text == "gap, mm, + outward of the line"
    assert gaps.typed("-0.4\n").last == "station 1: −0.40 mm"


def test_a_rule_has_no_key_for_what_is_beyond_it(gaps: GapsPresenter) -> None:
    assert "beyond" in [k.name for k in gaps.view().keys]
    gaps.press("gauge")
    assert "beyond" not in [k.name for k in gaps.press("choose:steel rule").keys]


def test_a_seating_starts_a_new_round(gaps: GapsPresenter) -> None:
    gaps.press("leaf:0.3")
    view = gaps.press("seated")
    assert (view.station, view.progress) == ("station 1 of 10", "0 of 10 read")
    assert gaps.press("undo").progress == "1 of 10 read"


def test_what_the_refit_sets_aside_is_asked_for_at_the_end(
    gaps: GapsPresenter, session: Session, advise: Callable[..., None]
) -> None:
    for _ in range(SITES):
        gaps.press("leaf:0.3")
    advise(suspects=(core.Suspect(4, 0.3, 0.05, -0.05, 0.15, 5.0),))
    session.finish(session.begin().run())
    view = gaps.view()
    assert view.station == "station 5 of 10"
    assert view.question == ("0.30 mm was read, everything else says 0 to 0.15 mm. Read it again, please.")
    gaps.press("right")
    assert (
        events_of(session, "gap_read")[-1] | {"confirmed": True, "station": 4}
        == events_of(session, "gap_read")[-1]
    )
    settled(session)
    assert gaps.view().station == "all stations read"


def test_what_touches_is_asked_for_by_the_word_that_was_touched(
    gaps: GapsPresenter, session: Session, advise: Callable[..., None]
) -> None:
    """Even where all readings are alike: none of them says what is expected."""
    for station in range(SITES):
        session.log(core.gap_read(station, "touching"))
    advise(suspects=(core.Suspect(4, 0.0, 9.6, 8.6, 10.6, 15.0),))
    session.finish(session.begin().run())
    question = gaps.view().question
    assert question == "“Touching” was read, everything else says 9.6 ± 1.0 mm. Read it again, please."


def test_next_screen_can_send_here(gaps: GapsPresenter, session: Session) -> None:
    session.focus_station = 6
    assert gaps.view().station == "station 7 of 10"
    assert session.focus_station is None


def test_a_full_disk_takes_nothing(
    gaps: GapsPresenter, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: Any, **__: Any) -> None:
        raise core.StoreError("rib.json", "no space left")

    monkeypatch.setattr(session.shop.open(session.part_id), "append", full)
    view = gaps.typed("0.3\n")
    assert view.complaint == "Not written: no space left; touch again"
    assert (view.entry, view.station, view.progress) == ("0.3", "station 1 of 10", "0 of 10 read")


def test_a_sweep_is_not_asked_for_where_it_overhangs(session: Session, advise: Callable[..., None]) -> None:
    advise(an_advice())
    document = {**session.shop.open(session.part_id).job_document, "template": {"sweep": "200 mm"}}
    session.open(session.shop.new_part(document))
    gaps = GapsPresenter(settled(session))
    view = gaps.view()
    assert (view.station, view.progress) == ("station 3 of 10", "0 of 6 read")  # at 100 mm, half the chord
    assert gaps.tap(0).complaint == "“1”: the template cannot be offered up there"


def test_keys_have_names_that_can_be_pressed(gaps: GapsPresenter) -> None:
    view = gaps.press("pad")
    for one in (*view.keys, *view.pad, *view.leaves):
        assert one.name.partition(":")[0] in gaps.touches
    with pytest.raises(KeyError):
        gaps.press("no such key")
