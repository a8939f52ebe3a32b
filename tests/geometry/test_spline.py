"""The project's own cubic spline against the one of SciPy, and against cubics."""

import numpy as np
import pytest
import scipy.interpolate

from core.geometry.spline import CubicSpline

DERIVATIVES = range(4)


@pytest.mark.parametrize("ends", ["not-a-knot", "natural"])
@pytest.mark.parametrize("n", [2, 3, 4, 5, 30])
def test_agrees_with_scipy(n, ends):
    rng = np.random.default_rng(n)
    knots = np.cumsum(rng.uniform(5, 60, n))
    values = np.cumsum(rng.normal(size=(n, 2)) * 20, axis=0)
    at = np.linspace(knots[0], knots[-1], 400)[:-1]
    reference = scipy.interpolate.CubicSpline(knots, values, bc_type=ends)
    ours = CubicSpline(knots, values, ends)
    for derivative in DERIVATIVES:
        np.testing.assert_allclose(ours(at, derivative), reference(at, derivative), atol=1e-9, rtol=1e-9)


def test_a_cubic_is_reproduced():
    """Not-a-knot ends reproduce any cubic: u^3 - 2u^2 + 5 and its derivatives."""
    knots = np.array([0.0, 1.0, 2.5, 3.0, 5.0])
    ours = CubicSpline(knots, knots**3 - 2 * knots**2 + 5)
    u = np.linspace(-0.5, 5.5, 50)
    np.testing.assert_allclose(ours(u), u**3 - 2 * u**2 + 5, atol=1e-11)
    np.testing.assert_allclose(ours(u, 1), 3 * u**2 - 4 * u, atol=1e-11)
    np.testing.assert_allclose(ours(u, 2), 6 * u - 4, atol=1e-11)
    np.testing.assert_allclose(ours(u, 3), 6, atol=1e-11)


def test_values_of_any_trailing_shape():
    knots = np.linspace(0, 1, 6)
    assert CubicSpline(knots, np.zeros((6, 3, 2)))(np.zeros(7)).shape == (7, 3, 2)
    assert CubicSpline(knots, np.zeros(6))(np.zeros(7)).shape == (7,)


def test_complex_values_are_a_curve_of_the_plane_and_columns_are_curves_of_their_own():
    rng = np.random.default_rng(2)
    knots, at = np.cumsum(rng.uniform(5, 60, 9)), np.linspace(0.0, 300.0, 50)
    values = rng.normal(size=(9, 4))
    real, plane = CubicSpline(knots, values), CubicSpline(knots, values[:, ::2] + 1j * values[:, 1::2])
    for derivative in DERIVATIVES:
        whole = real(at, derivative)
        np.testing.assert_allclose(plane(at, derivative), whole[:, ::2] + 1j * whole[:, 1::2], atol=1e-9)
        np.testing.assert_allclose(plane[1](at, derivative), whole[:, 2] + 1j * whole[:, 3], atol=1e-9)
    for found, derivative in zip(real[1:].with_slope(at), (0, 1), strict=True):
        np.testing.assert_allclose(found, real(at, derivative)[:, 1:], atol=1e-9)


def test_error_falls_with_the_fourth_power_of_the_spacing():
    at = np.linspace(0.8, 2.3, 1001)  # away from the ends, where the start of the curve is still felt

    def worst(n):
        knots = np.linspace(0, np.pi, n)
        return np.abs(CubicSpline(knots, np.sin(knots))(at) - np.sin(at)).max()

    assert np.log2(worst(21) / worst(41)) == pytest.approx(4.0, abs=0.3)
