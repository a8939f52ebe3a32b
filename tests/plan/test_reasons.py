"""Sentences for the operator: what is said, and what is left unsaid."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.reasons import reasons_for
from tests.made_up import rib

N = 30
JOB = core.job(rib())
LAST = ("shrink", "medium")


def a_pass(total: int, action: str = "shrink", bite: str = "medium") -> core.Pass:
    strokes = np.zeros(N, dtype=np.int64)
    strokes[:total] = 1
    return core.Pass(action, bite, strokes, 0.4, 0.1, np.zeros(N), 0.03)


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


@pytest.mark.parametrize(
    "mean, words",
    [(0.0020, ["does what was expected"]), (0.0026, ["30 % more"]), (0.0015, ["25 % less"])],
)
def test_response_against_what_was_expected(mean: float, words: list[str]) -> None:
    response = {LAST: core.Response(*LAST, mean, 0.0001, 0.0020, True)}
    (sentence,) = said(last=LAST, response=response)
    assert "medium shrink" in sentence
    assert all(w in sentence for w in words)


@pytest.mark.parametrize(
    "now, words",
    [
        (a_pass(20, "stretch"), "to stretch, not to shrink"),
        (a_pass(20, bite="light"), "light bite instead of the medium one"),
        (a_pass(28), "28 strokes, 8 more than planned"),
        (a_pass(11), "11 strokes, 9 fewer than planned"),
    ],
)
def test_change_against_the_plan(now: core.Pass, words: str) -> None:
    (sentence,) = said(before=(a_pass(20),), now=(now,))
    assert words in sentence


def test_a_stroke_or_two_more_is_no_change() -> None:
    assert said(before=(a_pass(20),), now=(a_pass(22),)) == []


def test_a_part_that_is_within_has_no_plan_to_change() -> None:
    assert said(verdict="within", before=(a_pass(20),), now=()) == []


def test_suspects_are_named_first_and_counted_from_one() -> None:
    suspect = core.Suspect(11, 3.5, 0.36, 0.21, 0.51, 21.0)
    first, *_ = said(suspects=(suspect,), last=LAST)
    assert first.startswith("Station 12 reads 3.50 mm") and "0.36 mm" in first
    assert "0.21 to 0.51 mm" in first and "left out until" in first


def test_seating_close_calls_and_dead_ends_are_told() -> None:
    (seat,) = said(reseat=core.Reseat(0.4, 0.001, 0.31))
    assert "not seated at its best" in seat and "0.31 mm" in seat
    (close,) = said(verdict="too close to call")
    assert "too near the tolerance" in close
    (dead,) = said(now=())
    assert "No whole stroke" in dead


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
