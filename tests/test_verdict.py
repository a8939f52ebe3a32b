"""Conformity against JCGM 106:2012 and ISO 14253-1, and the chance of the widest gap by other draws.

The standards' figures are from memory unless said otherwise, to be confirmed against the standards.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog
from scipy.stats import multivariate_normal, norm

import core
from core.estimate.gaussian import Belief
from core.readings.offering import layout_of, offer
from core.verdict import chance_within, conforms, decide, fitness
from tests.made_up import rib

N = 30


def test_jcgm_106_7_3_3_example_1() -> None:
    """Breakdown voltage at most -5.40 V, measured -5.47 V, u = 0.05 V: PHI(1.40) = 0.92."""
    assert chance_within(-5.47, 0.05, high=-5.40) == pytest.approx(0.92, abs=0.005)
    assert chance_within(-5.47, 0.05, high=-5.40) == pytest.approx(norm.cdf(1.40))


def test_jcgm_106_7_4() -> None:
    """Kinematic viscosity between 12.5 and 16.3 mm2/s, measured 13.6, u = 1.8: 0.93 - 0.27 = 0.66."""
    found = chance_within(13.6, 1.8, 12.5, 16.3)
    assert found == pytest.approx(0.66, abs=0.005)
    assert found == pytest.approx(norm.cdf(1.5) - norm.cdf(-1.1 / 1.8))


@pytest.mark.parametrize(
    "value, expected",  # tolerance 0 to 0.5, u = 0.1; computed with the normal distribution alone
    [(0.0, 0.500000), (0.1, 0.841313), (0.2, 0.975900), (0.3, 0.975900), (0.4, 0.841313)],
)
def test_interval_of_half_a_millimetre(value: float, expected: float) -> None:
    assert chance_within(value, 0.1, 0.0, 0.5) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    "guard, expected",  # JCGM 106:2012, 8.3; ILAC-G8:09/2019: guard bands in units of u
    [(2.0, 0.97725), (1.645, 0.95002), (1.0, 0.84134), (3.0, 0.99865), (0.0, 0.5)],
)
def test_guard_bands(guard: float, expected: float) -> None:
    assert chance_within(0.5 - guard * 0.1, 0.1, high=0.5) == pytest.approx(expected, abs=1e-5)


@pytest.mark.parametrize(
    "value, expected",
    [
        (0.5 - 0.166, "within"),
        (0.5 - 0.163, "too close to call"),
        (0.5 + 0.163, "too close to call"),
        (0.5 + 0.166, "outside"),
    ],
)
def test_default_rule_of_iso_14253_1(value: float, expected: str) -> None:
    """ISO 14253-1:2017: conformity is proved inside the tolerance less g = 1.65 u at 95 %, nonconformity
    outside it by as much."""
    assert conforms(value, 0.1, high=0.5) == expected


def test_without_uncertainty_the_limit_decides() -> None:
    assert conforms(0.5, 0.0, high=0.5) == "within"
    assert conforms(0.5001, 0.0, high=0.5) == "outside"


@given(chance=st.floats(0.0, 1.0), confidence=st.floats(0.5, 0.9999))
def test_exactly_one_verdict(chance: float, confidence: float) -> None:
    found = decide(chance, confidence)
    assert (found == "within") == (chance >= confidence)
    if found == "outside":
        assert 1.0 - chance >= confidence


def own_chance(job: core.Job, mean: np.ndarray, cov: np.ndarray, draws: int) -> tuple[float, float, float]:
    """Chance of being within, mean and spread of the widest gap: exact geometry of every drawn bar, seated by
    scipy.optimize.linprog in the same two motions (a slide of a circle along itself changes nothing)."""
    layout = layout_of(job.part, job.template)
    rng = np.random.default_rng(12345)
    widest = []
    for work in multivariate_normal(mean, cov, allow_singular=True).rvs(draws, random_state=rng):
        here = job.part.linearise(work, None, layout.points_mm)
        readings, columns = job.template.sign * here.deviation_mm, job.template.sign * here.seating[:, :2]
        ones = np.ones((len(readings), 1))
        rows = np.vstack([np.hstack([columns, -ones]), np.hstack([-columns, 0.0 * ones])])
        found = linprog([0, 0, 1], A_ub=rows, b_ub=np.r_[-readings, readings], bounds=[(None, None)] * 3)
        widest.append(found.fun)
    gaps = np.array(widest)
    return float(np.mean(gaps <= job.tolerance_mm)), float(gaps.mean()), float(gaps.std())


@pytest.mark.parametrize("size", [0.6e-3, 1.2e-3])
def test_chance_of_the_widest_gap_by_other_draws(size: float) -> None:
    job = core.job(rib())
    mean = 0.4 * size * np.sin(np.arange(N) / 5.0)
    apart = np.arange(N)[:, None] - np.arange(N)
    cov = (0.5 * size) ** 2 * np.exp(-0.5 * (apart / 4.0) ** 2) + 1e-10 * np.eye(N)
    found = fitness(job, Belief(mean, cov))
    chance, _, spread = own_chance(job, mean, cov, 600)
    sampling = 3.0 * np.sqrt(0.25 / 256 + 0.25 / 600)
    assert found.chance == pytest.approx(chance, abs=sampling)
    assert 0.02 < chance < 0.98  # or the comparison says nothing
    assert found.widest_sd_mm == pytest.approx(spread, rel=0.2)


def test_a_verdict_needs_gaps() -> None:
    job = core.job(rib())
    assert core.refit(job, []).verdict == "not measured"
    done = core.pass_done("shrink", [3] * N)
    assert core.refit(job, [done]).verdict == "not measured"


@pytest.mark.parametrize(
    "gaps, expected", [([0.1] * N, "within"), ([0.02 * abs(i - 14.5) ** 1.7 for i in range(N)], "outside")]
)
def test_verdict_on_gaps(gaps: list[float], expected: str) -> None:
    job = core.job(rib())
    one = job.part.work_per_strain() * job.tool.strain("medium")
    strokes = np.round(job.part.target / one).astype(int).tolist()
    advice = core.refit(job, [core.pass_done("shrink", strokes), core.gaps_read(gaps)])
    assert advice.verdict == expected
    assert (advice.next_pass is None) == (expected == "within")
    assert (advice.widest_gap_mm <= job.tolerance_mm) == (expected == "within")


def test_verdict_follows_the_confidence_asked_for() -> None:
    """The same gaps, their chance between the levels: within for one shop, too close to call for another."""
    found: dict[float, list[core.Advice]] = {}
    for confidence in (0.51, 0.9999):
        job = core.job(rib(confidence=confidence))
        one = job.part.work_per_strain() * job.tool.strain("medium")
        done = core.pass_done("shrink", np.round(job.part.target / one).astype(int).tolist())
        bowls = [[0.05 + k * (i - 14.5) ** 2 for i in range(N)] for k in (1.8e-3, 1.9e-3, 2e-3, 2.1e-3)]
        found[confidence] = [core.refit(job, [done, core.gaps_read(gaps)]) for gaps in bowls]
    between = [i for i, a in enumerate(found[0.51]) if 0.51 < a.chance_within < 0.99]
    assert between
    for i in between:
        strict = found[0.9999][i]
        assert found[0.51][i].verdict == "within" and strict.verdict == "too close to call"
        assert any("too near the tolerance" in r for r in strict.reasons)


def test_expected_gaps_are_as_unsure_as_the_seating_leaves_them() -> None:
    """An S under a layout line turns about other places as its answer differs: the spread of what each
    station shows, against shapes drawn here, each laid anew by exact geometry."""
    job = core.job(
        rib(
            line={"segments_mm": [[400, 1200], [150, None], [400, -900]]},
            template="layout line",
            gauge="steel rule",
        )
    )
    n = len(job.part.sites)
    mean, along = 0.5 * job.part.target, 0.1 * np.abs(job.part.target)
    found = fitness(job, Belief(mean, np.outer(along, along)))
    drawn = np.random.default_rng(8).standard_normal(60)
    shown = [offer(job.part, job.template, mean + z * along).readings_mm for z in drawn]
    apart = np.sqrt(np.mean((np.array(shown) - found.here.readings_mm) ** 2, axis=0))[:n]
    np.testing.assert_allclose(found.reading_sd_mm[:n], apart, rtol=0.3, atol=0.1)
