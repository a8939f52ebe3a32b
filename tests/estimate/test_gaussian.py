"""Conditioning, repeated conditioning and censoring against published and computed values."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import qr, solve_triangular
from scipy.stats import truncnorm
from statsmodels.datasets import nile
from statsmodels.tsa.statespace.structural import UnobservedComponents

from core.estimate.gaussian import Belief, censored, disagreement, forward, read
from core.estimate.seated import Reading, Turn, read_seated

REFERENCE = Path(__file__).parents[1] / "reference"
ONE = np.ones((1, 1))
NILE_ERROR, NILE_LEVEL = 15099.0, 1469.1
"""variances of the local level model of the Nile, Durbin and Koopman, Time Series Analysis by State Space
Methods, 2nd ed. 2012, p. 37 (as cited in the tests of statsmodels)"""


FLOWS = nile.load_pandas().data["volume"].to_numpy()


def nile_filter(count: int) -> list[tuple[float, float, float, float, float]]:
    """(innovation, its variance, gain, level, its variance) after each of the first readings."""
    belief = Belief(np.zeros(1), 1e7 * ONE)
    found = []
    for flow in FLOWS[:count]:
        before = float(belief.cov[0, 0])
        update = read(belief, ONE, np.array([flow]) - belief.mean, np.array([NILE_ERROR]))
        variance = float(update.covariance[0, 0])
        belief = update.belief
        found.append(
            (
                float(update.innovation[0]),
                variance,
                before / variance,
                float(belief.mean[0]),
                float(belief.cov[0, 0]),
            )
        )
        belief = Belief(belief.mean, belief.cov + NILE_LEVEL * ONE)
    return found


@pytest.mark.parametrize(
    "at, expected",
    [  # own recursion by hand with the published variances
        (0, (1120.0, 10015099.00, 0.998492, 1118.3115, 15076.236)),
        (1, (41.6885, 31644.34, 0.522853, 1140.1084, 7894.558)),
        (2, (-177.1084, 24462.66, 0.382774, 1072.3160, 5779.497)),
        (3, (137.6840, 22347.60, 0.324357, 1116.9748, 4897.465)),
        (4, (43.0252, 21465.56, 0.296594, 1129.7358, 4478.278)),
        (99, (-79.6373, 20600.26, 0.267048, 798.3703, 4032.158)),
    ],
)
def test_level_of_the_nile(at: int, expected: tuple[float, ...]) -> None:
    np.testing.assert_allclose(nile_filter(100)[at], expected, rtol=2e-6)


def test_level_of_the_nile_as_a_library_filters_it() -> None:
    """All hundred levels and variances as statsmodels' UnobservedComponents gives them."""
    model = UnobservedComponents(FLOWS, "local level")
    model.ssm.initialize_known(np.zeros(1), 1e7 * np.ones((1, 1)))
    theirs = model.filter([NILE_ERROR, NILE_LEVEL])
    ours = np.array(nile_filter(100))
    np.testing.assert_allclose(ours[:, 3], theirs.filtered_state[0], rtol=1e-10)
    np.testing.assert_allclose(ours[:, 4], theirs.filtered_state_cov[0, 0], rtol=1e-10)


def test_conditioning_a_pair() -> None:
    """Mean (10, 5), covariance [[4, 1.2], [1.2, 1]], the second seen to be 6.5: by hand
    10 + 1.2/1 * 1.5 = 11.8, variance 4 - 1.2^2/1 = 2.56."""
    belief = Belief(np.array([10.0, 5.0]), np.array([[4.0, 1.2], [1.2, 1.0]]))
    found = read(belief, np.array([[0.0, 1.0]]), np.array([1.5]), np.zeros(1)).belief
    np.testing.assert_allclose(found.mean, [11.8, 6.5])
    np.testing.assert_allclose(found.cov, [[2.56, 0.0], [0.0, 0.0]], atol=1e-12)


