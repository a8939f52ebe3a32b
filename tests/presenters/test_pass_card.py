"""The pass card: what to set, where the strokes go, and the log of what was really done."""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest

import core
from shopapp.presenters import feeding, metal_words
from shopapp.presenters.limit_runs import counted, runs
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.pieces import OVER, Fact
from shopapp.presenters.session import Session
from tests.presenters.conftest import RIB, SITES, a_pass, events_of, key, settled

AS_PLANNED = [3] * 8 + [0, 0]


@pytest.fixture
def card(session: Session) -> PassCardPresenter:
    return PassCardPresenter(settled(session))


def test_the_card_says_all_that_has_to_be_set(card: PassCardPresenter) -> None:
    view = card.view()
    assert view.header.where == "Shutter rib 3, pass 1 of 1"
    assert (view.action, view.arrows) == ("Shrink", "together")
    assert [(f.label, f.value) for f in view.facts] == [
        ("Strokes in all", "24"),
        ("Tool set", "no name, patch 20 × 15 mm"),
        ("Expected widest gap", "0.42 ± 0.10 mm"),
        ("Chance of going too far", "4 %"),
        ("Nearest to a limit", "0 % of the strain allowed in one pass, station 1"),
        ("Pacer", "3 s to take hold, 27 s of strokes"),
    ]
    assert (view.bite, view.setting) == ("medium", "gripping face, 120/min")
    assert view.strip is not None
    assert view.strip.strokes == tuple(AS_PLANNED)
    bracket = view.strip.brackets[0]
    assert (bracket.text, bracket.feed, bracket.mm_per_s, bracket.s) == (
        "3 strokes each",
        "12 mm/s, 27 s",
        "12",
        "27",
    )
    assert [k.text for k in view.keys] == ["Done as shown", "Done differently", "Not done"]
    assert [k.name for k in view.keys if k.main] == ["done"]


def test_ram_setting_and_time_stand_on_the_card(session: Session, advise: Callable[..., None]) -> None:
    document = copy.deepcopy(dict(session.job.document))
    document["tool"]["settings"] = {"medium": "notch 3"}
    session.open(session.shop.new_part(document))
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    advise(next_pass=replace(a_pass(), minutes=7.4), minutes_left=100.2)
    view = PassCardPresenter(settled(session)).view()
    facts = {f.label: f.value for f in view.facts}
    assert view.setting == "ram notch 3, gripping face, 120/min"
    assert facts["Time"] == "about 7 min, plan 1 h 40 min"
    advise(next_pass=replace(a_pass(), minutes=7.4), minutes_left=100.2, remaining=(a_pass(gap=0.7),))
    session.log(core.template_seated())
    facts = {f.label: f.value for f in PassCardPresenter(settled(session)).view().facts}
    assert facts["Time"] == "about 7 min, plan 1 h 40 min; more passes may follow"


def test_what_the_machine_makes_of_the_feed_stands_on_the_card(
    session: Session, advise: Callable[..., None]
) -> None:
    """A change of tool first, a lower stroke rate, one zone in two goes and one standing."""
    twice, still = core.Zone(0, 3, 6, 20.0, 40.0, goes=2), core.Zone(5, 6, 1, 4.0, 10.0, standing=True)
    planned = replace(a_pass(), minutes=7.4, change_minutes=5.0, strokes_per_minute=90.0, feed=(twice, still))
    advise(next_pass=planned, minutes_left=30.0, tool_changes=2, change_minutes=10.0)
    view = PassCardPresenter(settled(session)).view()
    facts = {f.label: f.value for f in view.facts}
    assert facts["Tool first"] == "change to it, about 5 min"
    assert view.setting == "gripping face, 90/min, slower for the feed"
    assert facts["Time"] == "about 7 min, plan 30 min, 2 tool changes (10 min) in it"
    assert facts["Feed"].startswith("×2: gone over twice") and "stand: strokes made standing" in facts["Feed"]
    assert feeding.fed(replace(still, spots=4)) == "standing, over 4 spots"
    assert view.strip is not None
    assert [(b.feed, b.mm_per_s) for b in view.strip.brackets] == [
        ("20 mm/s, 2 goes, 40 s", "20 ×2"),
        ("standing, 10 s", "stand"),
    ]


