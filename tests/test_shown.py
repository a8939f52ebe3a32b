"""The plan that the next one is held against is the one that was on show before the pass."""

from __future__ import annotations

import numpy as np

import core
from tests.made_up import rib


def worked() -> tuple[core.Job, list[core.Event]]:
    """A job, its first pass done as shown and read."""
    job = core.job(rib())
    bar = core.simulated_bar(job, 4)
    first = core.refit(job, []).next_pass
    assert first is not None
    strokes = [int(m) for m in first.strokes]
    bar.work(first.action, first.bite, strokes)
    gaps = bar.gaps_by_any_gauge()[0]
    return job, [core.pass_done(first.action, strokes, first.bite), core.gaps_read(gaps, "steel rule")]


def same(one: core.Pass, other: core.Pass) -> bool:
    return (one.action, one.bite) == (other.action, other.bite) and np.array_equal(one.strokes, other.strokes)


def test_before_is_what_was_on_show_after_the_pass_that_was_run() -> None:
    job, log = worked()
    shown = core.refit(job, []).remaining
    advice = core.refit(job, log)
    assert len(advice.before) == len(shown) - 1 > 0
    assert all(same(a, b) for a, b in zip(advice.before, shown[1:], strict=True))


def test_it_is_reckoned_where_it_was_never_shown() -> None:
    job, log = worked()
    alone = core.refit(core.job(job.document), log).before
    assert alone and all(same(a, b) for a, b in zip(alone, core.refit(job, log).before, strict=True))


def test_a_second_round_is_not_held_against_it() -> None:
    job, log = worked()
    assert core.refit(job, log[:1]).before == ()
    assert core.refit(job, [*log, core.template_seated(), log[1]]).before == ()


def test_another_log_of_the_same_job_is_not_mistaken_for_it() -> None:
    job, log = worked()
    core.refit(job, [])
    other = [core.pass_done("shrink", [3] * 30, "light"), *log]
    found = core.refit(job, other).before
    afresh = core.refit(core.job(job.document), other).before
    assert len(found) == len(afresh) and all(same(a, b) for a, b in zip(found, afresh, strict=True))
