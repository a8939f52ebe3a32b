"""Sign-off closes a part: what comes later stands beside it until it is signed off anew."""

from __future__ import annotations

from typing import Any

import pytest

import core

PASS = {**core.pass_done("shrink", [3, 3]), "id": "a"}
GAPS = {**core.gaps_read([0.2, 0.3]), "id": "b"}
SIGNED = {**core.signed_off("A. Worker", verdicts={"gaps": "within"}), "id": "c"}
LOG: list[dict[str, Any]] = [PASS, GAPS, SIGNED]


def test_an_open_part_has_none() -> None:
    assert core.sign_off([PASS, GAPS]) is None


@pytest.mark.parametrize(
    "later",
    [
        core.corrected("b", core.gaps_read([9.0, 9.0])),
        core.withdrawn("b"),
        core.withdrawn("c"),
        core.gaps_read([0.9, 0.9]),
        core.check_read("twist", 3.0),
    ],
    ids=lambda event: f"{event['event']} {event.get('of', '')}",
)
def test_what_comes_later_does_not_change_the_signed_result(later: dict[str, Any]) -> None:
    before = core.sign_off(LOG)
    after = core.sign_off([*LOG, later])
    assert before is not None and after is not None
    assert before.closed and not after.closed
    assert after.later == after.uncounted == (later,)
    assert after.live == before.live == [PASS, GAPS, SIGNED]
    assert after.event == SIGNED


def test_a_new_sign_off_counts_what_came_between() -> None:
    corrected = core.corrected("b", core.gaps_read([0.4, 0.4]))
    anew = core.sign_off([*LOG, core.reopened("a slip"), corrected, core.signed_off("B. Checker")])
    assert anew is not None and anew.closed
    assert anew.event["by"] == "B. Checker"
    assert anew.before == (SIGNED,)
    assert anew.live[1]["gaps_mm"] == [0.4, 0.4]


def test_a_note_is_no_later_entry_and_taking_up_again_alone_counts_nothing() -> None:
    noted = core.sign_off([*LOG, core.note("shelf 4")])
    assert noted is not None and noted.closed
    taken_up = core.sign_off([*LOG, core.reopened()])
    assert taken_up is not None and not taken_up.closed
    assert taken_up.uncounted == ()
