"""The bow at the screen: side, size, counter-work; what Next says of it; only where a section bows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from shopapp.demo_jobs import demo_jobs
from shopapp.presenters.bow import BowPresenter
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from tests.presenters.conftest import SITES, events_of, key, settled

UPRIGHT = "the upright flange"
COUNTER = core.Counter("upright flange", "shrink", "medium", np.full(SITES, 2), bow_mm=2.0, closes_mm=-0.4)


def effect(bow_mm: float, sd_mm: float) -> core.OutOfPlane:
    side = f"{'towards' if bow_mm >= 0 else 'away from'} {UPRIGHT}"
    return core.OutOfPlane(bow_mm, sd_mm, 0.0, 0.0, side)


NOW, END = effect(-2.0, 0.5), effect(-3.0, 0.8)
HELD = ("For the finish check, at most 1.00 mm", "outside")
NOW_TEXT = f"2.00 ± 0.98 mm away from {UPRIGHT}"


@pytest.fixture
def bowed(session: Session, advise: Callable[..., None]) -> Session:
    """The angle after its first pass, 2.0 mm away from the upright flange expected."""
    advise(side_effects=NOW, side_effects_then=END, side_effects_end=END)
    session.log(core.pass_done("shrink", [3] * SITES))
    session.log(core.gaps_read([0.3] * SITES))
    return settled(session)


def bow_facts(session: Session) -> list[tuple[str, str]]:
    return [(f.label, f.value) for f in NextPresenter(settled(session)).view().bow]


def names(view: Any) -> list[str]:
    return [k.name for k in view.keys]


def test_next_leads_to_it_and_says_what_is_expected(bowed: Session) -> None:
    after = NextPresenter(bowed)
    assert [(f.label, f.value) for f in after.view().bow] == [
        ("Bow expected by now", f"2.00 ± 0.98 mm away from {UPRIGHT}"),
        HELD,
        ("Bow that the plan leaves", f"3.0 ± 1.6 mm away from {UPRIGHT}"),
    ]
    assert after.press("bow").go == "bow"


def test_the_side_is_said_in_words_and_comes_first(bowed: Session) -> None:
    bow = BowPresenter(bowed)
    view = bow.view()
    assert [(k.name, k.text) for k in view.keys] == [
        ("side:0", f"Towards {UPRIGHT}"),
        ("side:1", f"Away from {UPRIGHT}"),
        ("straight", "No bow"),
    ]
    assert [(f.label, f.value) for f in view.facts] == [("Expected", NOW_TEXT)]
    assert not view.pad
    view = bow.typed("2")
    assert (view.entry, view.complaint) == ("", "first touch the side that the middle stands out to")
    view = bow.press("side:1")
    assert {k.name for k in view.pad} == {*(f"digit:{c}" for c in "0123456789."), "erase", "enter"}
    assert view.side == f"away from {UPRIGHT}"
    assert bow.press("sides").side == ""


@pytest.mark.parametrize(("side", "sign"), [(0, 1.0), (1, -1.0)])
def test_the_side_is_the_sign_in_the_log(bowed: Session, side: int, sign: float) -> None:
    """As the core has it: > 0 towards the upright flange of an angle."""
    bow = BowPresenter(bowed)
    bow.press(f"side:{side}")
    for digit in "2.5":
        bow.press(f"digit:{digit}")
    assert bow.press("enter").go == "next_step"
    (event,) = events_of(bowed, "bow_read")
    assert event["bow_mm"] == sign * 2.5
    assert "countered" not in event


def test_no_bow_is_one_touch(bowed: Session) -> None:
    assert BowPresenter(bowed).press("straight").go == "next_step"
    assert events_of(bowed, "bow_read")[0]["bow_mm"] == 0.0
    assert bow_facts(bowed)[0] == (f"Bow read, {NOW_TEXT} expected", "0.00 mm")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("-2", "a size of 0 or more is wanted; its side is a key"),
        ("101", "at most 100.0 mm either way, a quarter of the length, is wanted"),
        ("x", "a reading such as 0.35"),
    ],
)
def test_what_no_bar_has_is_refused_and_stays_typed(bowed: Session, typed: str, said: str) -> None:
    bow = BowPresenter(bowed)
    bow.press("side:0")
    view = bow.typed(f"{typed}\n")
    assert said in view.complaint
    assert (view.entry, view.go, events_of(bowed, "bow_read")) == (typed, "", [])


def test_a_gauge_types_on_after_a_bow_that_was_not_taken(bowed: Session) -> None:
    """Digits begin anew after Enter was refused; rubbing out changes what was typed."""
    bow = BowPresenter(bowed)
    bow.press("side:0")
    bow.typed("999\n")
    assert bow.typed("2").entry == "2"
    bow.typed("9999\n")
    assert bow.typed("\b").entry == "2999"


def test_typing_by_keyboard_or_gauge_takes_comma_and_units(bowed: Session) -> None:
    bow = BowPresenter(bowed)
    bow.press("side:0")
    assert bow.typed("2,57\b\n").go == "next_step"
    bow.press("side:1")
    bow.typed("0.1 in\n")
    assert [e["bow_mm"] for e in events_of(bowed, "bow_read")] == pytest.approx([2.5, -2.54])


def test_next_holds_what_was_read_against_what_was_expected(
    bowed: Session, advise: Callable[..., None]
) -> None:
    """What was expected is kept as it was, whatever the refit makes of the reading."""
    bow = BowPresenter(bowed)
    bow.press("side:1")
    advise(side_effects=effect(-2.6, 0.3), side_effects_end=effect(-3.4, 0.5))
    bow.typed("2.6\n")
    view = NextPresenter(settled(bowed)).view()
    assert [(f.label, f.value) for f in view.bow] == [
        ("Bow read, 2.00 ± 0.98 mm expected", f"2.60 mm away from {UPRIGHT}"),
        HELD,
        ("Bow that the plan leaves", f"3.40 ± 0.98 mm away from {UPRIGHT}"),
    ]
    assert view.last == f"bow 2.60 mm away from {UPRIGHT}"


@pytest.mark.parametrize(("bow", "verdict"), [(0.5, "within"), (-0.5, "within"), (0.9, "too close to call")])
def test_the_bow_is_held_against_the_finish_check_either_way(
    bowed: Session, advise: Callable[..., None], bow: float, verdict: str
) -> None:
    """Limit 1.0 mm, sd 0.1: open from 0.84 to 1.16 (JCGM 106:2012, 8.3.2)."""
    advise(side_effects=effect(bow, 0.1), side_effects_end=END)
    bowed.log(core.gaps_read([0.3] * SITES))
    assert bow_facts(bowed)[1] == (HELD[0], verdict)


def test_a_finish_check_that_contradicts_the_bow_is_asked_for_again(
    bowed: Session, advise: Callable[..., None]
) -> None:
    """9.5 mm with sd 0.3, beside 0.03 of the leaves, is expected: from 8.3 on it is no surprise (4 sd)."""
    advise(side_effects=effect(-9.5, 0.3))
    bowed.log(core.gaps_read([0.3] * SITES))
    settled(bowed)
    finish = FinishPresenter(bowed)
    finish.press("row:flatness")
    view = finish.typed("0.3\n")
    said = f"0.30 mm was read, by the bow so far 9.50 ± 0.59 mm away from {UPRIGHT} is expected."
    assert {row.name: row.complaint for row in view.rows}["flatness"].startswith(said)
    assert events_of(bowed, "check_read") == []
    finish.press("enter")
    assert [event["value"] for event in events_of(bowed, "check_read")] == [0.3]
    finish.press("row:flatness")
    finish.typed("8.3\n")
    assert [event["value"] for event in events_of(bowed, "check_read")] == [0.3, 8.3]


def test_the_side_expected_is_said_where_it_was_the_other(bowed: Session) -> None:
    bow = BowPresenter(bowed)
    bow.press("side:0")
    bow.typed("1\n")
    assert bow_facts(bowed)[0] == (f"Bow read, {NOW_TEXT} expected", f"1.00 mm towards {UPRIGHT}")


def test_a_bow_read_while_the_advice_is_old_has_no_expectation(bowed: Session) -> None:
    """A refit that takes long is not waited for, and an old expectation is not passed off as one."""
    bowed.log(core.pass_done("shrink", [1] * SITES))
    assert bowed._fitted is not None
    bowed._fitted = replace(bowed._fitted, seconds=60.0)
    bow = BowPresenter(bowed)
    assert bow.view().facts[0].value == "not known yet"
    bow.press("side:1")
    bow.typed("2\n")
    assert bow_facts(bowed)[0] == ("Bow read", f"2.00 mm away from {UPRIGHT}")


def test_a_reading_before_the_last_pass_is_of_another_bar(bowed: Session) -> None:
    BowPresenter(bowed).press("straight")
    bowed.log(core.pass_done("shrink", [1] * SITES))
    assert bow_facts(bowed)[0] == ("Bow expected by now", NOW_TEXT)


def test_undo_is_one_touch_on_next(bowed: Session) -> None:
    after = NextPresenter(bowed)
    assert "undo" not in names(after.view())
    assert after.press("undo").complaint == "nothing of this screen is there to be taken back"
    bow = BowPresenter(bowed)
    bow.press("side:1")
    bow.typed("2\n")
    settled(bowed)
    assert key(after.view(), "undo").why == f"takes back bow 2.00 mm away from {UPRIGHT}"
    after.press("undo")
    assert "undo" not in names(after.view())
    assert bow_facts(bowed)[0] == ("Bow expected by now", NOW_TEXT)
    assert len(events_of(bowed, "bow_read")) == 1, "it stays in the history"
    assert events_of(bowed, "withdrawn")[0]["of"] == events_of(bowed, "bow_read")[0]["id"]


def test_counter_work_is_asked_for_once_it_was_on_show(bowed: Session, advise: Callable[..., None]) -> None:
    """Also where the plan that showed it has changed since; each answer is for one reading."""
    bow = BowPresenter(bowed)
    assert "countered" not in names(bow.view())
    told = {"side_effects": NOW, "side_effects_end": END}
    advise(**told, counter=COUNTER)
    bowed.log(core.gaps_read([0.3] * SITES))
    settled(bowed)
    advise(**told)
    bowed.log(core.gaps_read([0.3] * SITES))
    settled(bowed)
    asked = key(bow.view(), "countered")
    assert (asked.text, asked.chosen) == ("Counter-work that is not in the log: no", False)
    asked = key(bow.press("countered"), "countered")
    assert (asked.text, asked.chosen) == ("Counter-work that is not in the log: yes", True)
    bow.press("side:1")
    bow.typed("1\n")
    assert events_of(bowed, "bow_read")[0]["countered"] is True
    label = "Bow read, 2.00 ± 0.98 mm expected without counter-work"
    assert bow_facts(bowed)[0] == (label, f"1.00 mm away from {UPRIGHT}")
    assert "countered" not in names(bow.view()), "that was the last reading"


FACTS = {
    "Strokes in all": "10",
    "Where": "free edge of the upright flange",
    "How": "shrink, medium bite",
    "Brings the bow back by": "1.00 ± 0.59 mm",
    "Opens the curve by": "0.20 ± 0.12 mm",
}


@pytest.fixture
def countering(bowed: Session, advise: Callable[..., None]) -> Session:
    """The same with counter-work advised: two strokes a station."""
    counter = replace(COUNTER, bow_sd_mm=0.6, closes_sd_mm=0.12)
    advise(side_effects=NOW, side_effects_then=END, side_effects_end=END, counter=counter)
    bowed.log(core.gaps_read([0.3] * SITES))
    return settled(bowed)


def test_counter_work_is_shown_by_station_half_of_it_first(countering: Session) -> None:
    bow = BowPresenter(countering)
    assert bow.view().strip is None
    opened = key(bow.view(), "counter")
    assert (opened.text, opened.why) == ("Counter-work", "20 strokes against the bow")
    view = bow.press("counter")
    assert view.strip is not None and view.strip.strokes == (1,) * SITES
    assert view.strip.arrows == "together"
    assert {f.label: f.value for f in view.facts} == FACTS
    assert view.question == "Half of it: shrink the upright flange"
    assert view.steps == (
        "The bow is only reckoned: read it first.",
        "A first guess: do half of it. Afterwards read the bow and the gaps again.",
    )
    assert [(k.name, k.text, k.main) for k in view.keys] == [
        ("counter_done", "Counter-work done", True),
        ("share", "All of it", False),
        ("reading", "Read bow", False),
    ]
    view = bow.press("share")
    assert view.strip.strokes == (2,) * SITES
    assert view.question == "All of it: shrink the upright flange"
    assert [f.value for f in view.facts if f.label == "Brings the bow back by"] == ["2.0 ± 1.2 mm"]
    assert bow.press("share").strip.strokes == (1,) * SITES
    assert bow.press("reading").strip is None
    assert events_of(countering, "counter_done") == []


@pytest.mark.parametrize("whole", [False, True])
def test_counter_work_is_logged_as_shown(countering: Session, whole: bool) -> None:
    bow = BowPresenter(countering)
    bow.press("counter")
    if whole:
        bow.press("share")
    view = bow.press("counter_done")
    assert (view.go, view.complaint, view.strip) == ("", "", None)
    (event,) = events_of(countering, "counter_done")
    assert (event["action"], event["bite"]) == ("shrink", "medium")
    assert event["strokes"] == [1 + whole] * SITES
    label, done = "Counter-work since the last reading", 10 * (1 + whole)
    assert (label, f"{done} strokes") in [(f.label, f.value) for f in bow.view().facts]
    bow.press("straight")
    assert label not in [f.label for f in bow.view().facts]
    assert len(events_of(countering, "counter_done")) == 1


def test_after_it_the_gaps_are_read_and_undo_is_one_touch(countering: Session) -> None:
    bow = BowPresenter(countering)
    bow.press("counter")
    bow.press("counter_done")
    settled(countering)
    after = NextPresenter(countering)
    assert key(after.view(), "next").text == "Read gaps"
    assert after.view().last == "counter-work, 10 strokes"
    assert key(after.view(), "undo").why == "takes back counter-work, 10 strokes"
    part = PartPresenter(countering)
    assert key(part.view(), "undo").why == "takes back counter-work, 10 strokes"
    row = part.view().rows[1]
    assert (row.number, row.status, row.action) == (None, "done", "Counter-work")
    assert (row.arrows, row.bite, row.strokes) == ("together", "medium", "10")
    after.press("undo")
    assert events_of(countering, "withdrawn")[0]["of"] == events_of(countering, "counter_done")[0]["id"]
    settled(countering)
    assert key(after.view(), "next").text != "Read gaps"


def test_a_bow_read_before_counter_work_is_of_another_bar(countering: Session) -> None:
    bow = BowPresenter(countering)
    bow.press("straight")
    assert bow_facts(countering)[0][0].startswith("Bow read")
    assert bow.press("counter").steps == (
        "A first guess: do half of it. Afterwards read the bow and the gaps again.",
    )
    bow.press("counter_done")
    assert bow_facts(countering)[0][0] == "Bow expected by now"


def test_what_was_seen_of_it_is_no_first_guess(countering: Session, advise: Callable[..., None]) -> None:
    """Then all of it is shown first; one stroke has no half."""
    advise(side_effects=NOW, side_effects_end=END, counter=replace(COUNTER, known=True, closes_mm=0.4))
    countering.log(core.gaps_read([0.3] * SITES))
    bow = BowPresenter(settled(countering))
    view = bow.press("counter")
    assert view.question.startswith("All of it") and view.steps[-1].startswith("Afterwards")
    assert "Closes the curve by" in [f.label for f in view.facts]
    single = np.zeros(SITES, dtype=np.int64)
    single[3] = 1
    advise(side_effects=NOW, side_effects_end=END, counter=replace(COUNTER, strokes=single))
    countering.log(core.gaps_read([0.3] * SITES))
    settled(countering)
    view = bow.press("counter")
    assert "share" not in names(view) and view.strip.strokes == tuple(single)


def test_counter_work_that_is_not_advised_cannot_be_logged(
    countering: Session, advise: Callable[..., None]
) -> None:
    """Nor while the advice is older than the log: what is shown then would be another bar's."""
    bow = BowPresenter(countering)
    bow.press("counter")
    countering.log(core.pass_done("shrink", [1] * SITES))
    assert countering._fitted is not None
    countering._fitted = replace(countering._fitted, seconds=60.0)
    view = bow.press("counter_done")
    assert view.complaint == "no counter-work is advised now"
    assert "counter" not in names(view) and events_of(countering, "counter_done") == []


