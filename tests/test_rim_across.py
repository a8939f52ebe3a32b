"""The rim's mean diameter, by rule or calliper: what it tells of the shape, and how surely."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.estimate.fit import Fit, fit
from core.readings.rounds import steps_of
from tests.made_up import SHAPES, bowl

JOB = core.job(bowl())
PART = JOB.part
N = len(PART.sites)
WORKED = core.pass_done("shrink", [8] * N)
AT = (0.0, 45.0, 90.0, 135.0)


def fitted(events: list[core.Event], job: core.Job = JOB) -> Fit:
    return fit(job, steps_of(job, events))


def across_of(answer: Fit) -> tuple[float, float]:
    """As believed, and its standard deviation."""
    mean, slopes, _ = PART.rim_across(answer.belief.mean[:N])
    return mean, float(np.sqrt(slopes @ answer.belief.cov[:N, :N] @ slopes))


def high_of(answer: Fit) -> float:
    """Standard deviation of the rim's height as believed."""
    _, slopes, _ = PART.rim_height(answer.belief.mean[:N])
    return float(np.sqrt(slopes @ answer.belief.cov[:N, :N] @ slopes))


@pytest.mark.parametrize("share", [0.0, 0.3, 0.8])
def test_slopes_are_those_of_the_diameter(share: float) -> None:
    work, step = share * PART.target, 1e-5
    _, slopes, _ = PART.rim_across(work)
    for one, slope in zip(np.eye(N), slopes, strict=True):
        more, less = (PART.rim_across(work + by * one)[0] for by in (step, -step))
        assert slope == pytest.approx((more - less) / (2 * step), rel=1e-3, abs=0.05)


def test_a_diameter_tells_how_far_the_dish_has_come() -> None:
    """Nothing else read: to what either edge of the rim leaves open, and the height follows from it."""
    bare = fitted([WORKED])
    before, before_sd = across_of(bare)
    read = before - 2.0 * before_sd
    answer = fitted([WORKED, core.rim_read(AT, [read] * 4, gauge="dial")])
    after, sd = across_of(answer)
    off = PART.rim_across(PART.target)[2]
    assert before_sd > 1.2 * off
    # Gaussian conditioning of a prior of sd s on a reading whose sd is the edge's: s off / hypot(s, off)
    assert sd == pytest.approx(before_sd * off / np.hypot(before_sd, off), rel=0.15)
    assert abs(after - read) < abs(after - before)
    assert high_of(answer) < 0.8 * high_of(bare)
    assert answer.converged


def test_read_again_and_again_the_edge_stays_open() -> None:
    """What the edge leaves open is alike in all diameters of an entry: forty tell no more of it than four."""
    mean = across_of(fitted([WORKED]))[0] - 1.0
    few = fitted([WORKED, core.rim_read(AT, [mean] * 4, gauge="dial")])
    many = fitted([WORKED, core.rim_read(np.arange(40) * 4.5, [mean] * 40, gauge="dial")])
    assert across_of(many)[1] == pytest.approx(across_of(few)[1], rel=0.02)
    assert across_of(many)[0] == pytest.approx(across_of(few)[0], abs=0.05)


@pytest.mark.parametrize("shape", ["radius and depth", "dished end"])
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_simulated_rims_are_as_wide_as_their_gaps_say(shape: str, seed: int) -> None:
    """Within three standard deviations of what is believed, geometry and edge together, after passes that
    take off half of what is left by the first guess."""
    job = core.job(bowl(shape=SHAPES[shape], template="layout line"))
    made, part, log = core.simulated_part(job, seed), job.part, []
    n, one = len(part.sites), job.part.work_per_strain() * job.tool.strain("medium")
    for share in (0.5, 0.25, 0.125):
        strokes = np.rint(share * np.maximum(part.target, 0.0) / one).astype(int).tolist()
        log.append(core.pass_done("shrink", strokes))
        made.work("shrink", "medium", strokes)
        log.append(core.gaps_read(*made.gaps_by_any_gauge()))
    belief = fitted(log, job).belief
    mean, slopes, off = part.rim_across(belief.mean[:n])
    sd = np.hypot(float(np.sqrt(slopes @ belief.cov[:n, :n] @ slopes)), off)
    assert abs(2.0 * made.points_mm()[-1, 0] - mean) < 3.0 * sd
