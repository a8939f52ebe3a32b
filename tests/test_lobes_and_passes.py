"""Passes beside lobes: what room lobes leave to the even part, and steps that are read along with a pass."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

import core
from core.lobestep import MATTERS
from core.readings.offering import offer
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
