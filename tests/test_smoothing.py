"""A smoothing pass over faces that stay in sight: asked for once the part is within, read again, then done.

That it takes marks down, with what bite, how many strokes and at what rate: common practice, no source.
Feed by hand: zone length over strokes times seconds a stroke.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core import InputError
from tests.made_up import rib

VISIBLE: dict[str, Any] = {"finish": "visible", "tool__face": "smooth"}


def played(job: core.Job, seed: int) -> tuple[core.SimulatedBar, list[core.Event], core.Advice, int]:
    """Worked as advised until nothing more is wanted; how often it was smoothed."""
    bar, log, smoothed = core.simulated_bar(job, seed), [], 0
    advice = core.refit(job, log)
    for _ in range(14):
        if advice.next_pass is not None:
            planned = advice.next_pass
            strokes = [int(m) for m in planned.strokes]
            bar.work(planned.action, planned.bite, strokes)
            log.append(core.pass_done(planned.action, strokes, planned.bite))
        elif advice.smoothing is not None and advice.smoothing.due:
            strokes = [int(m) for m in advice.smoothing.strokes]
            bar.smooth(advice.smoothing.bite, strokes)
            log.append(core.smoothed(strokes, advice.smoothing.bite))
            smoothed += 1
        else:
            break
        gaps, gauges = bar.gaps_by_any_gauge()
        log.append(core.gaps_read(gaps, gauges if any(gauges) else None))
        advice = core.refit(job, log)
    return bar, log, advice, smoothed


@pytest.fixture(scope="module")
def finished() -> tuple[core.Job, list[core.Event]]:
    """A part that is within, its faces not smoothed yet."""
    job = core.job(rib(**VISIBLE, machine={"stroke_rates": [60, 240]}))
    _, log, _, _ = played(job, 3)
    return job, log[: first_smoothed(log)]


def first_smoothed(log: list[core.Event]) -> int:
    """Where it was smoothed for the first time."""
    return next(i for i, event in enumerate(log) if event["event"] == "smoothed")


def test_it_is_asked_for_once_the_part_is_within(finished: tuple[core.Job, list[core.Event]]) -> None:
    job, log = finished
    advice = core.refit(job, log)
    assert advice.verdict == "within" and advice.next_pass is None
    asked = advice.smoothing
    assert asked is not None and asked.bite == "light"
    assert asked.strokes.tolist() == [4] * 30  # two a patch of 20 mm, at a pitch of 40 mm
    assert asked.strokes_per_minute == 240.0
    (zone,) = asked.feed
    assert zone.seconds == pytest.approx(120 / 240 * 60) and zone.feed_mm_per_s == pytest.approx(1200 / 30)
    assert advice.minutes_left == pytest.approx(asked.minutes)
    assert any(reason.startswith("The faces stay in sight: smooth them") for reason in advice.reasons)
    assert core.advice_document(advice)["smoothing"]["total"] == 120


def test_it_is_planned_from_the_start_behind_the_passes() -> None:
    """With its minutes in those of the plan, at the highest rate of the machine."""
    job = core.job(rib(**VISIBLE, machine={"stroke_rates": [60, 240]}))
    advice = core.refit(job, [])
    asked, passes = advice.smoothing, advice.remaining
    assert asked is not None and not asked.due and asked.strokes_per_minute == 240.0 and passes
    assert advice.minutes_left == pytest.approx(sum(one.minutes for one in passes) + asked.minutes)
    assert any("once the part is within, smooth them" in reason for reason in advice.reasons)


def test_a_rate_that_nobody_gave_is_not_made_up() -> None:
    """Without a machine the tool's own rate stands, and that it may be higher is said."""
    advice = core.refit(core.job(rib(**VISIBLE)), [])
    assert advice.smoothing is not None and advice.smoothing.strokes_per_minute == 120.0
    assert any("go faster where it can, the feed with it" in reason for reason in advice.reasons)


def test_it_is_fed_no_faster_than_the_machine_feeds() -> None:
    """4 strokes on 40 mm: at 240 a minute 40 mm/s, at 120 a minute the 20 mm/s that the machine feeds."""
    machine = {"stroke_rates": [60, 240], "feeds": ["2 mm/s", "20 mm/s"]}
    smoothing = core.refit(core.job(rib(**VISIBLE, machine=machine)), []).smoothing
    assert smoothing is not None and smoothing.strokes_per_minute == 120.0
    assert [zone.feed_mm_per_s for zone in smoothing.feed] == pytest.approx([20.0])


def test_faces_that_may_keep_their_marks_are_left_alone(finished: tuple[core.Job, list[core.Event]]) -> None:
    job, log = finished
    plain = core.job({**job.document, "finish": "plain"})
    assert core.refit(plain, log).verdict == "within" and core.refit(plain, log).smoothing is None