def test_stretching_pulls_apart(session: Session, advise: Callable[..., None]) -> None:
    advise(next_pass=a_pass("stretch"))
    view = PassCardPresenter(settled(session)).view()
    assert (view.action, view.arrows) == ("Stretch", "apart")


def test_done_as_shown_is_one_touch(card: PassCardPresenter, session: Session) -> None:
    assert card.press("done").go == "gaps"
    (event,) = events_of(session, "pass_done")
    assert (event["action"], event["bite"], event["strokes"]) == ("shrink", "medium", AS_PLANNED)
    note = events_of(session, "note")[-1]
    assert note["text"] == "Pass 1: shrink, medium bite, 24 strokes; done as shown"
    asked = {"action": "shrink", "bite": "medium", "strokes": AS_PLANNED}
    assert note["planned"] == {"as_shown": True, "gap_mm": 0.42, "gap_sd_mm": 0.05, **asked}
    assert event["who"] == "A. Worker"


def test_not_done_logs_nothing(card: PassCardPresenter, session: Session) -> None:
    assert card.press("not_done").go == "part"
    assert events_of(session, "pass_done") == []


def test_done_differently_by_station(card: PassCardPresenter, session: Session) -> None:
    view = card.press("differently")
    assert (view.editing, view.edit_text) == ("station", "station 1: 3 strokes")
    card.tap(4)
    view = card.press("plus")
    assert (view.edit_at, view.edit_text) == ((4, 4), "station 5: 4 strokes")
    card.tap(0)
    view = card.press("clear")
    assert view.edit_text == "station 1: 0 strokes"
    assert not key(view, "minus").enabled
    card.press("bite:light")
    assert card.press("save").go == "gaps"
    (event,) = events_of(session, "pass_done")
    assert event["strokes"] == [0, 3, 3, 3, 4, 3, 3, 3, 0, 0]
    assert event["bite"] == "light"
    assert events_of(session, "note")[-1]["planned"]["as_shown"] is False


LIMITS = core.Limits()


def use_of(action: str, bite: str, strokes: Sequence[int], annealed_first: bool = False) -> core.LimitUse:
    """A tenth of one pass a stroke; at the last station, of the whole job."""
    of = (LIMITS.per_pass,) * (SITES - 1) + (LIMITS.in_all,)
    return core.LimitUse(np.asarray(strokes) / 10.0, of)


def test_the_strip_names_the_limit_that_binds_in_runs(session: Session, advise: Callable[..., None]) -> None:
    advise(limit_use=use_of("shrink", "medium", [3] * 7 + [5, 0, 9]))
    strip = PassCardPresenter(settled(session)).view().strip
    assert [(r.first, r.last, r.texts[0], r.over) for r in strip.limits] == [
        (0, 7, "one pass, up to 50 %", False),
        (9, 9, "whole job, 90 %", False),
    ]


def test_a_few_stations_without_strokes_do_not_part_a_run() -> None:
    def ends(strokes: list[int]) -> list[tuple[int, int]]:
        found = runs(core.LimitUse(np.asarray(strokes) / 10.0, (LIMITS.per_pass,) * len(strokes)))
        return [(run.first, run.last) for run in found]

    assert ends([0, 1, 0, 0, 2, 1, 0]) == [(1, 5)]
    assert ends([1, 0, 12, 11, 0, 1]) == [(0, 0), (2, 3), (5, 5)]  # those beyond it stand alone
    assert ends([1, *[0] * 8, 1]) == [(0, 0), (9, 9)]
    assert ends([0, 0]) == []


