"""Rounds of gaps that as a whole cannot be right, and rounds that say too little.

What is right is common sense at the machine: a rigid template touches somewhere, and a point slips.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from tests.estimate.logs import worked
from tests.estimate.test_fit import N, finishing
from tests.made_up import rib

UNSAID = [None] * N


@pytest.fixture(scope="module")
def job() -> core.Job:
    return core.job(rib())


def some(*stations: int) -> list[float | None]:
    """0.1 mm at these stations, nothing at the others."""
    return [0.1 if i in stations else None for i in range(N)]


@pytest.mark.parametrize(
    "gaps, measured",
    [
        (UNSAID, False),
        (some(3), False),
        (some(0, 15), False),
        (some(0, 9, 20, 29), False),  # shift and tilt of the template take two of them
        (some(0, 7, 14, 21, 29), True),
        ([0.1] * N, True),
    ],
)
def test_measured_is_what_says_something_of_the_shape(job: core.Job, gaps: list, measured: bool) -> None:
    done = core.pass_done("shrink", [3] * N, "heavy")
    advice = core.refit(job, [done, core.gaps_read(gaps)])
    assert (advice.verdict != "not measured") == measured


def test_nothing_is_learned_from_a_round_without_readings(job: core.Job) -> None:
    advice = core.refit(job, [finishing(job), core.gaps_read(UNSAID)])
    assert not any(response.known for response in advice.response.values())
    assert advice.verdict == "not measured"


def test_two_short_rounds_add_up(job: core.Job) -> None:
    rounds = [core.gaps_read(some(0, 9, 20, 29)), core.gaps_read(some(2, 10, 18, 26))]
    assert core.refit(job, [finishing(job), *rounds]).verdict != "not measured"


def test_a_bar_of_three_stations_can_be_measured() -> None:
    short = core.job(rib(pitch="400 mm"))
    assert core.refit(short, [core.gaps_read([5.0, 0.0, 5.0])]).verdict != "not measured"


def test_an_anneal_does_not_take_the_readings_back(job: core.Job) -> None:
    events = [finishing(job), core.gaps_read([0.1] * N)]
    assert core.refit(job, [*events, core.annealed()]).verdict == core.refit(job, events).verdict


def test_a_rigid_template_touches_somewhere(job: core.Job) -> None:
    def told(gaps: list, **changes: Any) -> list[str]:
        advice = core.refit(core.job(rib(**changes)), [finishing(job), core.gaps_read(gaps)])
        return [sentence for sentence in advice.warnings if "touch" in sentence]

    (sentence,) = told([3.0 + 0.1 * (i % 2) for i in range(N)])
    assert "touches nowhere" in sentence and "3.00 mm" in sentence
    assert told(["touching"] + [3.0] * (N - 1)) == []
    assert told([0.1 + 0.05 * (i % 2) for i in range(N)]) == []  # within what gauge and template are off
    assert told([None, *[3.0] * (N - 1)]) == []  # it may touch where nothing was read
    assert told([3.0] * N, template="layout line") == []
    (sentence,) = told(["beyond"] * N)
    assert "All gaps are beyond the gauge" in sentence


def test_sound_rounds_are_not_doubted(job: core.Job) -> None:
    for template in ("inside", "outside", "layout line"):
        held = core.job(rib(template=template))
        for seed in range(4):
            assert core.refit(held, worked(held, 2, seed)).warnings == held.warnings


@pytest.mark.parametrize("factor, says", [(10.0, "ten times too large"), (0.1, "ten times too small")])
def test_a_point_slipped_in_a_whole_round_is_named(job: core.Job, factor: float, says: str) -> None:
    *before, last = worked(job, 3)
    wrong = [g * factor if isinstance(g, float) else g for g in last["gaps_mm"]]
    try:
        said = " ".join(core.refit(job, [*before, core.gaps_read(wrong, "steel rule")]).warnings)
    except core.InputError as error:
        said = str(error)
    assert says in said


def test_gaps_that_do_not_belong_to_the_log_are_said_once(job: core.Job) -> None:
    """No stroke was made, and the gaps tell of half the work done."""
    half = core.answering_part(job, worked(job, 1, share=0.5)[:1], 3)
    gaps, gauges = half.gaps_by_any_gauge()
    log = [core.pass_done("shrink", [0] * N), core.gaps_read(gaps, gauges if any(gauges) else None)]
    advice = core.refit(job, log)
    assert len(advice.suspects) >= 4
    (sentence,) = [s for s in advice.warnings if "look at the passes" in s]
    assert sentence.startswith(f"{len(advice.suspects)} of ")
    assert not any("bite does" in reason for reason in advice.reasons)
    assert np.isfinite(advice.widest_gap_mm)
