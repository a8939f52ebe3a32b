"""Passes beside lobes: what room lobes leave to the even part, and steps that are read along with a pass."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

import core
from core.lobestold import MATTERS
from core.readings.offering import offer
from core.verdict import chance_within
from tests.made_up import bowl
from tests.test_lobing import JOB, PART, lobed, nearly_done, polar


def _even_mm(left: float) -> float:
    return offer(PART, JOB.template, left * PART.target).widest_mm


def test_an_even_part_that_is_hardly_within_is_worked_on_where_lobes_too_small_for_a_step_bring_it_out():
    """Even part and oval are each within, both together are not: neither a pass nor a step was planned."""
    left = 0.03
    job = replace(JOB, tolerance_mm=1.15 * _even_mm(left))
    oval = 0.9 * MATTERS * job.tolerance_mm
    rounds = lobed(polar(oval, 40.0, 2), left=left, noise=0.02).rounds()
    advice = core.refit(job, [nearly_done(), *rounds])
    assert advice.verdict != "within" and advice.lobing.step is None
    assert advice.next_pass is not None
    assert advice.next_pass.expected_gap_mm < 0.7 * _even_mm(left)


def test_what_a_step_alone_did_is_read_before_anything_else_is_struck():
    """Lobes were all that was left: the even part of the step may have brought the rim out, or not."""
    before = [nearly_done(), *lobed(polar(1.4, 40.0, 2), left=0.0).rounds()]
    step = core.refit(JOB, before).lobing.step
    done = core.rounded(step.action, step.lobes, step.at_deg, 8, "heavy")
    unread = core.refit(JOB, [*before, done])
    assert core.refit(JOB, before).next_pass is None and unread.next_pass is None
    assert unread.verdict == "not measured"


def test_a_pass_that_was_planned_goes_with_a_step_and_counts_its_even_part():
    log = [nearly_done(), *lobed(polar(1.4, 40.0, 2), left=0.2).rounds()]
    planned = core.refit(JOB, log)
    step = planned.lobing.step
    assert planned.next_pass is not None and step is not None
    (said,) = [sentence for sentence in planned.reasons if sentence.startswith("Against the 2 lobes")]
    assert said.endswith("Do that little, then the pass, and read the same meridians again.")
    then = core.refit(
        JOB, [*log, core.rounded(step.action, step.lobes, step.at_deg, step.strokes, step.bite)]
    )
    assert then.verdict == "not measured" and then.next_pass is not None
    moved = then.remaining_work - planned.remaining_work
    sign = -1.0 if step.action == "shrink" else 1.0
    assert sign * moved[-1] > 0.0
    np.testing.assert_allclose(moved[:-1], 0.0, atol=1e-9)


def test_lobes_that_are_not_told_are_no_dead_end():
    """A simulated dish read on two meridians, hardly within in its mean and outside on one of them. Against
    lobes that are not told no step can be made; an even pass makes all the room there is."""
    tool = {"patch_length": "20 mm", "patch_depth": "10 mm", "strain_per_stroke": 0.004}
    rod = {"name": "depth rod", "step": "0.1 mm", "repeatability": "0.05 mm", "largest": "300 mm"}
    job = core.job(
        bowl(
            name="A wide dish in few rings",
            shape={"radius": "310 mm", "angle": "42 deg"},
            method="keep the area",
            thickness="1.5 mm",
            pitch="31.7411 mm",
            tool={**tool, "bites": {"light": 0.4, "medium": 1.0, "heavy": 1.8}},
            gauge=rod,
            tolerance="1.5 mm",
        )
    )
    log = []
    for strokes, gaps, there in (
        ([0, 0, 1, 3, 5, 5, 5], [0, 2.0, 5.3, 9.8, 17.1, 28.8, None], [0, 2.0, 5.3, 10.0, 17.0, 28.8, None]),
        ([0, 1, 3, 5, 9, 16, 15], [0, 0.7, 1.6, 2.7, 4.0, 6.9, 14.1], [0, 0.6, 1.6, 2.7, 4.1, 7.1, 14.3]),
        ([0, 1, 1, 3, 4, 5, 15], [0.1, 0, 0.1, 0.1, 0.2, 0.8, 1.2], [0, 0, 0.1, 0, 0.4, 1.0, 1.5]),
    ):
        rounds = [core.gaps_read(gaps), core.gaps_read(there, at_deg=45.0)]
        log += [core.pass_done("shrink", strokes, "heavy"), *rounds]
    log += [
        core.gaps_read([0.1, 0, 0, 0, 0.1, 0.7, 1.2]),
        core.gaps_read([0.1, 0, 0.1, 0, 0.4, 1.0, 1.6], at_deg=45.0),
    ]
    log += [
        core.gaps_read([0.2, 0, 0.1, 0, 0.2, 0.7, 1.1]),
        core.gaps_read([0, 0, 0, 0.1, 0.4, 0.9, 1.6], at_deg=45.0),
    ]
    advice = core.refit(job, log)
    assert advice.verdict != "within" and advice.lobing.step is None
    assert not all(lobe.told for lobe in advice.lobing.lobes)
    assert advice.next_pass is not None and advice.next_pass.expected_gap_mm < 0.5 * job.tolerance_mm


def test_the_gap_told_its_band_and_the_chance_belong_together():
    """All three are of the widest gap over all meridians: were it normal, its chance would be that of its
    mean and standard deviation. The gap of the expected shape is less, with lobes that are hardly known."""
    log = [nearly_done(), *lobed(polar(0.3, 40.0, 2), left=0.02).rounds()]
    for tolerance in (0.6, 0.7, 0.8, 0.9):
        advice = core.refit(replace(JOB, tolerance_mm=tolerance), log)
        by_band = chance_within(advice.widest_gap_mm, advice.widest_gap_sd_mm, high=tolerance)
        assert abs(advice.chance_within - by_band) < 0.06