def test_a_station_that_is_touched_tells_its_limit_in_full(
    session: Session, advise: Callable[..., None]
) -> None:
    advise(limit_use=use_of("shrink", "medium", [3] * 9 + [9]))
    card = PassCardPresenter(settled(session))
    view = card.tap(9)
    assert (view.strip.current, view.edit_text) == (9, "station 10: 90 % of whole job")
    assert (view.facts[0].label, view.facts[0].value) == (
        "Station 10",
        "90 % of the strain allowed in the whole job: no more than 25 % of natural edge strain in the whole "
        "job (common practice, no source)",
    )
    assert card.tap(9).strip.current is None  # touched again it is gone
    card.tap(3)
    session.log(core.annealed())
    assert PassCardPresenter(settled(session)).view().strip.current is None


def test_limits_follow_the_counts_while_they_are_changed(
    session: Session, advise: Callable[..., None]
) -> None:
    advise(use_of=use_of)
    card = PassCardPresenter(settled(session))
    view = card.press("differently")
    assert view.strip.used == tuple(m / 10.0 for m in AS_PLANNED)
    assert view.edit_text == "station 1: 3 strokes, 30 % of one pass"
    assert [f.value for f in view.facts if f.label == "Nearest to a limit"] == [
        "30 % of the strain allowed in one pass, station 1, if the strokes do as much as they may 1 time in "
        f"{1 / use_of('shrink', 'medium', AS_PLANNED).of[0].risk:.0f}"
    ]
    kept = core.Limits().of_one_pass
    assert [counted(core.LimitUse(np.array([0.5]), (limit,))) for limit in kept] == [
        ", by what the strokes are expected to do",
        ", if the strokes do as much as they may 1 time in 20",
    ]
    view = card.typed("12")
    assert view.strip.used[0] == 1.2 and view.strip.over == {0}
    assert view.strip.limits[0].texts[1] == "one pass 120 %"
    (fact,) = [f for f in view.facts if f.label == "Beyond a limit"]
    assert fact == Fact("Beyond a limit", "120 % of the strain allowed in one pass, station 1", OVER)
    view = card.tap(4)
    assert view.edit_text == "station 5: 3 strokes, 30 % of one pass; beyond a limit: station 1"
    assert (key(view, "save").enabled, key(view, "save").why) == (True, "beyond a limit: station 1")
    card.tap(0)
    assert card.press("minus").strip.used[0] == pytest.approx(1.1)
    assert card.press("as_shown").strip.over == frozenset()


def test_counts_whose_limits_nobody_knows_have_no_bars(card: PassCardPresenter) -> None:
    view = card.press("differently")
    assert (view.strip.used, view.strip.limits) == ((), ())


def test_done_differently_by_zone(card: PassCardPresenter, session: Session) -> None:
    card.press("differently")
    card.tap(3)
    view = card.press("by_zone")
    assert (view.edit_at, view.edit_text) == ((0, 7), "stations 1 to 8: 3 strokes")
    card.press("minus")
    card.press("save")
    assert events_of(session, "pass_done")[0]["strokes"] == [2] * 8 + [0, 0]


def test_counts_can_be_typed_one_after_the_other(card: PassCardPresenter, session: Session) -> None:
    card.press("differently")
    view = card.typed("12\n0\n5")
    assert view.edit_text == "station 3: 5 strokes"
    assert card.typed("\b").edit_text == "station 3: 0 strokes"
    assert card.typed("x").complaint == "“x”: a whole number up to 99 is wanted"
    card.press("save")
    assert events_of(session, "pass_done")[0]["strokes"][:4] == [12, 0, 0, 3]


def test_no_strokes_at_all_is_not_a_pass(card: PassCardPresenter, session: Session) -> None:
    card.press("differently")
    card.press("by_zone")
    view = card.press("clear")
    assert (key(view, "save").enabled, key(view, "save").why) == (False, "no strokes at all")
    assert card.press("save").complaint == "at least one stroke is wanted; else touch Not done"
    assert events_of(session, "pass_done") == []


