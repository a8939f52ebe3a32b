"""The interior point against scipy.optimize.linprog, and its bend against a closed form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog, minimize

from core.linear_program import minimise


def drawn(seed: int, k: int = 12, m: int = 25, batch: int = 0) -> tuple[np.ndarray, ...]:
    """A program that has an optimum: a point that is strictly inside, and a cost that the dual can pay."""
    rng = np.random.default_rng(seed)
    rows = rng.normal(size=(m, k))
    bounded = rng.random(k) < 0.6
    inside = np.where(bounded, rng.uniform(0.1, 2.0, k), rng.normal(size=k))
    slack = rng.uniform(0.05, 1.0, (batch or 1, m))
    cost = rng.uniform(0.1, 1.0, m) @ rows + np.where(bounded, rng.uniform(0.0, 1.0, k), 0.0)
    right = rows @ inside - slack
    return cost, rows, right if batch else right[0], bounded


def library(cost: np.ndarray, rows: np.ndarray, right: np.ndarray, bounded: np.ndarray) -> float:
    limits = [(0.0, None) if b else (None, None) for b in bounded]
    found = linprog(cost, A_ub=-rows, b_ub=-right, bounds=limits, method="highs")
    assert found.status == 0
    return float(found.fun)


@pytest.mark.parametrize("seed", range(20))
def test_value_is_that_of_linprog(seed: int) -> None:
    cost, rows, right, bounded = drawn(seed)
    found = minimise(cost, rows, right, bounded)
    best = library(cost, rows, right, bounded)
    assert found.converged
    assert cost @ found.values == pytest.approx(best, rel=1e-4, abs=1e-4)
    assert np.all(rows @ found.values >= right - 1e-4 * (1.0 + np.abs(right).max()))
    assert np.all(found.values[bounded] >= -1e-6)


def test_many_right_hand_sides_at_once() -> None:
    cost, rows, right, bounded = drawn(3, batch=9)
    together = minimise(cost, rows, right, bounded)
    assert together.values.shape == (9, len(cost)) and together.converged.all()
    for one, values in zip(right, together.values, strict=True):
        assert cost @ values == pytest.approx(library(cost, rows, one, bounded), rel=1e-4, abs=1e-4)


def test_equal_answers_are_met_in_the_middle() -> None:
    """x + y >= 2 at equal cost: any split is best, the even one is found."""
    found = minimise(np.ones(2), np.ones((1, 2)), np.array([2.0]), np.ones(2, dtype=bool))
    np.testing.assert_allclose(found.values, [1.0, 1.0], rtol=1e-3)


@pytest.mark.parametrize("seed", range(5))
def test_bent_cost_against_scipy(seed: int) -> None:
    """With a quadratic cost, against scipy.optimize.minimize (SLSQP) on the same convex problem."""
    cost, rows, right, bounded = drawn(seed, k=5, m=8)
    bend = np.random.default_rng(seed).uniform(0.2, 2.0, 5)
    found = minimise(cost, rows, right, bounded, bend)
    limits = [(0.0, None) if b else (None, None) for b in bounded]
    theirs = minimize(
        lambda v: cost @ v + 0.5 * v @ (bend * v),
        np.ones(5),
        jac=lambda v: cost + bend * v,
        bounds=limits,
        constraints={"type": "ineq", "fun": lambda v: rows @ v - right, "jac": lambda v: rows},
        options={"ftol": 1e-12, "maxiter": 500},
    )
    assert theirs.success and found.converged
    np.testing.assert_allclose(found.values, theirs.x, atol=2e-3)


def test_an_impossible_program_is_not_called_solved() -> None:
    """x >= 1 and -x >= 1."""
    with np.errstate(all="ignore"):
        found = minimise(np.ones(1), np.array([[1.0], [-1.0]]), np.ones(2), np.zeros(1, dtype=bool))
    assert not found.converged


def test_a_program_that_nothing_satisfies_does_not_spoil_its_neighbours() -> None:
    """One of a batch asks for v >= 1 and v <= 0 at once; the others are answered as they are alone."""
    cost, rows, right, bounded = drawn(3, batch=6)
    rows = np.vstack([rows, np.eye(12)[0], -np.eye(12)[0]])
    loose = np.full((6, 2), -100.0)
    loose[4] = [1.0, 0.0]
    found = minimise(cost, rows, np.hstack([right, loose]), bounded)
    assert list(found.converged) == [True, True, True, True, False, True]
    assert np.all(np.isfinite(found.values))
    for i in (0, 1, 2, 3, 5):
        best = library(cost, rows, np.hstack([right, loose])[i], bounded)
        assert cost @ found.values[i] == pytest.approx(best, rel=1e-4, abs=1e-4)