def test_two_measurements_of_one_length() -> None:
    """10.2 (u 0.3) and 10.5 (u 0.4), weighted by 1/u^2: 10.308, u = 0.24 (by hand)."""
    found = read(Belief(np.array([10.2]), 0.09 * ONE), ONE, np.array([0.3]), np.array([0.16])).belief
    np.testing.assert_allclose([found.mean[0], np.sqrt(found.cov[0, 0])], [10.308, 0.24])


@pytest.mark.parametrize("at_a_time", [1, 5, 36])
def test_regression_with_certified_values(at_a_time: int) -> None:
    """NIST StRD Norris: a wide prior and readings in any portions come to the certified line."""
    y, x = np.loadtxt(REFERENCE / "nist_norris.csv", delimiter=",", skiprows=5).T
    sigma = 0.884796396144373
    belief = Belief(np.zeros(2), np.diag([1e4, 1.0]))
    for k in range(0, len(y), at_a_time):
        rows = np.column_stack([np.ones(len(y)), x])[k : k + at_a_time]
        part = y[k : k + at_a_time]
        belief = read(belief, rows, part - rows @ belief.mean, np.full(len(part), sigma**2)).belief
    sd = np.array([0.232818234301152, 0.429796848199937e-03])
    off = (belief.mean - [-0.262323073774029, 1.00211681802045]) / sd
    assert np.max(np.abs(off)) < 1e-3  # the prior's own pull
    np.testing.assert_allclose(np.sqrt(np.diag(belief.cov)), sd, rtol=1e-5)


@given(
    mean=st.floats(-3.0, 3.0),
    sd=st.floats(0.05, 2.0),
    noise=st.floats(0.01, 1.0),
    z=st.floats(-6.0, 12.0),
)
def test_censored_reading_is_a_cut_off_normal(mean: float, sd: float, noise: float, z: float) -> None:
    """The value read (shape plus reading error) beyond the reach: mean and variance of scipy.stats.truncnorm,
    carried to the shape by its regression on the value read."""
    spread = np.hypot(sd, noise)
    found = censored(Belief(np.array([mean]), sd**2 * ONE), ONE, np.array([z * spread]), np.array([noise**2]))
    gain = sd**2 / spread**2
    lifted, variance = truncnorm.stats(z, np.inf, moments="mv")
    assert found.mean[0] == pytest.approx(mean + gain * spread * lifted, rel=2e-4, abs=2e-4 * sd)
    expected = sd**2 - gain * sd**2 + gain**2 * spread**2 * variance
    assert found.cov[0, 0] == pytest.approx(expected, rel=2e-3)


def test_censoring_moves_what_hangs_together() -> None:
    """A second unknown is carried along by its regression on the first (textbook: E[y|x] is linear)."""
    cov = np.array([[1.0, 0.6], [0.6, 2.0]])
    found = censored(Belief(np.zeros(2), cov), np.array([[1.0, 0.0]]), np.ones(1), np.array([1e-12]))
    lifted, variance = truncnorm.stats(1.0, np.inf, moments="mv")
    np.testing.assert_allclose(found.mean, [lifted, 0.6 * lifted], rtol=1e-6)
    np.testing.assert_allclose(found.cov[1, 1], 2.0 - 0.36 * (1.0 - variance), rtol=1e-6)
    np.testing.assert_allclose(found.cov[0, 1], 0.6 * variance, rtol=1e-6)


def test_many_censored_readings_are_one_after_another() -> None:
    """All at once or each given the one before: the same; one that is certain beforehand says nothing."""
    rng = np.random.default_rng(7)
    root, rows = rng.normal(size=(4, 4)), rng.normal(size=(3, 4))
    belief, reach, variance = (
        Belief(rng.normal(size=4), root @ root.T),
        np.array([0.5, -30.0, 1.0]),
        np.ones(3),
    )
    together = censored(belief, rows, reach - rows @ belief.mean, variance)
    singly = belief
    for row, least in zip(rows[[0, 2]], reach[[0, 2]], strict=True):
        singly = censored(singly, row[None], least - row[None] @ singly.mean, np.ones(1))
    np.testing.assert_allclose(together.mean, singly.mean, rtol=1e-12)
    np.testing.assert_allclose(together.cov, singly.cov, rtol=1e-10, atol=1e-13)
    assert np.max(np.abs(together.mean - belief.mean)) > 0.1


