"""The rim's height over the middle, by a depth stop: what it tells of the shape, of lobes, and how surely."""

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


def fitted(events: list[core.Event], job: core.Job = JOB) -> Fit:
    return fit(job, steps_of(job, events))


def height_of(answer: Fit) -> tuple[float, float]:
    """As believed, and its standard deviation."""
    height, slopes, _ = PART.rim_height(answer.belief.mean[:N])
    return height, float(np.sqrt(slopes @ answer.belief.cov[:N, :N] @ slopes))


@pytest.mark.parametrize("shape", SHAPES)
def test_finished_the_rim_is_as_high_as_its_meridian(shape: str) -> None:
    """But for what strokes leave that go over evenly between rings."""
    part = core.job(bowl(shape=SHAPES[shape], pitch="15 mm")).part
    height, _, _ = part.rim_height(np.zeros(len(part.sites)))
    assert height == pytest.approx(part.blank.meridian.rim_mm[1], rel=0.005)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.8])
def test_slopes_are_those_of_the_height(share: float) -> None:
    work, step = share * PART.target, 1e-5
    _, slopes, _ = PART.rim_height(work)
    for one, slope in zip(np.eye(N), slopes, strict=True):
        more, less = (PART.rim_height(work + by * one)[0] for by in (step, -step))
        assert slope == pytest.approx((more - less) / (2 * step), rel=1e-3, abs=0.05)


def test_an_oval_rim_rises_as_lord_rayleigh_says() -> None:
    """With w and u of his modes, (n + cos phi) and -sin phi times tan^n(phi/2), -w cos phi + u sin phi."""
    cosine = 240 / 300
    assert PART.rim_axial == pytest.approx([-(n * cosine + 1) / (n + cosine) for n in (2, 3)], rel=1e-3)


def test_a_height_tells_how_far_the_dish_has_come() -> None:
    """Known to several mm before, then to what is left of the edge and the gauge."""
    before, before_sd = height_of(fitted([WORKED]))
    answer = fitted([WORKED, core.heights_read([0.0, 90.0], [34.0, 35.0])])
    after, sd = height_of(answer)
    assert before_sd > 4.0 and abs(before - 34.5) > 2.0
    assert after == pytest.approx(34.5, abs=0.3)
    off = PART.rim_height(PART.target)[2]
    assert off < sd < 1.3 * off
    assert answer.converged


def test_heights_across_tell_an_oval_and_no_three_lobes() -> None:
    """Straight across, three lobes lift one end as far as they lower the other."""
    bare = fitted([WORKED])
    read = height_of(bare)[0] + np.array([1.0, 0.0, -1.0])
    lobed = fitted([WORKED, core.heights_read([0.0, 45.0, 90.0], read, gauge="dial")]).lobed
    two, three = slice(N, N + 2), slice(N + 2, N + 4)
    assert PART.rim_axial[0] * lobed.mean[two] == pytest.approx([1.0, 0.0], abs=0.05)
    assert np.diag(lobed.cov)[two] == pytest.approx([0.0, 0.0], abs=0.05**2)
    assert lobed.mean[three] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert np.diag(lobed.cov)[three] == pytest.approx(np.diag(bare.lobed.cov)[three], rel=0.01)


@pytest.mark.parametrize("shape", ["radius and depth", "dished end"])
@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_simulated_dishes_are_as_high_as_their_gaps_say(shape: str, seed: int) -> None:
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
    height, slopes, off = part.rim_height(belief.mean[:n])
    sd = np.hypot(float(np.sqrt(slopes @ belief.cov[:n, :n] @ slopes)), off)
    points = made.points_mm()
    assert abs(points[-1, 1] - points[0, 1] - height) < 3.0 * sd
