"""The continuous optimum against scipy.optimize.linprog (HiGHS): strokes within 5 per cent, aim kept."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy.optimize import linprog

import core
from core.estimate.response import ResponseModel
from core.plan.aim import fewest_strokes
from core.plan.outlook import Goal
from tests.made_up import LINES, rib

BAND = 0.125
TIGHT = {"radius": "900 mm", "length": "1200 mm"}
SIGN = {"shrink": 1.0, "stretch": -1.0}


def library(
    goal: Goal, work: np.ndarray, per_stroke: dict[str, np.ndarray], band: float | None
) -> tuple[float, float]:
    """(strokes, widest gap): least strokes within a band, or with no band the least widest gap.

    Unknowns: strokes at each site for each action, shift and tilt of the template, widest gap.
    """
    slopes = np.hstack([-SIGN[a] * goal.rows * q for a, q in per_stroke.items()])
    columns = goal.columns[:, :2]
    now = goal.offset + goal.rows @ work
    k = slopes.shape[1]
    ones = np.ones((len(now), 1))
    low = 0.0 * ones if goal.job.template.rigid else -ones
    above, below = np.hstack([slopes, columns, -ones]), np.hstack([-slopes, -columns, low])
    cost = np.r_[np.ones(k) if band else np.zeros(k), 0.0, 0.0, 0.0 if band else 1.0]
    limits = [(0.0, None)] * k + [(None, None)] * 2 + [(0.0, band)]
    found = linprog(
        cost, A_ub=np.vstack([above, below]), b_ub=np.r_[-now, now], bounds=limits, method="highs"
    )
    assert found.status == 0
    return float(found.x[:k].sum()), float(found.x[-1])


def stage(document: dict[str, Any], actions: tuple[str, ...]) -> tuple[Goal, dict[str, np.ndarray]]:
    job = core.job(document)
    model = ResponseModel(job)
    goal = Goal(job)
    return goal, {a: model.guess(a, "medium") for a in actions}


def left(goal: Goal, work: np.ndarray, wanted: dict[str, np.ndarray]) -> float:
    """Widest gap after the wanted work, seated by the library."""
    after = work - sum(SIGN[a] * w for a, w in wanted.items())
    return library(goal, after, {"shrink": np.full(len(work), 1e-12)}, None)[1]


@pytest.mark.parametrize(
    "line", [LINES["radius and length"], TIGHT, LINES["offsets"], LINES["chord and rise"]]
)
@pytest.mark.parametrize("template", ["inside", "outside", "layout line"])
def test_untouched_bars_for_one_curvature(line: dict[str, Any], template: str) -> None:
    goal, per_stroke = stage(rib(line=line, template=template), ("shrink",))
    work = goal.job.part.target
    wanted = fewest_strokes(goal, work, per_stroke, BAND)
    strokes, _ = library(goal, work, per_stroke, BAND)
    assert wanted.strokes_of("shrink") == pytest.approx(strokes, rel=0.05)
    assert wanted.widest_mm == pytest.approx(BAND, abs=0.02)
    assert left(goal, work, wanted.work) <= BAND + 0.02


def test_an_s_shape_takes_both_actions() -> None:
    goal, per_stroke = stage(rib(line=LINES["segments"]), ("shrink", "stretch"))
    work = goal.job.part.target
    wanted = fewest_strokes(goal, work, per_stroke, BAND)
    strokes, _ = library(goal, work, per_stroke, BAND)
    assert wanted.strokes_of("shrink") + wanted.strokes_of("stretch") == pytest.approx(strokes, rel=0.05)
    assert min(wanted.strokes_of(a) for a in per_stroke) > 20
    assert left(goal, work, wanted.work) <= BAND + 0.02


@pytest.mark.parametrize("seed", range(8))
def test_whatever_is_left_with_both_actions(seed: int) -> None:
    """Random remaining work, as late passes find it: local, of both signs."""
    goal, per_stroke = stage(rib(), ("shrink", "stretch"))
    work = np.random.default_rng(seed).normal(0.0, 3e-3, len(goal.job.part.sites))
    wanted = fewest_strokes(goal, work, per_stroke, BAND)
    strokes, _ = library(goal, work, per_stroke, BAND)
    assert wanted.strokes_of("shrink") + wanted.strokes_of("stretch") == pytest.approx(strokes, rel=0.05)
    assert left(goal, work, wanted.work) <= BAND + 0.02


@pytest.mark.parametrize("seed", range(6))
def test_where_one_action_cannot_the_widest_gap_is_the_least_there_is(seed: int) -> None:
    goal, per_stroke = stage(rib(), ("shrink",))
    work = np.random.default_rng(seed).normal(1e-3, 3e-3, len(goal.job.part.sites))
    _, least = library(goal, work, per_stroke, None)
    wanted = fewest_strokes(goal, work, per_stroke, BAND)
    assert least > BAND
    assert wanted.widest_mm == pytest.approx(least, rel=0.02, abs=0.01)
    assert left(goal, work, wanted.work) == pytest.approx(least, rel=0.05, abs=0.02)


def test_nothing_to_do_takes_no_strokes() -> None:
    goal, per_stroke = stage(rib(), ("shrink", "stretch"))
    wanted = fewest_strokes(goal, np.zeros(len(goal.job.part.sites)), per_stroke, BAND)
    assert sum(wanted.strokes_of(a) for a in per_stroke) < 0.5
