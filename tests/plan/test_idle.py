"""Passes of a stroke or two that gain nothing: planned only while they are cheaper than the other tool."""

from __future__ import annotations

from typing import Any, cast

import numpy as np
import pytest

import core
from core.estimate.fit import fit
from core.estimate.gaussian import Belief
from core.plan.choose import _without_detours
from core.plan.outlook import Goal, Outlook
from core.plan.play import STROKE_COST, Plan
from core.plan.whole import Step, one_pass
from tests.bench.draws import Drawn, benchmark_bars
from tests.made_up import rib

MOST = 8


def played(drawn: Drawn) -> tuple[core.SimulatedBar, list[core.Pass]]:
    """The bar worked as advised, gaps read once after each pass, until it is called within."""
    job = core.job(drawn.document)
    bar = core.simulated_bar(job, drawn.seed, drawn.truth)
    log: list[dict[str, Any]] = []
    done: list[core.Pass] = []
    advice = core.refit(job, log)
    while advice.next_pass is not None and len(done) < MOST:
        done.append(advice.next_pass)
        strokes = [int(m) for m in done[-1].strokes]
        bar.work(done[-1].action, done[-1].bite, strokes)
        gaps, gauges = bar.gaps_by_any_gauge()
        log += [
            core.pass_done(done[-1].action, strokes, done[-1].bite),
            core.gaps_read(gaps, gauges if any(gauges) else None),
        ]
        advice = core.refit(job, log)
    return bar, done


def test_a_bar_that_one_tool_cannot_finish_is_not_left_to_single_strokes() -> None:
    """A bar of the benchmark: without the charge it has a pass of a single stroke five times over."""
    worked, done = played(benchmark_bars(21, 7)[20])
    assert worked.widest_gap_mm() <= 0.5 and len(done) < MOST
    assert sum(step.total <= 2 for step in done) <= 1


def test_an_idle_pass_is_charged_with_what_has_to_follow_it() -> None:
    job = core.job(benchmark_bars(1, 7)[0].document)
    step = _step(job)
    plan = Plan([step], cost=2.0, unfinished=0.8, idle=True)
    own = 1.0 + STROKE_COST * step.strokes.sum()
    assert plan.instead_of(5.0) == pytest.approx(own + 0.8 * 5.0, abs=1e-9)
    assert plan.instead_of(None) == 2.0
    plan.idle = False
    assert plan.instead_of(5.0) == 2.0


def _step(job: core.Job) -> Any:
    found = one_pass(
        _outlook(job, job.part.target), "shrink", "light", abs(job.part.target) * 0.0 + 1e-3, 1.0, None
    )
    assert found is not None
    return found


def _outlook(job: core.Job, left: np.ndarray) -> Outlook:
    """Of metal that nobody met, with this work (n,) left."""
    fitted = fit(job, [])
    mean = np.concatenate([left, fitted.belief.mean[len(left) :]])
    belief = Belief(mean, fitted.belief.cov)
    return Outlook(Goal(job), fitted.model, belief, fitted.strain, fitted.edge)


def test_near_the_end_no_pass_opens_the_gap_again_where_there_is_another_way() -> None:
    """A bar two strokes short of its template: a pass far beyond it, for the other tool to bring back, is not
    taken, however it was weighed; where it is the only one it stays."""
    job = core.job(rib())
    outlook = _outlook(job, 0.005 * job.part.target)
    n = len(job.part.sites)
    begun: list[Any] = [
        (Plan([Step("shrink", "light", strokes, outlook, outlook.after("shrink", "light", strokes))]), None)
        for strokes in (np.eye(n)[n // 2], np.full(n, 6.0))
    ]
    kept = _without_detours(outlook, cast(Any, begun))
    assert [plan.steps[0].strokes.sum() for plan, _ in kept] == [1.0]
    assert len(_without_detours(outlook, cast(Any, begun[1:]))) == 1
    for plan, _ in begun:
        plan.idle = plan.steps[0].strokes.sum() == 1.0  # a way that is no way
    assert len(_without_detours(outlook, cast(Any, begun))) == 2
    far = _outlook(job, 0.5 * job.part.target)
    assert len(_without_detours(far, cast(Any, begun))) == 2