def test_what_was_chosen_ends_with_the_part(bowed: Session, advise: Callable[..., None]) -> None:
    """Neither side nor answer is taken along to another part."""
    advise(side_effects=NOW, counter=COUNTER)
    bowed.log(core.gaps_read([0.3] * SITES))
    settled(bowed)
    bow = BowPresenter(bowed)
    bow.press("countered")
    bow.press("side:1")
    bow.typed("3")
    advise(side_effects=NOW)
    bowed.open(bowed.shop.new_part(bowed.job.document))
    settled(bowed)
    view = bow.view()
    assert (view.side, view.entry, names(view)) == ("", "", ["side:0", "side:1", "straight"])


@pytest.mark.parametrize(
    "section",
    [
        {"shape": "T", "depth": "30 mm", "flange": "30 mm", "thickness": "2 mm"},
        {"shape": "channel", "flange": "30 mm", "web": "60 mm", "thickness": "1.5 mm", "worked": "both"},
    ],
)
def test_a_section_that_does_not_bow_has_no_key(bowed: Session, section: dict[str, Any]) -> None:
    """The advice says a bow of 0 with the band of the stock, and nothing that work could change."""
    bowed.open(bowed.shop.new_part({**bowed.job.document, "section": section}))
    view = NextPresenter(settled(bowed)).view()
    assert "bow" not in names(view)
    assert view.bow == ()


