"""Minutes at the machine, reckoned by hand."""

from __future__ import annotations

from typing import Any

import pytest

import core
from core.plan.minutes import HOLD_S, READ_S, SEAT_S, pass_minutes
from core.planned import Zone
from tests.made_up import LINES, rib


def test_by_hand():
    """40 strokes at 120 a minute are 20 s; the third zone is further along, the second is not."""
    feed = (Zone(0, 3, 5, 8.0, 10.0), Zone(4, 4, 8, 10.0, 4.0), Zone(8, 9, 6, 13.3, 6.0))
    assert (HOLD_S, SEAT_S, READ_S) == (3.0, 60.0, 10.0)
    assert pass_minutes(feed, 12, 240.0) == pytest.approx((240 + 3 * 2 + 20 + 60 + 120) / 60)
    assert pass_minutes((), 0, 0.0) == pytest.approx(63 / 60)


def test_of_a_plan():
    """Each pass by its strokes, with the change of tool where the action before was the other."""
    job = core.job(rib(line=LINES["segments"], tool__change_time="4 min", tool__strokes_per_minute=60))
    advice = core.refit(job, [])
    actions = [planned.action for planned in advice.remaining]
    assert len(set(actions)) == 2
    for i, planned in enumerate(advice.remaining):
        moves = sum(b.first > a.last + 1 for a, b in zip(planned.feed, planned.feed[1:], strict=False))
        change = 4.0 if i and actions[i - 1] != planned.action else 0.0
        hands = (3 * (1 + moves) + 60 + 10 * len(job.part.sites)) / 60
        assert planned.minutes == pytest.approx(planned.total / 60 + hands + change)
    assert advice.minutes_left == pytest.approx(sum(p.minutes for p in advice.remaining))


def test_the_tool_that_is_on_counts_for_the_next_pass():
    job = core.job(rib(tool__change_time="30 min"))
    n = len(job.part.sites)
    light = core.pass_done("stretch", [1] * n, bite="light")
    changed = core.refit(job, [light]).next_pass
    assert changed.action == "shrink" and changed.minutes > 30.0
    assert core.refit(job, []).next_pass.minutes < 30.0


def test_changes_of_tool_are_counted() -> None:
    """Two sets that do one action each: 5 minutes where nobody says (common practice, no source); one holder
    that does both takes the time that its set says, and none where it says none."""
    both = core.refit(core.job(rib(line=LINES["segments"])), [])
    assert (both.tool_changes, both.change_minutes) == (0, 0.0)
    said = core.refit(core.job(rib(line=LINES["segments"], tool__change_time="1 min")), [])
    assert (said.tool_changes, said.change_minutes) == (1, 1.0)
    sets: dict[str, Any] = {"tool__actions": ["shrink"], "tool__name": "jaws"}
    other = {**rib()["tool"], "name": "spreader", "actions": ["stretch"]}
    two = core.refit(core.job(rib(line=LINES["segments"], more_tools=[other], **sets)), [])
    assert (two.tool_changes, two.change_minutes) == (1, 5.0)
    assert [p.change_minutes for p in two.remaining].count(5.0) == 1
    assert two.minutes_left == pytest.approx(both.minutes_left + 5.0)


def test_a_part_that_is_within_takes_no_more():
    job = core.job(rib(tolerance="49 mm", line__radius="40 m", tool__actions=["shrink"]))
    shows = core.refit(job, []).expected_reading_mm  # of straight stock
    advice = core.refit(job, [core.gaps_read([round(float(gap), 1) for gap in shows])])
    assert advice.suspects == ()
    assert (advice.verdict, advice.minutes_left) == ("within", 0.0)
