"""The dual simplex method against scipy.optimize.linprog."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog

from core.dual_simplex import least


def drawn(seed: int, batch: int, k: int = 9, m: int = 40) -> tuple[np.ndarray, ...]:
    """Programs that a point of the box satisfies; most variables cost nothing, some less than that."""
    rng = np.random.default_rng(seed)
    rows = rng.normal(size=(m, k))
    cost = np.where(rng.random(k) < 0.3, rng.normal(size=k), 0.0)
    cost[-1] = 1.0
    upper = np.where((cost < 0.0) | (rng.random(k) < 0.3), rng.uniform(0.5, 2.0, k), np.inf)
    inside = rng.uniform(0.0, np.minimum(upper, 1.0))
    return cost, rows, rows @ inside - rng.uniform(0.0, 0.3, (batch, m)), upper


def library(cost: np.ndarray, rows: np.ndarray, right: np.ndarray, upper: np.ndarray) -> float:
    limits = [(0.0, None if np.isinf(most) else most) for most in upper]
    found = linprog(cost, A_ub=-rows, b_ub=-right, bounds=limits, method="highs")
    assert found.status == 0
    return float(found.fun)


@pytest.mark.parametrize("seed", range(20))
def test_least_cost_is_that_of_linprog(seed: int) -> None:
    cost, rows, right, upper = drawn(seed, batch=6)
    found = least(cost, rows, right, upper)
    assert found.solved.all()
    for one, values in zip(right, found.values, strict=True):
        assert cost @ values == pytest.approx(library(cost, rows, one, upper), rel=1e-4, abs=1e-5)
        assert np.all(rows @ values >= one - 1e-6)
        assert np.all((values >= -1e-6) & (values <= upper + 1e-6))


@pytest.mark.parametrize("impossible", [None, 2])
def test_rows_of_their_own_for_every_right_hand_side(impossible: int | None) -> None:
    """A batch of different programs, one of which may ask for v >= 1 and v <= 0.5 at once."""
    cost, rows, right, upper = drawn(5, batch=6)
    own = rows + np.random.default_rng(1).normal(0.0, 1e-3, (6, *rows.shape))
    own = np.concatenate([own, np.tile([np.eye(9)[0], -np.eye(9)[0]], (6, 1, 1))], axis=1)
    loose = np.full((6, 2), -100.0)
    if impossible is not None:
        loose[impossible] = [1.0, -0.5]
    right = np.hstack([right, loose])
    found = least(cost, own, right, upper)
    assert list(found.solved) == [i != impossible for i in range(6)]
    for i in np.flatnonzero(found.solved):
        best = library(cost, own[i], right[i], upper)
        assert cost @ found.values[i] == pytest.approx(best, rel=1e-4, abs=1e-5)


@pytest.mark.parametrize("own", [False, True])
def test_from_the_corner_of_another_answer_the_same_is_found(own: bool) -> None:
    """That corner is where a far right-hand side ended; started there, its own answer takes no step."""
    cost, rows, right, upper = drawn(7, batch=6)
    rows = np.tile(rows, (6, 1, 1)) if own else rows
    there = least(cost, rows, right - 0.5, upper)
    plain, found = least(cost, rows, right, upper), least(cost, rows, right, upper, there.rows)
    assert np.any(there.rows != plain.rows)
    assert found.solved.all()
    np.testing.assert_allclose(found.values, plain.values, atol=1e-9)
    again = least(cost, rows, right, upper, plain.rows)
    np.testing.assert_array_equal(again.rows, plain.rows)


def test_of_equal_answers_the_last_variable_moves_least() -> None:
    """x + y + z >= 2, y at most 0.5, cost on z alone: x alone does it."""
    cost, upper = np.array([0.0, 0.0, 1.0]), np.array([np.inf, 0.5, np.inf])
    found = least(cost, np.ones((1, 3)), np.array([[2.0]]), upper)
    np.testing.assert_allclose(found.values, [[2.0, 0.0, 0.0]], atol=1e-9)