def test_a_part_of_which_no_bow_is_known_has_no_key(session: Session) -> None:
    assert "bow" not in names(NextPresenter(settled(session)).view())


def test_a_signed_part_can_only_be_looked_at(bowed: Session) -> None:
    BowPresenter(bowed).press("straight")
    settled(bowed).log(core.signed_off("A. Worker"))
    view = NextPresenter(bowed).view()
    assert not key(view, "bow").enabled
    assert "undo" not in names(view)
    assert BowPresenter(bowed).press("straight").complaint.startswith("“Shutter rib 3”: it is signed off")


def test_no_plan_leaves_nothing_to_say(bowed: Session, advise: Callable[..., None]) -> None:
    advise(side_effects=NOW, side_effects_end=NOW, next_pass=None, remaining=(), verdict="within")
    bowed.log(core.gaps_read([0.3] * SITES))
    assert bow_facts(bowed) == [("Bow expected by now", NOW_TEXT), HELD]


def test_all_keys_can_be_pressed(bowed: Session, advise: Callable[..., None]) -> None:
    bow, counter = BowPresenter(bowed), BowPresenter(bowed)
    advise(side_effects=NOW, counter=COUNTER)
    bowed.log(core.gaps_read([0.3] * SITES))
    settled(bowed)
    for view in (bow.view(), bow.press("side:0"), counter.press("counter")):
        assert {k.name.partition(":")[0] for k in (*view.keys, *view.pad)} <= set(bow.touches)


