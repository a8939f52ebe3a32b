"""Smoothing spline against SciPy, and traced lines against the lines they were traced from."""

import math

import numpy as np
import pytest
import scipy.interpolate

from core.errors import InputError
from core.geometry.segments import from_arc, from_segments
from core.geometry.smoothing import SmoothingProblem
from core.geometry.traced import from_traced


@pytest.fixture
def noisy_wave():
    rng = np.random.default_rng(4)
    u = np.cumsum(rng.uniform(5, 20, 40))
    return u, 50 * np.sin(u / 100) + rng.normal(size=40)


@pytest.mark.parametrize("lam", [1e-3, 1.0, 1e2, 1e4, 1e6])
def test_smoothing_spline_agrees_with_scipy(noisy_wave, lam):
    u, y = noisy_wave
    reference = scipy.interpolate.make_smoothing_spline(u, y, lam=lam)
    ours = SmoothingProblem(u, u, order=2).smooth(y, lam)
    between = np.linspace(u[0], u[-1], 500)[:-1]
    np.testing.assert_allclose(ours.spline(between), reference(between), atol=1e-8)
    np.testing.assert_allclose(ours.fitted, reference(u), atol=1e-8)


def test_hat_matrix_is_that_of_the_fit(noisy_wave):
    """Freedom and leverage: what a unit change of one value does to the fit at that value."""
    u, y = noisy_wave
    problem = SmoothingProblem(u, u[::2], order=3)
    hat = problem.smooth(np.eye(len(u)), 1e5).fitted
    smoothed = problem.smooth(y, 1e5)
    np.testing.assert_allclose(smoothed.fitted, hat @ y, atol=1e-10)
    np.testing.assert_allclose(problem.leverage_at(u, 1e5), np.diag(hat), atol=1e-10)
    assert smoothed.freedom == pytest.approx(np.trace(hat))


@pytest.mark.parametrize("order", [2, 3])
def test_limits_of_smoothing(noisy_wave, order):
    """No penalty goes through every point; a huge one leaves the least-squares straight (or parabola)."""
    u, y = noisy_wave
    problem = SmoothingProblem(u, u, order)
    np.testing.assert_allclose(problem.smooth(y, 0.0).fitted, y, atol=1e-9)
    stiff = problem.smooth(y, 1e18)
    np.testing.assert_allclose(stiff.fitted, np.polyval(np.polyfit(u, y, order - 1), u), atol=1e-4)
    assert stiff.freedom == pytest.approx(order, abs=1e-4)


def test_weight_has_the_least_expected_error():
    """Over many noisy copies of one curve the chosen weight does nearly as well as the best fixed one."""
    rng = np.random.default_rng(1)
    u = np.linspace(0, 1000, 80)
    truth = 40 * np.sin(u / 180)
    problem = SmoothingProblem(u, u, order=3)
    copies = truth + 0.5 * rng.normal(size=(30, 80))
    error = lambda y, lam: np.mean((problem.smooth(y, lam).fitted - truth) ** 2)  # noqa: E731
    best = min(np.mean([error(y, lam) for y in copies]) for lam in 10.0 ** np.arange(4, 16, 0.5))
    chosen = np.mean([error(y, problem.weight_for(y, 0.5)) for y in copies])
    assert chosen < 1.25 * best
    assert best < 0.3 * 0.5**2


LINES = {
    "arc": from_arc(1500, length_mm=1200),
    "S": from_segments([(400, 1500), (200, None), (400, -900)]),
    "deep": from_arc(300, angle_rad=4.0),
}


def traced(line, spacing, sd, rng):
    """Points at uneven steps on a line, with noise across and along it."""
    inner = int(line.length_mm / spacing) - 1
    s = np.concatenate([[0.0], np.sort(rng.uniform(0, line.length_mm, inner)), [line.length_mm]])
    psi = line.heading_rad(s)
    across = np.stack([-np.sin(psi), np.cos(psi)], axis=1)
    along = np.stack([np.cos(psi), np.sin(psi)], axis=1)
    noise = sd * rng.normal(size=(2, len(s), 1))
    return line.point_mm(s) + across * noise[0] + along * noise[1]


def off_the_line(found, line):
    """Distance of points of a found line from the true one, the outer 2 per cent left out."""
    s = np.linspace(0.02, 0.98, 80) * found.length_mm
    dense = np.linspace(0, line.length_mm, 4001)
    true, psi = line.point_mm(dense), line.heading_rad(dense)
    near = np.array([np.argmin(np.sum((true - p) ** 2, axis=1)) for p in found.point_mm(s)])
    away = found.point_mm(s) - true[near]
    return away[:, 1] * np.cos(psi[near]) - away[:, 0] * np.sin(psi[near])


@pytest.mark.parametrize("name", LINES)
@pytest.mark.parametrize(("spacing", "sd"), [(5, 1.0), (10, 0.3), (10, 1.0), (25, 0.3)])
def test_stated_error_is_the_true_one(name, spacing, sd):
    """Eight tracings each: root mean square error within 30 per cent of what the line states."""
    rng = np.random.default_rng(11)
    found = [from_traced(traced(LINES[name], spacing, sd, rng), sd) for _ in range(8)]
    true = np.sqrt(np.mean([np.mean(off_the_line(line, LINES[name]) ** 2) for line in found]))
    stated = np.sqrt(np.mean([line.smoothing_sd_mm**2 for line in found]))
    assert true / stated == pytest.approx(1.0, abs=0.3)
    # The closer the points, the more their noise averages out.
    assert stated < 0.7 * sd * (spacing / 25) ** 0.5


def test_an_arc_is_not_pulled_straight_at_its_ends():
    rng = np.random.default_rng(3)
    line = from_traced(traced(LINES["arc"], 10, 0.3, rng), 0.3)
    s = np.linspace(0, line.length_mm, 25)
    np.testing.assert_allclose(line.curvature_per_mm(s), 1 / 1500, rtol=0.12)
    assert line.length_mm == pytest.approx(1200, abs=1.0)
    assert line.warnings == ()


def test_without_noise_the_line_comes_back():
    line = from_traced(traced(LINES["S"], 10, 0.0, np.random.default_rng(0)), 0.01)
    assert np.abs(off_the_line(line, LINES["S"])).max() < 0.02
    assert line.length_mm == pytest.approx(1000, abs=0.01)


def test_more_scatter_than_stated_is_told():
    rng = np.random.default_rng(5)
    points = traced(LINES["arc"], 10, 1.0, rng)
    # Stated scatter of 0.5 with an outlier besides.
    points[40] += 12
    told = " ".join(from_traced(points, 0.5).warnings)
    assert "more than the 0.5 mm stated" in told
    assert "Traced point 41" in told


@pytest.mark.parametrize(
    ("points", "sd", "field"),
    [
        ([[i, 0] for i in range(7)], 0.3, "line.traced_mm"),
        ([[i, 0] for i in range(20)], 0.0, "line.tracing_sd"),
        ([[i, 0] for i in range(20)], math.nan, "line.tracing_sd"),
        ([[i, math.inf] for i in range(20)], 0.3, "line.traced_mm[0]"),
    ],
)
def test_what_cannot_be_used_is_named(points, sd, field):
    with pytest.raises(InputError) as caught:
        from_traced(points, sd)
    assert caught.value.field == field
