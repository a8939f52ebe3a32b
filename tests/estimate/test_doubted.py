"""Bad readings in a round: they are doubted by name, and no part is within while they stand unconfirmed.

That a number is typed with its point in the wrong place is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.estimate.spared import fewest_out
from tests.estimate.test_fit import slip_of_the_finger
from tests.made_up import bowl, rib

SHORT = {"radius": "6000 mm", "length": "480 mm"}
LONG = {"radius": "40 m", "length": "1200 mm"}
CASES = [
    (SHORT, "40 mm", (8, 9)),
    (SHORT, "40 mm", (1, 10)),
    (LONG, "100 mm", (2, 8)),
    (LONG, "100 mm", (3,)),
]


def light_pass(
    line: dict[str, str], pitch: str, seed: int
) -> tuple[core.Job, list[dict[str, Any]], list, list]:
    """A job of twelve stations, its log up to a light first pass, the gaps after it, and their gauges."""
    job = core.job(rib(line=line, pitch=pitch))
    log = [core.pass_done("shrink", [2] * len(job.part.sites), "light")]
    gaps, gauges = core.answering_part(job, log, seed).gaps_by_any_gauge()
    return job, log, list(gaps), list(gauges)


@pytest.mark.parametrize("line, pitch, bad", CASES)
@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_point_slipped_in_few_readings_is_doubted_by_name(
    line: dict, pitch: str, bad: tuple, seed: int
) -> None:
    job, log, gaps, _ = light_pass(line, pitch, seed)
    assert len(gaps) == 12
    wrong = [g * 10 if i in bad else g for i, g in enumerate(gaps)]
    advice = core.refit(job, [*log, core.gaps_read(wrong, "steel rule")])
    assert [s.station for s in advice.suspects] == list(bad)
    for suspect in advice.suspects:
        assert suspect.low_mm - 0.3 < gaps[suspect.station] < suspect.high_mm + 0.3
        assert any(f"Station {suspect.station + 1} reads" in reason for reason in advice.reasons)
    assert not any("ten times" in sentence for sentence in advice.warnings)
    right = core.refit(job, [*log, core.gaps_read(gaps, "steel rule")])
    assert advice.widest_gap_mm == pytest.approx(right.widest_gap_mm, abs=0.3)


@pytest.mark.parametrize(
    "line, pitch", [(SHORT, "40 mm"), ({"radius": "2000 mm", "length": "480 mm"}, "40 mm")]
)
@pytest.mark.parametrize("seed", [0, 1, 2])
def test_a_point_slipped_in_all_of_them_is_said_of_the_round(line: dict, pitch: str, seed: int) -> None:
    job, log, gaps, _ = light_pass(line, pitch, seed)
    wrong = [g * 10 if isinstance(g, float) else g for g in gaps]
    try:
        said = " ".join(core.refit(job, [*log, core.gaps_read(wrong, "steel rule")]).warnings)
    except core.InputError as error:
        said = str(error)
    assert "ten times too large" in said


def test_confirmed_readings_are_not_left_out() -> None:
    job, log, gaps, _ = light_pass(SHORT, "40 mm", 0)
    wrong = [g * 10 if i in (1, 10) else g for i, g in enumerate(gaps)]
    try:
        advice = core.refit(job, [*log, core.gaps_read(wrong, "steel rule", confirmed=(1, 10))])
    except core.InputError:
        return  # it cannot be followed with them
    assert not {1, 10} & {s.station for s in advice.suspects}


def test_the_fewest_are_left_out() -> None:
    """Two that hide one another behind a common error of all, as the seating of a template is."""
    rng = np.random.default_rng(3)
    covariance = np.eye(12) + 400.0 * np.ones((12, 12))
    innovation = 20.0 + rng.standard_normal(12)
    free = np.zeros(12, bool)
    assert fewest_out(innovation, covariance, free, 3).tolist() == []
    innovation[[4, 9]] += 30.0
    assert fewest_out(innovation, covariance, free, 3).tolist() == [4, 9]
    assert fewest_out(innovation, covariance, free, 1) is None
    innovation[[0, 1, 2, 3]] += [30.0, -40.0, 50.0, -60.0]
    assert fewest_out(innovation, covariance, free, 3) is None


def finished_bar() -> tuple[core.Job, list[dict[str, Any]], int]:
    job = core.job(rib(tolerance="1 mm"))
    return job, slip_of_the_finger(job)[0], 11


def finished_dish() -> tuple[core.Job, list[dict[str, Any]], int]:
    """A shallow bowl that reads as good as nothing all along, with ten times as much at one ring."""
    job = core.job(bowl(tolerance="2 mm"))
    n = len(job.part.sites)
    work = job.part.target / (job.part.work_per_strain() * job.tool.strain("medium"))
    log = [core.pass_done("shrink", np.rint(np.maximum(work, 0.0)).astype(int).tolist(), "medium")]
    return job, [*log, core.gaps_read([3.0 if i == 3 else 0.2 for i in range(n)])], 3


@pytest.mark.parametrize("finished", [finished_bar, finished_dish])
def test_nothing_is_within_beside_a_suspect(finished: Any) -> None:
    job, log, at = finished()
    advice = core.refit(job, log)
    assert [s.station for s in advice.suspects] == [at]
    assert advice.chance_within >= job.confidence and advice.verdict == "too close to call"
    assert advice.next_pass is None
    assert any("within its tolerance; that counts once" in reason for reason in advice.reasons)
    assert not any(
        "too near the tolerance" in reason or "No whole stroke" in reason for reason in advice.reasons
    )


@pytest.mark.parametrize("finished", [finished_bar, finished_dish])
def test_read_again_it_is_within(finished: Any) -> None:
    job, log, at = finished()
    gaps = list(log[-1]["gaps_mm"])
    gaps[at] = gaps[at - 1]
    for again in (core.gaps_read(gaps), core.gaps_read([g if i == at else None for i, g in enumerate(gaps)])):
        advice = core.refit(job, [*log, again])
        assert advice.suspects == () and advice.verdict == "within"


@pytest.mark.parametrize("finished", [finished_bar, finished_dish])
def test_confirmed_it_counts(finished: Any) -> None:
    job, log, at = finished()
    sure = core.gaps_read(log[-1]["gaps_mm"], confirmed=(at,))
    advice = core.refit(job, [*log[:-1], sure])
    assert at not in [s.station for s in advice.suspects] and advice.verdict != "within"