def test_a_real_refit_takes_the_reading(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """Held against the core alone: the same log gives the bow that Next shows."""
    from core.refitting import refit

    monkeypatch.setattr(core, "refit", refit)
    session.log(core.pass_done("shrink", [6] * SITES))
    session.log(core.gaps_read([1.0] * SITES))
    before = settled(session).advice
    assert before is not None and before.side_effects is not None
    bow = BowPresenter(session)
    bow.press("side:1")
    bow.typed(f"{1.5 * abs(before.side_effects.bow_mm):.2f}\n")
    after = settled(session).advice
    assert after is not None and after.side_effects is not None
    again = refit(session.job, session.events).side_effects
    assert again == after.side_effects
    assert before.side_effects.bow_mm > after.side_effects.bow_mm
    assert after.side_effects.bow_sd_mm < before.side_effects.bow_sd_mm


@pytest.mark.parametrize(
    ("name", "bows"),
    [("shutter-rib", True), ("canopy-frame", True), ("gutter-rib", False), ("wind-vane-rib", False)],
)
def test_the_demo_has_parts_to_try_it_on(
    session: Session, advise: Callable[..., None], name: str, bows: bool
) -> None:
    """Angles bow; a T does not, nor a channel worked on both flanges."""
    job = core.job(demo_jobs()[name])
    effects = NOW if bows else effect(0.0, 0.7)
    assert bows_by_formula(job) == bows
    even = np.zeros(len(job.part.sites))
    advise(side_effects=effects, deviation_mm=even, deviation_sd_mm=even)
    session.open(session.shop.new_part(job.document))
    assert ("bow" in names(NextPresenter(settled(session)).view())) == bows


def bows_by_formula(job: core.Job) -> bool:
    """Of a stroke at the middle alone."""
    work = np.zeros(len(job.part.sites))
    work[len(work) // 2] = job.part.work_per_strain()[len(work) // 2]
    return abs(job.part.side_effects(work)["bow_mm"]) > 1e-6