def test_after_it_the_gaps_are_not_known_until_they_are_read(
    finished: tuple[core.Job, list[core.Event]],
) -> None:
    job, log = finished
    before, done = core.refit(job, log), core.smoothed([4] * 30, "light")
    after = core.refit(job, [*log, done])
    assert after.verdict == "not measured" and after.smoothing is None
    assert np.all(after.remaining_work_sd > before.remaining_work_sd)
    assert after.remaining_work == pytest.approx(before.remaining_work)
    again = core.refit(job, [*log, done, log[-1]])
    assert again.verdict == "within" and again.smoothing is None


def test_after_it_nothing_but_reading_the_gaps_is_asked_for(
    finished: tuple[core.Job, list[core.Event]],
) -> None:
    """No pass, no second smoothing, and no doubt of line and unit, which is for raw stock; a round that tells
    too little changes nothing of that."""
    job, log = finished
    done, n = core.smoothed([4] * 30, "light"), len(job.part.sites)
    for little in ([], [core.gaps_read([0.1, *[None] * (n - 1)])]):
        after = core.refit(job, [*log, done, *little])
        assert after.verdict == "not measured" and after.next_pass is None and after.remaining == ()
        assert after.reasons == (
            "Smoothing may have changed the shape a little: read the gaps. No stroke is planned before.",
        )
    moved = core.refit(job, [*log, done, core.gaps_read([0.0] * 10 + [1.5] * 10 + [0.0] * 10)])
    assert moved.verdict == "outside" and moved.next_pass is not None and moved.smoothing is not None


def test_a_pass_after_it_wants_it_again(finished: tuple[core.Job, list[core.Event]]) -> None:
    job, log = finished
    nothing = core.pass_done("shrink", [0] * 30, "light")
    again = core.refit(job, [*log, core.smoothed([4] * 30, "light"), nothing, log[-1]])
    assert again.verdict == "within" and again.smoothing is not None


def test_a_gripping_face_is_to_be_changed() -> None:
    job = core.job(rib(finish="visible"))
    _, log, _, _ = played(job, 3)
    reasons = core.refit(job, log[: first_smoothed(log)]).reasons
    assert any("Change to a smooth or soft face" in reason for reason in reasons)


@pytest.mark.parametrize("seed", range(4))
def test_a_bar_that_is_smoothed_ends_within(seed: int) -> None:
    job = core.job(rib(**VISIBLE))
    bar, log, advice, smoothed = played(job, seed)
    assert advice.verdict == "within" and smoothed >= 1
    assert bar.widest_gap_mm() <= job.tolerance_mm + 0.05
    assert core.answering_part(job, log, seed).widest_gap_mm() == pytest.approx(bar.widest_gap_mm(), abs=1e-9)


def test_it_moves_a_bar_a_little_either_way() -> None:
    """By a tenth or less of what a pass of the same strokes does."""
    job = core.job(rib())
    moved = []
    for seed in range(20):
        bar = core.simulated_bar(job, seed)
        bar.smooth("light", [4] * 30)
        smoothed = bar.work_done_rad()
        bar.work("shrink", "light", [4] * 30)
        moved.append(smoothed / (bar.work_done_rad() - smoothed))
    share = np.concatenate(moved)
    assert abs(share.mean()) < 0.02 and 0.05 < share.std() < 0.13


@pytest.mark.parametrize(
    ("event", "field"),
    [
        ({"event": "smoothed", "strokes": [1] * 30}, "bite"),
        ({"event": "smoothed", "bite": "light"}, "strokes"),
        ({"event": "smoothed", "bite": "gentle", "strokes": [1] * 30}, "bite"),
        ({"event": "smoothed", "bite": "light", "strokes": [1] * 29}, "strokes"),
        ({"event": "smoothed", "bite": "light", "strokes": [1.5] * 30}, "strokes[0]"),
        ({"event": "smoothed", "bite": "light", "strokes": [1] * 30, "action": "shrink"}, "action"),
    ],
)
def test_what_cannot_have_been_done_is_refused(event: dict[str, Any], field: str) -> None:
    with pytest.raises(InputError) as error:
        core.refit(core.job(rib()), [event])
    assert error.value.field.startswith(f"events[0].{field}")


def test_it_is_run_with_a_bite_that_the_machine_can_be_set_to() -> None:
    settings = {"light": "0.5 mm", "medium": "2 mm", "heavy": "3 mm"}
    machine = {"settings_range": ["1 mm", "4 mm"], "stroke_rates": [60, 240]}
    job = core.job(rib(**VISIBLE, tool__settings=settings, machine=machine))
    wanted = core.refit(job, []).smoothing
    assert wanted is not None and wanted.bite == "medium"