@pytest.mark.parametrize("size", [1, 31, 32, 33, 100])
def test_a_triangular_system_is_solved_as_scipy_solves_it(size: int) -> None:
    rng = np.random.default_rng(size)
    lower = np.tril(rng.normal(size=(size, size)) / size) + np.eye(size)
    right = rng.normal(size=(size, 3))
    kept = right.copy()
    np.testing.assert_allclose(forward(lower, right), solve_triangular(lower, right, lower=True), rtol=1e-10)
    np.testing.assert_array_equal(right, kept)


@pytest.mark.parametrize("shape", [(7, 3), (3, 3), (2, 3), (1, 3), (0, 3), (5, 0)])
@pytest.mark.parametrize("blank", [False, True])
def test_a_turn_makes_columns_triangular(shape: tuple[int, int], blank: bool) -> None:
    """SciPy's orthogonal factor: turned columns are upper triangular, and turning back undoes it."""
    columns = np.random.default_rng(1).normal(size=shape)
    columns[:, 1:2] *= not blank
    turn = Turn(columns)
    np.testing.assert_allclose(turn.onto(columns), turn.triangle, atol=1e-13)
    np.testing.assert_allclose(turn.back(turn.onto(np.eye(shape[0]))), np.eye(shape[0]), atol=1e-13)
    if all(shape):
        np.testing.assert_allclose(turn.back(np.eye(shape[0])), qr(columns)[0], atol=1e-12)


def test_a_round_seated_anyhow_is_a_reading_with_more_unknowns() -> None:
    """Written out as one plain reading of work and seating together: the same belief and covariance."""
    rng = np.random.default_rng(2)
    root = rng.normal(size=(5, 5))
    belief, seat_sd = Belief(rng.normal(size=5), root @ root.T), np.array([3.0, 0.5])
    rows, columns, variance = rng.normal(size=(6, 4)), rng.normal(size=(6, 2)), rng.uniform(0.1, 1.0, 6)
    reading = Reading(np.arange(6), rng.normal(size=6), rng.normal(size=6), rows, columns, variance)
    found = read_seated(belief, reading, seat_sd)
    whole = np.hstack([rows, np.zeros((6, 1)), columns])
    difference = reading.value - reading.offset - rows @ belief.mean[:4]
    expected = read(belief.widened(np.zeros(2), np.diag(seat_sd**2)), whole, difference, variance)
    np.testing.assert_allclose(found.belief.mean, expected.belief.mean, rtol=1e-9)
    np.testing.assert_allclose(found.belief.cov, expected.belief.cov, rtol=1e-8, atol=1e-11)
    np.testing.assert_allclose(found.covariance, expected.covariance, rtol=1e-10)
    np.testing.assert_array_equal(found.belief.cov, found.belief.cov.T)


def test_disagreement_is_the_reading_left_out() -> None:
    """Each score is what conditioning on all other readings says of the one left out, done anew for each."""
    rng = np.random.default_rng(4)
    root = rng.normal(size=(3, 3))
    belief = Belief(rng.normal(size=3), root @ root.T)
    rows, values, variance = rng.normal(size=(6, 3)), rng.normal(size=6), rng.uniform(0.1, 1.0, 6)
    score, residual, sd = disagreement(read(belief, rows, values - rows @ belief.mean, variance))
    for i in range(6):
        rest = np.arange(6) != i
        others = read(belief, rows[rest], values[rest] - rows[rest] @ belief.mean, variance[rest]).belief
        miss = values[i] - rows[i] @ others.mean
        spread = np.sqrt(rows[i] @ others.cov @ rows[i] + variance[i])
        np.testing.assert_allclose([residual[i], sd[i], score[i]], [miss, spread, miss / spread])
