"""Passes of a stroke or two that gain nothing: planned only while they are cheaper than the other tool."""

from __future__ import annotations

from typing import Any

import pytest

import core
from core.plan.play import Plan
from tests.bench.draws import Drawn, benchmark_bars

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
    plan = Plan([_step(job)], cost=2.0, unfinished=0.8, idle=True)
    assert plan.instead_of(5.0) == pytest.approx(1.0 + 0.8 * 5.0, abs=0.01)
    assert plan.instead_of(None) == 2.0
    plan.idle = False
    assert plan.instead_of(5.0) == 2.0


def _step(job: core.Job) -> Any:
    from core.estimate.fit import fit
    from core.plan.outlook import Goal, Outlook
    from core.plan.whole import one_pass

    fitted = fit(job, [])
    outlook = Outlook(Goal(job), fitted.model, fitted.belief, fitted.strain, fitted.edge)
    found = one_pass(outlook, "shrink", "light", abs(job.part.target) * 0.0 + 1e-3, 1.0, None)
    assert found is not None
    return found
