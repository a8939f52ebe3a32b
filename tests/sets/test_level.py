"""The drifting level against a state-space library, and what is handed on of it."""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.datasets import nile
from statsmodels.tsa.statespace.structural import UnobservedComponents

from core.estimate.gaussian import Belief, read
from core.sets.following import followed
from core.sets.handed import handed_on
from core.sets.level import Filter, Reading, after, filters, foretold, surprise, weights

ONE = np.ones((1, 1))
START = Belief(np.zeros(1), np.array([[0.31**2]]))


def part(value: float, sd: float) -> Reading:
    return Reading(ONE, np.array([value]), np.array([sd**2]))


def test_the_filter_is_that_of_a_state_space_library():
    """Annual flow of the Nile, variances 15099 and 1469.1 (Durbin and Koopman, Time Series Analysis by State
    Space Methods, 2nd ed. 2012, p. 37): mean, variance, likelihood by statsmodels; theirs is -632.5456."""
    flow = nile.load().data["volume"].to_numpy()
    there = UnobservedComponents(flow, "llevel")
    there.ssm.initialize_known(np.zeros(1), np.array([[1e7]]))
    told = there.filter([15099.0, 1469.1])
    now = (Filter(Belief(np.zeros(1), np.array([[1e7]])), 0.0, np.sqrt(1469.1), 0.0),)
    fits = []
    for t, value in enumerate(flow):
        now = after(now, part(value, np.sqrt(15099.0)), first=t == 0)
        assert now[0].belief.mean[0] == pytest.approx(told.filtered_state[0, t], rel=1e-9)
        assert now[0].belief.cov[0, 0] == pytest.approx(told.filtered_state_cov[0, 0, t], rel=1e-9)
        fits.append(now[0].fit)
    since = fits[-1] - fits[0] - 0.5 * (len(flow) - 1) * np.log(2.0 * np.pi)
    assert since == pytest.approx(told.llf_obs[1:].sum(), rel=1e-9)
    assert since == pytest.approx(-632.5456, abs=2e-2)
    assert now[0].belief.mean[0] == pytest.approx(798.3703, abs=1e-3)


def test_the_error_of_one_forecast_is_the_standardised_one_of_the_filter():
    now = (Filter(Belief(np.array([0.2]), np.array([[0.01]])), 0.05, 0.03, 0.0),)
    found = surprise(now, [part(0.5, 0.1)])
    sd = np.sqrt(0.01 + 0.05**2 + 0.03**2 + 0.1**2)
    assert (found.step, found.sd, found.score) == pytest.approx((0.3, sd, 0.3 / sd))


def test_the_errors_of_two_forecasts_are_taken_together():
    """By the joint covariance of two parts written out: what the walk did before the first is in both."""
    now = (Filter(Belief(np.zeros(1), np.array([[0.01]])), 0.05, 0.03, 0.0),)
    found = surprise(now, [part(0.2, 0.1), part(0.4, 0.1)])
    own, walk = 0.05**2 + 0.1**2, 0.03**2
    covariance = np.array([[0.01 + walk + own, 0.01 + walk], [0.01 + walk, 0.01 + 2.0 * walk + own]])
    weight = np.linalg.inv(covariance).sum(axis=0)
    step = weight @ [0.2, 0.4] / weight.sum()
    assert (found.step, found.score) == pytest.approx((step, step * np.sqrt(weight.sum())))


def test_spreads_are_learned_from_the_parts():
    """Parts that differ by 0.15 against parts that differ by 0.02, twelve each."""
    rng = np.random.default_rng(3)
    own = []
    for sd in (0.15, 0.02):
        now = filters(START)
        for j in range(12):
            now = after(now, part(rng.normal(0.1, sd), 0.02), first=j == 0)
        own.append(np.sqrt(weights(now) @ np.array([one.own_sd**2 + one.drift_sd**2 for one in now])))
    assert own[0] > 0.1 > 0.05 > own[1]


def test_a_drift_is_followed():
    """A level that rises by 0.05 a part: the next part is foretold nearer its own level than the mean of
    all."""
    now = filters(START)
    for j in range(10):
        now = after(now, part(0.05 * j, 0.02), first=j == 0)
    assert foretold(now, ONE).mean[0] > 0.4


def simulated(rng: np.random.Generator, step: float) -> list[tuple[Reading, bool]]:
    """Eight parts that differ by 0.05 and are read to 0.05, all from the sixth on changed by a step."""
    return [
        (part(0.2 + rng.normal(0.0, np.hypot(0.05, 0.05)) + (step if j >= 5 else 0.0), 0.05), False)
        for j in range(8)
    ]


def test_a_change_that_nobody_announced_is_noticed_and_seldom_where_there_is_none():
    """A step of 0.4 (half as much again) at the latest by the second part, in nine sets of ten or more."""
    rng = np.random.default_rng(5)
    found = [followed(START, START, simulated(rng, 0.4)) for _ in range(20)]
    assert np.mean([any(s.noticed_at in (5, 6) for s in one.steps) for one in found]) >= 0.9
    assert np.mean([one.begun in (5, 6) for one in found]) >= 0.85
    still = [followed(START, START, simulated(rng, 0.0)) for _ in range(20)]
    assert np.mean([one.begun > 0 for one in still]) <= 0.15


def test_one_reading_handed_on_says_all_that_is_known_of_it():
    prior, now = Belief(np.array([0.1]), np.array([[0.09]])), Belief(np.array([0.4]), np.array([[0.01]]))
    (one,) = handed_on(prior, now)
    assert one.variance == pytest.approx(1.0 / (1.0 / 0.01 - 1.0 / 0.09), rel=1e-6)
    told = read(prior, ONE, np.array([one.value]) - prior.mean, np.array([one.variance])).belief
    assert (told.mean[0], told.cov[0, 0]) == pytest.approx((0.4, 0.01))


@pytest.mark.parametrize("alike", [0.0, 0.5, 0.95])
def test_several_readings_handed_on_claim_no_more_than_is_known(alike):
    """However much two quantities have in common: no mixture of them is known better than it is."""
    prior = Belief(np.zeros(2), 0.09 * np.array([[1.0, 0.8], [0.8, 1.0]]))
    rows, noise = np.eye(2), 0.01 * np.array([[1.0, alike], [alike, 1.0]])
    gain = prior.cov @ np.linalg.inv(prior.cov + noise)
    now = Belief(gain @ np.array([0.3, 0.2]), prior.cov - gain @ prior.cov)
    handed = handed_on(prior, now)
    row = rows[[one.row for one in handed]]
    told = read(
        prior, row, np.array([one.value for one in handed]), np.array([one.variance for one in handed])
    )
    assert np.linalg.eigvalsh(told.belief.cov - now.cov)[0] >= -1e-9
    assert np.abs(told.belief.mean - now.mean).max() < 0.05
    assert told.belief.cov.trace() < 2.0 * now.cov.trace()


def test_nothing_is_handed_on_of_nothing():
    prior = Belief(np.zeros(2), 0.09 * np.array([[1.0, 0.8], [0.8, 1.0]]))
    assert handed_on(prior, prior) == ()
