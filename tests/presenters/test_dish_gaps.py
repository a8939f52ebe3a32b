"""A dish on the screens: gaps on several meridians, the rim across, and the step against its lobes."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import meridians, rounds, steps
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.rim import RimHeightPresenter, RimPresenter
from shopapp.presenters.session import Session
from tests.made_up import bowl
from tests.presenters.conftest import Clock, a_pass, an_advice, events_of, key, settled
from tests.test_lobing import JOB, N, nearly_done

TWO = core.Lobe(2, 1.0, 0.1, 0.5, 0.05, 35.0, 2.0, True)
THREE = core.Lobe(3, 0.05, 0.1, 0.05, 0.1, 10.0, 60.0, True)
ARCS = ((350.0, 80.0), (170.0, 260.0))
STEP = core.RoundingStep("shrink", "light", 2, 35.0, 3, ARCS, 0.3, 0.2, False, -0.12, 0.65)
ROUND = core.Lobing((TWO, THREE), 1.0, 0.1, (0.0,), (), None)


@pytest.fixture
def dish(folder: Any, clock: Clock, advise: Any) -> Any:
    """The bowl after one pass, nothing read; the core answers as a test says."""
    advise(_advice())
    with core.Shop(folder, now=clock) as shop:
        session = Session(shop, now=clock)
        session.open(shop.new_part(bowl()))
        session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
        session.log(nearly_done())
        yield settled(session)


def _advice(**changes: Any) -> core.Advice:
    sized = {
        name: getattr(an_advice(), name)[:N]
        for name in ("deviation_mm", "deviation_sd_mm", "expected_reading_mm", "expected_reading_sd_mm")
    }
    limits = core.LimitUse(an_advice().edge_strain[:N], (core.Limits().per_pass,) * N)
    work = an_advice().remaining_work[:N]
    more = {"next_pass": None, "remaining": (), "limit_use": limits, "remaining_work": work, "lobing": ROUND}
    return an_advice(**{**sized, **more, "widest_at": 0, **changes})


def read_all(gaps: GapsPresenter, mm: str = "0.3") -> Any:
    view = gaps.view()
    for _ in range(N):
        view = gaps.typed(f"{mm}\n")
        if view.question:
            view = gaps.press("right")
    return view


def test_meridians_are_stepped_through_and_each_is_a_round_of_its_own(dish: Session) -> None:
    gaps = GapsPresenter(dish)
    assert gaps.view().station == f"0°: ring 1 of {N}"
    assert read_all(gaps).station == "0°: all rings read"
    view = gaps.press("next_meridian")
    assert (view.station, view.progress) == (f"45°: ring 1 of {N}", f"0 of {N} read")
    view = gaps.typed("0.4\n")
    assert view.last == "ring 1 on 45°: 0.40 mm"
    read = [e for e in dish.live if e["event"] == "gaps_read"]
    assert [rounds.meridian_of(e) for e in read] == [0.0, 45.0]
    assert [len(e["by_station"]) for e in read] == [N, 1]
    core.refit(JOB, dish.live)  # the core takes what was logged


def test_any_angle_can_be_typed_and_those_read_are_said_so(dish: Session) -> None:
    gaps = GapsPresenter(dish)
    gaps.typed("0.3\n")
    chosen = {k.name: (k.text, k.chosen) for k in gaps.press("meridian").choices}
    assert chosen["choose:0"] == ("0° read", True) and chosen["choose:315"] == ("315°", False)
    view = gaps.press("other_angle")
    assert view.entry_unit == "°"
    assert gaps.typed("400\n").complaint == "“400”: an angle from the mark from 0° to 360° is wanted"
    assert gaps.typed("22,5\n").station == f"22.5°: ring 1 of {N}"


def test_after_a_pass_the_same_meridians_are_wanted_again(dish: Session) -> None:
    gaps = GapsPresenter(dish)
    for angle in (30.0, 120.0):
        gaps._lay_on(angle)
        gaps.typed("0.3\n")
    dish.log(core.rounded("shrink", 2, 35.0, 3))
    settled(dish)
    view = read_all(gaps)
    assert view.station == "30°: all rings read"
    assert (key(view, "next_meridian").text, key(view, "next_meridian").main) == ("Next, 120°", True)
    assert not key(view, "all").main
    gaps.press("next_meridian")
    assert key(read_all(gaps), "all").main


def test_a_gap_read_after_a_step_is_not_said_to_be_that_of_the_pass_alone(dish: Session, advise: Any) -> None:
    dish.log(core.gaps_read([0.3] * N))
    advise(_advice(gap_history_mm=(0.7,)))
    assert PartPresenter(settled(dish)).view().rows[0].was == "0.70 mm"
    dish.log(core.rounded("shrink", 2, 35.0, 3))
    assert PartPresenter(settled(dish)).view().rows[0].was == "0.70 mm"
    dish.log(core.gaps_read([0.2] * N))
    assert PartPresenter(settled(dish)).view().rows[0].was == "0.70 mm after the steps against lobes"


def test_after_a_step_that_leaves_no_pass_the_card_leads_to_the_gaps(dish: Session, advise: Any) -> None:
    dish.log(core.rounded("shrink", 2, 35.0, 3))
    card = PassCardPresenter(settled(dish))
    assert [(k.name, k.text) for k in card.view().keys] == [("gaps", "Read gaps")]
    assert card.press("gaps").go == "gaps"


def test_a_suspect_is_named_with_its_meridian_and_corrected_in_its_round(dish: Session, advise: Any) -> None:
    gaps = GapsPresenter(dish)
    read_all(gaps)
    gaps.press("next_meridian")
    read_all(gaps)
    advise(_advice(suspects=(core.Suspect(2, 0.3, 0.05, -0.05, 0.15, 5.0, 0.0),)))
    dish.finish(dish.begin().run())
    next_step = NextPresenter(dish)
    view = next_step.view()
    assert [k.text for k in view.suspects] == ["Ring 3 on 0° again"]
    assert key(view, "next").why == "Read again at ring 3 on 0°"
    next_step.press(view.suspects[0].name)
    assert gaps.view().station == f"0°: ring 3 of {N}"
    gaps.typed("0.1\n")
    last = dish.events[-1]
    assert (last["event"], last["with"]["gap_mm"], last["with"]["station"]) == ("corrected", 0.1, 2)
    read = [e for e in dish.live if e["event"] == "gaps_read"]
    assert [e["by_station"][2] for e in read] == [0.1, 0.3]
    assert gaps.press("undo").station == f"0°: ring 3 of {N}"
    assert next(e for e in dish.live if e["event"] == "gaps_read")["by_station"][2] == 0.3


def test_diameters_of_the_rim_are_one_entry_that_grows(dish: Session) -> None:
    rim = RimPresenter(dish)
    assert rim.view().station == "rim across at 0°"
    for mm in ("360.5", "361,5", "359.5"):
        assert rim.typed(f"{mm}\n").question == ""
    assert rim.typed("394\n").question.startswith("394.0 mm was read, the others say about 360.5 mm")
    rim.press("again")
    view = rim.typed("358.5\n")
    assert (view.station, view.progress) == ("all diameters read", "4 of 4 read")
    assert [mark.text for mark in view.strip.marks] == ["+0.50", "+1.50", "−0.50", "−1.50"]
    assert key(view, "all").main
    (counts,) = [e for e in dish.live if e["event"] == "rim_read"]
    assert counts["at_deg"] == [0.0, 45.0, 90.0, 135.0]
    assert counts["diameters_mm"] == [360.5, 361.5, 359.5, 358.5]
    assert len(rim.press("finer").strip.names) == 8
    assert rim.press("undo").question == ""
    (counts,) = [e for e in dish.live if e["event"] == "rim_read"]
    assert counts["diameters_mm"][-1] == 394.0
    assert "within a quarter" in rim.typed("36\n").complaint


def test_lobes_are_shown_and_the_step_is_run_from_its_card(dish: Session, advise: Any) -> None:
    advise(_advice(lobing=core.Lobing((TWO, THREE), 1.0, 0.1, (0.0,), (), STEP)))
    gaps = GapsPresenter(dish)
    read_all(gaps)
    settled(dish)
    view = NextPresenter(dish).view()
    said = {fact.label: fact.value for fact in view.facts}
    assert said["Rim out of round"] == "1.00 ± 0.20 mm"
    assert said["2 lobes, high at 35°, 215°"] == "0.50 ± 0.10 mm"
    assert not any(label.startswith("3 lobes") for label in said)
    assert view.rim is not None and len(view.rim.arcs) == 2
    furthest = max(view.rim.part, key=lambda p: p[0] ** 2 + p[1] ** 2)
    assert furthest[0] / furthest[1] == pytest.approx(0.7, abs=0.1)  # tan 35°, or 215°
    assert view.next_pass.startswith("Against 2 lobes: shrink, light bite, 3 strokes")
    assert (key(view, "next").text, NextPresenter(dish).press("next").go) == ("Rounding step", "pass_card")
    assert PartPresenter(dish).view().rows[-1].action == "Shrink against 2 lobes"
    card = PassCardPresenter(dish)
    shown = {fact.label: fact.value for fact in card.view().facts}
    assert shown["Arcs of the rim"] == "350° to 80° and 170° to 260°"
    assert shown["Tool set"] == "no name, patch 20 × 15 mm"
    assert shown["Moves the whole rim"].startswith("in by 0.12 mm")
    assert shown["Expected widest gap"] == "about 0.65 mm"
    assert shown["Then"] == "read the same meridians again"
    card.press("differently")
    assert card.press("minus").edit_text == "arcs 1 to 2: 2 strokes"
    assert card.press("save").go == "gaps"
    (done,) = events_of(dish, "rounded")
    assert (done["action"], done["bite"], done["lobes"]) == ("shrink", "light", 2)
    assert (done["at_deg"], done["strokes"]) == (35.0, 2)


def test_a_step_and_a_pass_are_run_one_after_the_other_before_the_gaps_are_read(
    dish: Session, advise: Any
) -> None:
    planned = replace(a_pass(), strokes=np.full(N, 3), expected_deviation_mm=np.zeros(N), feed=())
    ahead = {"next_pass": planned, "remaining": (planned,)}
    advise(_advice(lobing=core.Lobing((TWO, THREE), 1.0, 0.1, (0.0,), (), STEP), **ahead))
    read_all(GapsPresenter(dish))
    settled(dish)
    first = steps.next_step(dish.standing)
    assert first.key == "Rounding step" and first.text.endswith("then the pass, before the gaps are read")
    assert [row.action for row in PartPresenter(dish).view().rows][-2:] == [
        "Shrink against 2 lobes",
        "Shrink",
    ]
    even = "0.42 ± 0.10 mm in the mean all round"
    assert PartPresenter(dish).view().rows[-1].expected == even
    assert NextPresenter(dish).view().expected == f"widest gap after it {even}"
    card = PassCardPresenter(dish)
    shown = {fact.label: fact.value for fact in card.view().facts}
    assert shown["Then"].startswith("the pass, planned with what this moves")
    other = {fact.label: fact.value for fact in card.press("other_first").facts}
    assert "Arcs of the rim" not in other and other["Expected widest gap"] == even
    card.press("other_first")
    advise(_advice(**ahead))
    assert card.press("done").go == "pass_card"
    assert events_of(dish, "rounded") and rounds.unread_pass(dish.live)
    settled(dish)
    assert steps.next_step(dish.standing).key == "Next pass"
    assert card.press("done").go == "gaps"
    settled(dish)
    assert steps.next_step(dish.standing).key == "Read gaps"


def test_a_step_that_cannot_be_run_is_not_the_next(dish: Session, advise: Any) -> None:
    odd = ("The jaws do not enter.",)
    advise(_advice(lobing=core.Lobing((TWO, THREE), 1.0, 0.1, (0.0,), (), STEP), misfits=odd))
    read_all(GapsPresenter(dish))
    settled(dish)
    view = NextPresenter(dish).view()
    assert (key(view, "next").text, NextPresenter(dish).press("next").go) == ("Does not fit", "misfit")
    row = PartPresenter(dish).view().rows[-1]
    assert (row.action, row.status) == ("Shrink against 2 lobes", "planned")
    assert row.note.startswith("once it fits; takes ")


def test_within_on_one_meridian_asks_for_more(dish: Session, advise: Any) -> None:
    few = core.Lobing((TWO, THREE), float("nan"), float("nan"), (0.0,), (0.0, 45.0, 90.0, 135.0, 180.0), None)
    advise(_advice(verdict="within", lobing=few))
    gaps = GapsPresenter(dish)
    read_all(gaps)
    settled(dish)
    assert steps.after_reading(dish.standing).key == "More meridians"
    assert NextPresenter(dish).press("next").go == "gaps"
    assert gaps.view().station == f"45°: ring 1 of {N}"


def test_read_again_leads_to_the_meridian_that_is_asked_for(dish: Session, advise: Any) -> None:
    """Too close to call, and one meridian more would tell the lobes: that one, not the first of all."""
    few = core.Lobing((TWO, THREE), float("nan"), float("nan"), (0.0,), (225.0,), None)
    advise(_advice(verdict="too close to call", lobing=few, next_pass=None, remaining=()))
    gaps = GapsPresenter(dish)
    read_all(gaps)
    settled(dish)
    assert NextPresenter(dish).press("next").go == "gaps"
    assert gaps.view().station == f"225°: ring 1 of {N}"


def test_a_meridian_that_is_read_is_not_asked_for_again(dish: Session, advise: Any) -> None:
    """240° and the degrees of the radian next to it are one meridian."""
    odd = core.Lobing((TWO, THREE), float("nan"), float("nan"), (), (60.0, 239.99999999999997), None)
    advise(_advice(verdict="within", lobing=odd))
    gaps = GapsPresenter(dish)
    gaps.press("meridian")
    gaps.press("other_angle")
    gaps.typed("240\n")
    read_all(gaps)
    settled(dish)
    assert meridians.still_wanted(dish.standing) == [60.0]
    assert key(gaps.view(), "next_meridian").text == "Next, 60°"
    assert steps.after_reading(dish.standing).text.startswith("Read more meridians")
    assert NextPresenter(dish).view().next_pass.startswith("Read more meridians")


def test_heights_of_the_rim_are_read_beside_its_diameters(dish: Session) -> None:
    rim = RimPresenter(dish)
    rim.typed("360.5\n")
    assert (key(rim.view(), "other").text, rim.press("other").go) == ("Height", "rim_height")
    heights = RimHeightPresenter(dish)
    view = heights.view()
    assert view.station == "under straight-edge at 0°"
    assert view.expected.startswith("about ")
    assert key(view, "undo").why == "no height to undo"
    for mm in ("41.5", "41,0", "42"):
        assert heights.typed(f"{mm}\n").question == ""
    assert heights.view().expected == "about 41.5 mm"
    assert heights.typed("53\n").question.startswith("53.00 mm was read, the others say about 41.50 mm")
    heights.press("again")
    assert heights.typed("41.5\n").station == "all heights read"
    (counts,) = [e for e in dish.live if e["event"] == "heights_read"]
    assert counts["heights_mm"] == [41.5, 41.0, 42.0, 41.5] and counts["gauge"] == "steel rule"
    assert [e["diameters_mm"] for e in dish.live if e["event"] == "rim_read"] == [[360.5]]
    heights.tap(0)
    assert "from 0 to a quarter more than the rim's 60.00 mm" in heights.typed("415\n").complaint
    heights.press("undo")
    assert [e["heights_mm"][-1] for e in dish.live if e["event"] == "heights_read"] == [53.0]
    heights.press("choose:depth stop")
    heights.tap(0)
    heights.typed("40\n")
    assert [e["gauge"] for e in dish.live if e["event"] == "heights_read"][1]["name"] == "depth stop"
