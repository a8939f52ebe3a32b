"""How strokes on its edge turn a flange, against energies minimised numerically over the strip."""

from __future__ import annotations

import numpy as np
import pytest

from core.geometry.flange_turning import (
    edge_per_strain,
    folding_radius_mm,
    shares_moved,
    spread_mm,
    spread_shares,
    turning_from_rad,
)

H, T, R, NU = 20.0, 1.5, 300.0, 0.33
RIGHT = np.pi / 2


@pytest.mark.parametrize("depth", [2.0, 5.0, 10.0, 20.0])
def test_a_patch_turns_the_strip_as_least_squares_say(depth: float) -> None:
    """Lines of the strip that fit the shortened patch best when the strip may only turn: numpy's least
    squares."""
    r = (np.arange(20000) + 0.5) * H / 20000
    patch = (r > H - depth).astype(float)
    turn = np.linalg.lstsq((r / R)[:, None], patch, rcond=None)[0][0]
    assert edge_per_strain(depth, H) == pytest.approx(turn * H / R, rel=2e-4)


@pytest.mark.parametrize("curvature", [1 / 300, -1 / 100, 0.0])
@pytest.mark.parametrize("bending", [False, True])
def test_how_far_a_turn_is_felt(curvature: float, bending: bool) -> None:
    """The strip by finite differences: hoop, bend and twist, and bending along the outline as well, which the
    closed form leaves out. One cell is turned; the second moment of the answer is 2 a^2 either way."""
    arc, cell, n = 5.77, 0.5, 1200
    spread = float(spread_mm(curvature, H, T, RIGHT, arc, NU))
    stiff = T**3 / (12 * (1 - NU**2))
    held = T * H**3 / 3 * curvature**2 + stiff / arc
    twist = T**3 * H / (6 * (1 + NU))
    first = np.diff(np.eye(n), axis=0) / cell
    second = np.diff(np.eye(n), 2, axis=0) / cell**2
    matrix = held * np.eye(n) + twist * first.T @ first
    if bending:
        matrix += stiff * H**3 / 3 * second.T @ second
    wanted = np.zeros(n)
    wanted[n // 2] = held
    felt = np.linalg.solve(matrix, wanted)
    away = (np.arange(n) - n // 2) * cell
    assert felt.sum() == pytest.approx(1.0)
    assert felt @ away**2 == pytest.approx(2 * spread**2, rel=2e-3)
    if not bending:
        shape = cell * np.exp(-np.abs(away) / spread) / (2 * spread)
        assert felt == pytest.approx(shape, abs=0.02 * felt.max())


@pytest.mark.parametrize(("depth", "share"), [(0.01, 1 / 15), (1.0, -1 / 60)])
def test_shear_along_the_outline_hardly_evens_out_the_turn(depth: float, share: float) -> None:
    """The strip in shear and hoop strain at one wave length, by finite differences across it: the turn
    against that of an even shortening, to the second power of the wave number."""
    n, ratio, wave = 4000, 2.6, 0.2  # E/G, wave number times height
    r = (np.arange(n) + 0.5) / n
    patch = (r > 1 - depth).astype(float)
    load = wave**2 * ratio
    # v' ' - load v = -load e, v(0) = 0, v'(1) = 0; e - v is the strain that is left.
    matrix = np.zeros((3, n))
    matrix[1] = 2 * n**2 + load
    matrix[1, 0], matrix[1, -1] = 3 * n**2 + load, n**2 + load
    matrix[0, 1:] = matrix[2, :-1] = -(n**2)

    def left(strain: np.ndarray) -> np.ndarray:
        return strain - banded(matrix, load * strain)

    turn = -(r @ left(patch)) / (r @ left(r))
    even = -(r @ patch) / (r @ r)
    assert turn / even - 1 == pytest.approx(share * load, abs=0.25 * abs(share) * load)


def banded(matrix: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Tridiagonal system by elimination; matrix : (3, n) upper, main and lower diagonal."""
    upper, main, lower = matrix.copy()
    found = right.astype(float).copy()
    for i in range(1, len(found)):
        factor = lower[i - 1] / main[i - 1]
        main[i] -= factor * upper[i]
        found[i] -= factor * found[i - 1]
    found[-1] /= main[-1]
    for i in reversed(range(len(found) - 1)):
        found[i] = (found[i] - upper[i + 1] * found[i + 1]) / main[i]
    return found


def test_where_the_edge_yields_before_the_bend() -> None:
    """Plastic moment of the bend, Y t^2/4, against hoop stress Y over the flange, by summing over its
    height."""
    radius = float(folding_radius_mm(H, T, np.radians(50)))
    r = (np.arange(10000) + 0.5) * H / 10000
    moment = float(np.sum(T * r * np.sin(np.radians(50)) / radius)) * H / 10000
    assert moment == pytest.approx(T**2 / 4, rel=1e-6)
    assert turning_from_rad(H, T, radius) == pytest.approx(np.radians(50))
    assert turning_from_rad(H, T, 1e5) == pytest.approx(RIGHT)


@pytest.mark.parametrize("closed", [True, False])
@pytest.mark.parametrize("spread", [[12.0] * 5, [12.0, 40.0, 6.0, 25.0, 12.0]])
def test_shares_add_up_and_follow_the_strip(closed: bool, spread: list[float]) -> None:
    """Against the strip by finite differences, with free ends or as a ring, sectors alike or each held by a
    stiffness of its own."""
    cell, n = 0.5, 400
    ends = np.column_stack([np.arange(5) * 40.0, np.arange(1, 6) * 40.0])
    at = (np.arange(n) + 0.5) * cell
    first = (np.roll(np.eye(n), -1, axis=0) - np.eye(n)) / cell
    if not closed:
        first = first[:-1]
    held = np.repeat(spread, n // 5) ** -2.0
    answers = np.linalg.solve(np.diag(held) + first.T @ first, np.diag(held))
    expected = answers.reshape(n, 5, n // 5).sum(axis=2)
    found = spread_shares(at, ends, np.array(spread), closed)
    assert found == pytest.approx(expected, abs=4e-3)
    assert found.sum(axis=1) == pytest.approx(np.ones(n))


@pytest.mark.parametrize("closed", [True, False])
def test_what_the_spread_changes_of_the_turn(closed: bool) -> None:
    """Against differences."""
    ends = np.column_stack([np.arange(5) * 40.0, np.arange(1, 6) * 40.0])
    at, turns = np.linspace(0.0, 200.0, 41)[:-1], np.array([0.3, 0.1, 0.5, -0.1, 0.2])
    spread, step = np.array([12.0, 40.0, 6.0, 25.0, 12.0]), 1e-4
    found = shares_moved(at, ends, spread, closed, turns)
    for j, one in enumerate(np.eye(5)):
        more, less = (spread_shares(at, ends, spread + by * one, closed) @ turns for by in (step, -step))
        assert found[:, j] == pytest.approx((more - less) / (2 * step), abs=1e-9)
