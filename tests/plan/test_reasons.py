"""Sentences for the operator: what is said, and what is left unsaid."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.limits import Held
from core.reasons import reasons_for
from tests.made_up import rib

N = 30
JOB = core.job(rib())
LAST = ("shrink", "medium")


def a_pass(
    total: int, action: str = "shrink", bite: str = "medium", gap: float = 0.4, first: int = 0
) -> core.Pass:
    """A pass of single strokes at ``total`` stations from ``first`` on (from 0)."""
    strokes = np.zeros(N, dtype=np.int64)
    strokes[first : first + total] = 1
    return core.Pass(action, bite, strokes, gap, 0.1, np.zeros(N), 0.03)


def said(**changes: Any) -> list[str]:
    usual: dict[str, Any] = {
        "job": JOB,
        "verdict": "outside",
        "last": None,
        "response": {LAST: core.Response(*LAST, 0.0020, 0.0001, 0.0020, True)},
        "before": (),
        "now": (a_pass(20),),
        "suspects": (),
        "reseat": None,
    }
    return list(reasons_for(**usual | changes))


def test_nothing_new_is_nothing_said() -> None:
    assert said() == []


def test_stock_that_is_within_before_any_work_is_wondered_at() -> None:
    """The tolerance is 0.5 mm."""
    (sentence,) = said(verdict="not measured", widest_mm=0.25, now=(a_pass(20, gap=0.2),))
    assert sentence.startswith("As reckoned the widest gap is 0.25 mm, within the tolerance before a gap")
    assert said(verdict="not measured", widest_mm=18.7) == []
    assert said(verdict="not measured", widest_mm=0.25, now=(a_pass(20, gap=0.2),), begun=True) == []


@pytest.mark.parametrize(
    "mean, words",
    [(0.0020, ["does what was expected"]), (0.0026, ["30 % more"]), (0.0015, ["25 % less"])],
)
def test_response_against_what_was_expected(mean: float, words: list[str]) -> None:
    response = {LAST: core.Response(*LAST, mean, 0.0001, 0.0020, True)}
    (sentence,) = said(last=LAST, response=response)
    assert "medium shrink" in sentence
    assert all(w in sentence for w in words)
    band = 1.96 * 0.0001 / 0.0020  # normal distribution: 95 % lie within 1.96 standard deviations
    assert f"({100 * mean / 0.0020:.0f} ± {100 * band:.0f} % of the first guess for a stroke)" in sentence
    assert "rad" not in sentence


@pytest.mark.parametrize(
    "now, words",
    [
        (a_pass(20, "stretch"), "to stretch, not to shrink as planned"),
        (a_pass(20, "stretch"), "leave stretching to do at stations 1 to 20, and nothing else"),
        (
            a_pass(20, bite="light"),
            "light bite instead of the medium one: lighter strokes come closer to the 2.50 mm that are left; "
            "20 strokes should leave 0.40 mm.",
        ),
        (a_pass(20, bite="heavy"), "fewer strokes do for the 2.50 mm that are left"),
        (a_pass(28), "28 strokes, 8 more than planned"),
        (a_pass(11), "11 strokes, 9 fewer than planned"),
        (a_pass(1), "has 1 stroke, 19 fewer than planned"),
    ],
)
def test_change_against_the_plan(now: core.Pass, words: str) -> None:
    (sentence,) = said(before=(a_pass(20),), now=(now,), widest_mm=2.5)
    assert words in sentence


def test_a_stroke_or_two_more_is_no_change() -> None:
    assert said(before=(a_pass(20),), now=(a_pass(22),)) == []


S_SHAPE = (
    a_pass(2, gap=11.77, first=13),
    a_pass(19, "stretch", gap=2.05, first=2),
    a_pass(1, "stretch", gap=0.47, first=6),
)


def test_an_s_shape_says_what_comes_first_and_never_that_gaps_change_sides() -> None:
    change, order = said(before=(a_pass(20, "stretch"),), now=S_SHAPE)
    assert "to shrink, not to stretch as planned" in change and "before the stretching" in change
    assert "shrinking at stations 14 to 15 comes first, stretching at stations 3 to 21 after it" in order
    assert "other side" not in change + order


def test_a_pass_that_widens_the_gap_says_why() -> None:
    _, widens = said(now=S_SHAPE, widest_mm=6.28)
    assert widens.startswith("The next pass widens the gap on the way, from 6.28 mm to about 11.77 mm:")
    assert "stretching still to do was partly hidden by the shrinking still to do" in widens
    assert widens.endswith("then about 0.47 mm is left.")


def test_a_later_pass_that_widens_the_gap_is_told_of_too() -> None:
    now = (a_pass(20, gap=3.0), a_pass(1, gap=4.0), a_pass(5, gap=0.3))
    on_purpose, widens = said(now=now, widest_mm=9.0)
    assert widens.startswith("A later pass (shrink, 1 stroke) widens the gap on the way, from 3.00 mm")
    assert "the passes after it bring it to about 0.30 mm" in widens
    assert said(now=now[::2], widest_mm=9.0) == [on_purpose]


def test_a_pass_with_gaps_between_its_stations_names_the_outermost() -> None:
    strokes = np.zeros(N, dtype=np.int64)
    strokes[[2, 5, 9]] = 4
    scattered = core.Pass("stretch", "light", strokes, 0.4, 0.1, np.zeros(N), 0.03)
    (change,) = said(before=(a_pass(20),), now=(scattered,))
    assert "between stations 3 and 10" in change


@pytest.mark.parametrize("tolerance, shown", [("0.5 mm", "0.50 mm"), ("0.001 mm", "0.001 mm")])
def test_a_plan_that_does_not_arrive_says_so_with_figures(tolerance: str, shown: str) -> None:
    job = core.job(rib(tolerance=tolerance))
    on_purpose, ends = said(job=job, now=(a_pass(20, gap=7.0), a_pass(5, gap=5.58)))
    assert ends.startswith("This plan ends at 5.58 ± 0.20 mm, outside the tolerance of " + shown)
    assert "more passes than these will be needed" in ends
    assert said(now=(a_pass(20, gap=7.0), a_pass(5, gap=0.5))) == [on_purpose]


def test_a_plan_whose_band_reaches_into_the_tolerance_may_do() -> None:
    """0.60 mm with a standard deviation of 0.10 mm: the 95 % band begins at 0.40 mm."""
    (ends,) = said(now=(a_pass(20, gap=0.6),))
    assert "more passes than these may be needed" in ends


def test_a_part_that_is_within_has_no_plan_to_change() -> None:
    assert said(verdict="within", before=(a_pass(20),), now=()) == []


def test_a_pass_that_stops_short_on_purpose_says_so() -> None:
    """Not where all is done in one pass, where the other action follows anyhow, or where a limit says why."""
    first, later = a_pass(20), a_pass(4)
    (sentence,) = said(now=(first, later))
    assert sentence.startswith("The next pass leaves some of the shrinking to a later one on purpose")
    assert sentence.endswith("taken back by stretching. The chance of that is kept to 5 %.")
    assert said(now=(first, a_pass(4, "stretch")))[0].startswith("The part needs both actions")
    one_way = core.job(rib(tool={**rib()["tool"], "actions": ["shrink"]}))
    (sentence,) = said(job=one_way, now=(first, later))
    assert sentence.endswith("what is overdone stays, for no bite at hand does the stretching.")
    follows = replace(first, overshoot_risk=float("nan"))
    limited = replace(first, held=(Held(JOB.limits.per_pass, (1,)),))
    for one in (follows, limited):
        assert not any("on purpose" in told for told in said(now=(one, later)))


def test_what_touches_is_expected_from_0() -> None:
    """As the screen of the gaps says it, not "from -0.05 mm"."""
    first, *_ = said(suspects=(core.Suspect(4, 0.3, 0.05, -0.05, 0.15, 5.0),))
    assert "everything else says 0 to 0.15 mm;" in first


def test_suspects_are_named_first_and_counted_from_one() -> None:
    suspect = core.Suspect(11, 3.5, 0.36, 0.21, 0.51, 21.0)
    first, *_ = said(suspects=(suspect,), last=LAST)
    assert first.startswith("Station 12 reads 3.50 mm") and "says 0.36 ± 0.15 mm; it is left" in first


def test_seating_close_calls_and_dead_ends_are_told() -> None:
    (seat,) = said(reseat=core.Reseat(0.4, 0.001, 0.31))
    assert "not seated at its best" in seat and "0.31 mm" in seat
    (close,) = said(verdict="too close to call")
    assert "too near the tolerance" in close
    (dead,) = said(now=())
    assert "No whole stroke" in dead


def test_why_gaps_wider_than_the_tolerance_may_be_within() -> None:
    (seat,) = said(reseat=core.Reseat(0.4, 0.001, 0.31, gap_now_mm=0.62))
    assert "As it sits it shows up to 0.62 mm, more than the tolerance of 0.50 mm" in seat
    assert seat.endswith("the verdict goes by its best seating.")


def test_every_reason_is_a_sentence() -> None:
    suspect = core.Suspect(11, 3.5, 0.36, 0.21, 0.51, 21.0)
    everything = said(
        suspects=(suspect,),
        reseat=core.Reseat(0.4, 0.001, 0.31),
        last=LAST,
        before=(a_pass(9),),
        verdict="too close to call",
    )
    assert len(everything) == 5
    assert all(r[0].isupper() and r.endswith(".") for r in everything)