def test_edits_outlive_another_look_and_can_be_dropped(card: PassCardPresenter) -> None:
    card.press("differently")
    card.press("plus")
    assert card.view().strip.strokes[0] == 4
    assert card.press("as_shown").strip.strokes == tuple(AS_PLANNED)
    assert card.press("cancel").editing == ""


def test_before_the_cautions_are_read_no_pass_is_shown(session: Session) -> None:
    session.open(session.shop.new_part(RIB))
    card = PassCardPresenter(settled(session))
    view = card.view()
    assert [(k.name, k.main) for k in view.keys] == [("cautions", True)]
    assert card.press("done").complaint == "no pass can be logged before it is shown"
    assert events_of(session, "pass_done") == []


def test_a_card_that_is_not_up_to_date_cannot_be_logged(session: Session) -> None:
    """The first refit of a part runs in the screen's thread; until it is back there is nothing to log."""
    session.open(session.part_id)
    card = PassCardPresenter(session)
    assert card.view().busy == "Working out the next pass …"
    assert card.press("done").complaint == "no pass can be logged before it is shown"
    assert events_of(session, "pass_done") == []


def test_an_old_card_cannot_be_logged_either(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a slow tablet the advice of before the last entry is still there; its pass is not for now."""
    card = PassCardPresenter(settled(session))
    monkeypatch.setattr("shopapp.presenters.session.WAIT_S", -1.0)
    session.log(core.annealed())
    assert card.view().busy == "Working out the next pass …"
    assert card.press("done").complaint == "no pass can be logged before it is shown"
    assert events_of(session, "pass_done") == []


def test_an_anneal_before_the_pass_is_told_with_its_heat_and_how(
    session: Session, advise: Callable[..., None]
) -> None:
    """As assets/metals.json has it of 5754-O, and why another metal is not."""
    advise(next_pass=replace(a_pass(), anneal_first=True))
    facts = {f.label: f.value for f in PassCardPresenter(settled(session)).view().facts}
    assert facts["Before the pass"] == "anneal first"
    assert facts["Annealing"].startswith("360 to 380 °C, hold only until it is hot all through")
    assert facts["Annealing"].endswith("soft annealing); the supplier's own instructions first")
    assert metal_words.annealing(core.METALS["titanium-zinc EN 988"]).startswith("heat above about 300 °C")


def test_nothing_left_to_plan(session: Session, advise: Callable[..., None]) -> None:
    advise(next_pass=None, remaining=(), verdict="within")
    view = PassCardPresenter(settled(session)).view()
    assert view.facts[0].value == "No pass is planned"
    assert [k.name for k in view.keys] == ["next_step"]


def test_counts_before_the_last_reading_stand_beside(session: Session, advise: Callable[..., None]) -> None:
    advise(before=(a_pass(each=2),))
    card = PassCardPresenter(settled(session))
    assert card.view().strip.before == (2, 2, 2, 2, 2, 2, 2, 2, 0, 0)
    advise(before=(a_pass("stretch", each=2),))
    session.log(core.annealed())
    settled(session)
    assert card.view().strip.before == ()


def test_the_pacer_runs_through_the_zone(card: PassCardPresenter) -> None:
    view = card.view()
    assert view.pacer_seconds == pytest.approx(29.7)
    assert view.pacer_text == "Pacer, 27 s"
    assert card.pacer(1.0).text == "get ready, 2 s"
    middle = card.pacer(3.0 + 26.7 / 2)
    assert middle.position_mm == pytest.approx(160.0)
    assert (middle.zone, middle.text) == (0, "zone 1 of 1, 12 mm/s, 13 s left")
    assert card.pacer(100.0).finished
    assert np.isclose(card.pacer(100.0).position_mm, 320.0)


def test_there_are_as_many_sites_as_the_fixture_says(session: Session) -> None:
    assert len(session.job.part.sites) == SITES
