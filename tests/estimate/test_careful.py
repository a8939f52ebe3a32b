"""Logs of flanges with what an honest operator may write wrongly: never refused, always asked about.

What is right is common sense at the machine: above 0 a flange lacks angle, and what is read twice stands.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest

import core
from tests.made_up import OUTLINES, flange

Log = list[dict[str, Any]]


@cache
def logs(outline: str, passes: int = 4) -> tuple[core.Job, tuple[Log, ...]]:
    """A flange turned as advised; its log up to each round of gaps."""
    job = core.job(flange(outline=OUTLINES[outline], pitch="90 mm"))
    made, log, found = core.simulated_part(job, 3), [], []
    for _ in range(passes):
        log = [*log, core.gaps_read(*made.gaps_by_any_gauge())]
        found.append(log)
        planned = core.refit(job, log).next_pass
        if planned is None:
            break
        made.work(planned.action, planned.bite, planned.strokes.tolist())
        log = [*log, core.pass_done(planned.action, planned.strokes.tolist(), planned.bite)]
    return job, tuple(found)


def altered(log: Log, change: Callable[[int, float], float]) -> Log:
    """The log with the gaps of its last round changed, read by what reads them all."""
    *before, last = log
    gaps = [change(i, float(gap)) for i, gap in enumerate(last["gaps_mm"])]
    return [
        *before,
        core.gaps_read(
            gaps, {"name": "depth rod", "step": "0.1 mm", "repeatability": "0.1 mm", "largest": "300 mm"}
        ),
    ]


@pytest.mark.parametrize(("outline", "rounds"), [("hole", 0), ("hole", 1), ("hole", 2), ("straight", 1)])
def test_a_round_with_the_wrong_sign_is_asked_about(outline: str, rounds: int) -> None:
    job, found = logs(outline)
    advice = core.refit(job, altered(found[rounds], lambda i, gap: -gap))
    (asked,) = [said for said in advice.warnings if "signs of this round" in said]
    assert f"{len(job.part.sites)} of {len(job.part.sites)} sectors fit only with the other sign" in asked
    assert advice.next_pass.action == core.refit(job, found[rounds]).next_pass.action


@pytest.mark.parametrize(("outline", "rounds"), [("hole", 0), ("hole", 1), ("hole", 2), ("straight", 1)])
def test_one_sector_with_the_wrong_sign_is_named(outline: str, rounds: int) -> None:
    job, found = logs(outline)
    advice = core.refit(job, altered(found[rounds], lambda i, gap: -gap if i == 4 else gap))
    assert [suspect.station for suspect in advice.suspects] == [4]
    (said,) = [reason for reason in advice.reasons if "the other sign would fit" in reason]
    assert said.startswith("Sector 5 reads -")


def test_sound_logs_and_an_honest_overshoot_are_not_asked_about() -> None:
    job, found = logs("hole")
    assert not any("sign" in said for log in found for said in core.refit(job, log).warnings)
    near = core.job(flange(outline=OUTLINES["hole"], pitch="90 mm", start_angle="80 deg"))
    n = len(near.part.sites)
    log = [core.gaps_read([3.4] * n), core.pass_done("stretch", [2] * n, "heavy"), core.gaps_read([-0.9] * n)]
    advice = core.refit(near, log)
    assert not any("sign" in said for said in advice.warnings)
    log[-1]["confirmed"] = list(range(n))  # so much more than believed is asked about once, as a response
    assert core.refit(near, log).next_pass.action == "shrink"


@pytest.mark.parametrize(
    "change",
    [
        lambda i, gap: 10.0 * gap if i == 2 else gap,
        lambda i, gap: 10.0 * gap,
        lambda i, gap: 0.1 * gap,
        lambda i, gap: 20.0 if i % 2 else -20.0,
        lambda i, gap: 0.0,
    ],
)
def test_no_round_is_refused(change: Callable[[int, float], float]) -> None:
    """Nor the rounds after it, nor where it is confirmed."""
    job, found = logs("hole")
    wrong = altered(found[2], change)
    wrong[-1]["confirmed"] = [1, 2]
    for log in (wrong, [*wrong, *found[3][len(wrong) :]]):
        advice = core.refit(job, log)
        assert np.isfinite(advice.widest_gap_mm) and (advice.suspects or advice.verdict != "within")


def test_no_pass_is_refused() -> None:
    """Logged as the other action, or with ten times its strokes."""
    job, found = logs("hole")
    for slip in ({"action": "shrink"}, {"strokes": [10 * m for m in found[1][1]["strokes"]]}):
        log = [{**event, **slip} if i == 1 else event for i, event in enumerate(found[2])]
        assert np.isfinite(core.refit(job, log).widest_gap_mm)


@pytest.mark.parametrize("confirmed", [True, False])
def test_what_is_read_again_outside_keeps_the_verdict_from_within(confirmed: bool) -> None:
    """The sector got no strokes in the last pass, and three rounds had it within: but it stands at 0.8 mm."""
    job = core.job(flange(pitch="60 mm", start_angle="89 deg"))
    n = len(job.part.sites)
    near, off = [0.1] * n, [0.8 if i == 5 else 0.1 for i in range(n)]
    nothing = core.pass_done("shrink", [0 if i == 5 else 1 for i in range(n)], "light")
    log = [core.gaps_read([0.15] * n), *[core.gaps_read(near)] * 3, nothing]
    again = [core.gaps_read(off, confirmed=[5])] if confirmed else [core.gaps_read(off)] * 2
    advice = core.refit(job, [*log, *again])
    assert advice.verdict == "outside" and not advice.suspects
    assert advice.deviation_mm[5] == pytest.approx(0.8, abs=0.05)
    assert core.refit(job, [*log, core.gaps_read(near)]).verdict == "within"
