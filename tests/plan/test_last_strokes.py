"""The last strokes of an action: what it can still mend is mended, and nothing has it come back."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.estimate.gaussian import Belief
from core.estimate.response import SIGN, ResponseModel
from core.plan.aim import fewest_strokes
from core.plan.outlook import Goal, Outlook
from core.plan.whole import one_pass
from core.strained import Strained
from tests.made_up import OUTLINES, flange

BAND = 0.125
SURE = 1e-10  # variance of all that is believed


def outlook(outline: str, gaps_mm: dict[int, float]) -> Outlook:
    """A flange that lacks these gaps, by the finished shape's slopes, and nothing elsewhere."""
    job = core.job(flange(outline=OUTLINES[outline]))
    goal, model, n = Goal(job), ResponseModel(job), len(job.part.sites)
    asked = np.zeros(n)
    for site, gap in gaps_mm.items():
        asked[site] = gap
    work = np.linalg.solve(goal.rows[:n], asked)
    belief = Belief(np.r_[work, model.mean], SURE * np.eye(n + model.size))
    return Outlook(goal, model, belief, np.zeros(n), Strained.none(n))


def gaps_after(state: Outlook, done: dict[str, np.ndarray]) -> np.ndarray:
    work = state.work - sum(SIGN[action] * w for action, w in done.items())
    return np.asarray(state.goal.readings(work)[: len(work)])


def test_one_sector_turned_too_far_leaves_no_other_as_wide_as_itself() -> None:
    """A rim is turned up by shrinking: a sector that only stretching brings back is no reason to leave the
    others short by as much."""
    state = outlook("rim", {3: -0.46, 12: 0.45, 20: 0.4})
    per_stroke = {"shrink": state.per_stroke("shrink", "light")}
    wanted = fewest_strokes(state.goal, state.work, per_stroke, BAND)
    left = gaps_after(state, wanted.work)
    assert left[[12, 20]] == pytest.approx([BAND, BAND], abs=0.02)
    assert wanted.widest_mm == pytest.approx(0.46, abs=0.02)  # as the verdict will find it
    assert wanted.work["shrink"][3] < 0.1 * wanted.work["shrink"][12]


def test_with_the_other_action_that_sector_is_brought_back_too() -> None:
    state = outlook("rim", {3: -0.46, 12: 0.45})
    wanted = fewest_strokes(
        state.goal, state.work, {a: state.per_stroke(a, "light") for a in ("shrink", "stretch")}, BAND
    )
    assert wanted.widest_mm == pytest.approx(BAND, abs=0.02)
    assert np.abs(gaps_after(state, wanted.work)).max() <= BAND + 0.02


def test_an_action_that_shall_not_come_back_leaves_no_sector_short() -> None:
    """Heavy strokes of more than the gaps: rounded to the nearest, some sectors got none."""
    n = len(core.job(flange(outline=OUTLINES["mixed"])).part.sites)
    gaps = dict(enumerate(np.linspace(0.2, 1.2, 10))) | {n - 3: 8.0, n - 2: 8.0}
    state = outlook("mixed", gaps)
    wanted = np.maximum(state.work, 0.0)
    later = np.minimum(state.work, 0.0)
    step = one_pass(state, "shrink", "heavy", wanted, 1.05, later)
    assert step is not None
    done = state.law("shrink", "heavy", step.strokes)(step.strokes)
    one = state.per_stroke("shrink", "heavy")
    assert np.all(done >= wanted - 0.1 * one)
    assert np.all(done <= wanted + 2.0 * one)  # nor far beyond
    assert not step.strokes[later < 0.0].any()
