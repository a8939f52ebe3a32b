"""Sites that a limit does not hold keep step with those that it does."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.estimate.response import ResponseModel, Stroking
from core.plan.caution import in_step
from tests.made_up import OUTLINES, flange

ALL = np.full(4, 10.0)
SURELY = 0.3


def test_where_every_site_is_held_each_does_their_mean_share() -> None:
    assert in_step(ALL, np.array([4.0, 4.0, 5.0, 3.0]), SURELY) == pytest.approx([4.0, 4.0, 4.0, 3.0])


@pytest.mark.parametrize(("allowed", "ahead"), [(6.0, 6.0), (1.0, 10.0 * SURELY), (10.0, 10.0)])
def test_the_others_run_ahead_of_those_that_are_held_by_what_is_surely_theirs(
    allowed: float, ahead: float
) -> None:
    found = in_step(ALL, np.array([allowed, allowed, 10.0, 10.0]), SURELY)
    assert found == pytest.approx([allowed, allowed, ahead, ahead])


def test_nobody_waits_for_what_has_no_room_at_all_or_is_next_to_nothing() -> None:
    for none in (0.0, 1.0):
        found = in_step(np.full(20, 10.0), np.r_[none, np.full(19, 10.0)], SURELY)
        assert found == pytest.approx(np.r_[none, np.full(19, 9.5 + none / 20)])
    assert in_step(np.zeros(4), np.zeros(4), SURELY) == pytest.approx(np.zeros(4))


@pytest.mark.parametrize(("outline", "most"), [("saddle", 0.03), ("saddle", 0.02), ("mixed", 0.02)])
def test_a_tool_folds_straights_no_farther_than_the_arcs_beside_them_can_follow(
    outline: str, most: float
) -> None:
    """The first pass, whose answer nobody knows, is held to a third of the arcs or less; the straights, which
    no limit holds, would be over-turned by it as often as not, above all where stretching is to come."""
    job = core.job(flange(outline=OUTLINES[outline], limits={"strain_per_pass": most}))
    first, part, model = core.refit(job, []).next_pass, job.part, ResponseModel(job)
    stroking = Stroking(first.action, first.bite, first.strokes.astype(float), np.zeros(len(part.sites)))
    share = model.work(stroking, model.mean)[0] / np.abs(part.target)
    arcs, straights = ~part.folded & (first.strokes > 0), part.folded
    assert {site for held in first.held for site in held.sites} == set(np.flatnonzero(arcs))
    assert np.all(share[straights] < 0.4) and share[straights].min() > 0.9 * share[arcs].mean()
