"""Rounds that agree with themselves, and with nothing that was believed of the strokes before them."""

from __future__ import annotations

from typing import Any

import pytest

import core
from tests.made_up import OUTLINES, bowl, flange, rib


@pytest.fixture(scope="module")
def job() -> core.Job:
    return core.job(rib())


@pytest.fixture(scope="module")
def line() -> core.Job:
    return core.job(rib(template="layout line", gauge="steel rule"))


def first_pass(job: core.Job, log: Any = ()) -> dict[str, Any]:
    now = core.refit(job, log).next_pass
    assert now is not None
    return core.pass_done(now.action, now.strokes.tolist(), now.bite)


def said(advice: core.Advice) -> list[str]:
    return [w for w in advice.warnings if "can only be right if" in w]


@pytest.mark.parametrize("number", ["touching", 0.0])
def test_a_column_of_one_number_after_a_first_pass_is_doubted(job: core.Job, number: Any) -> None:
    log = [first_pass(job), core.gaps_read([number] * len(job.part.sites))]
    advice = core.refit(job, log)
    assert advice.verdict != "within"
    (sentence,) = said(advice)
    assert "all its readings are alike" in sentence and "heavy shrink" in sentence


def test_read_again_or_confirmed_it_counts(job: core.Job) -> None:
    done, n = first_pass(job), len(job.part.sites)
    again = core.refit(job, [done, *[core.gaps_read([0.0] * n)] * 2])
    confirmed = core.refit(job, [done, core.gaps_read([0.0] * n, confirmed=range(n))])
    for advice in (again, confirmed):
        assert not said(advice) and advice.verdict == "within"


@pytest.mark.parametrize("passes", [1, 2])
@pytest.mark.parametrize("document", [bowl(), flange(outline=OUTLINES["hole"]), flange()])
def test_sheet_that_lies_on_its_template_is_believed_when_read_alike(document: Any, passes: int) -> None:
    """Whatever strokes explain: somebody may have done more than was logged. Read once it is asked about."""
    held = core.job(document)
    made, log, zeros = core.simulated_part(held, 4), [], [0.0] * len(held.part.sites)
    for last in range(passes):
        log += [core.gaps_read(*made.gaps_by_any_gauge())] * (last > 0)
        log.append(first_pass(held, log))
        made.work(log[-1]["action"], log[-1]["bite"], log[-1]["strokes"])
    once = core.refit(held, [*log, core.gaps_read(zeros)])
    assert once.verdict != "within" and (once.suspects or once.warnings != held.warnings)
    assert not any("point" in warning for warning in once.warnings)
    again = core.refit(held, [*log, *[core.gaps_read(zeros)] * 2])
    confirmed = core.refit(held, [*log, core.gaps_read(zeros, confirmed=range(len(zeros)))])
    for advice in (again, confirmed):
        assert advice.verdict == "within" and not advice.suspects and advice.warnings == held.warnings


@pytest.mark.parametrize("seed", range(4))
def test_signs_turned_round_all_along_are_named(line: core.Job, seed: int) -> None:
    done = first_pass(line)
    bar = core.simulated_bar(line, seed)
    bar.work(done["action"], done["bite"], done["strokes"])
    gaps = bar.gaps()
    assert not said(core.refit(line, [done, core.gaps_read(gaps)]))
    turned = [-g if isinstance(g, float) else g for g in gaps]
    advice = core.refit(line, [done, core.gaps_read(turned)])
    (sentence,) = said(advice)
    assert "With its signs turned it would be as expected" in sentence
    # worked by them it would go the wrong way
    assert advice.verdict != "within" and not advice.remaining
    assert advice.counter is None and advice.reasons == ()
    confirmed = core.refit(line, [done, core.gaps_read(turned, confirmed=range(len(turned)))])
    assert confirmed.next_pass is not None


@pytest.mark.parametrize("seed", range(4))
def test_an_ordinary_job_is_never_doubted(job: core.Job, seed: int) -> None:
    bar, log = core.simulated_bar(job, seed), []
    for _ in range(6):
        now = core.refit(job, log).next_pass
        if now is None:
            break
        bar.work(now.action, now.bite, now.strokes.tolist())
        log += [core.pass_done(now.action, now.strokes.tolist(), now.bite), core.gaps_read(bar.gaps())]
        assert not said(core.refit(job, log))
    assert len(log) >= 4
