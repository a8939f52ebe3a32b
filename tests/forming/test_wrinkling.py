"""Folds: Ritz' method against a handbook's table, the formulas against Ritz' method, and laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.forming import elastic_coefficient, elastic_strain_limit, stroke_strain_limit
from tests.forming.plate import ritz_coefficient

SIZES = st.floats(0.5, 100.0)
EXPONENTS = st.floats(0.0, 1.0)
DEPTHS = (0.1, 0.2, 0.3, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0)  # depth over length

# Timoshenko and Gere, Theory of Elastic Stability (1961), plate with hinged loaded edges, one edge hinged and
# one free, Poisson 0.25; from memory. Length over depth: k. (Not 0.506 at 5: above the formula's 0.496.)
HANDBOOK = {0.5: 4.40, 1: 1.440, 1.2: 1.135, 1.4: 0.952, 1.6: 0.835, 1.8: 0.755}
HANDBOOK |= {2: 0.698, 2.5: 0.610, 3: 0.564, 4: 0.516}


@pytest.mark.parametrize("length", HANDBOOK)
def test_the_eigenvalues_are_those_of_the_handbook(length):
    assert ritz_coefficient(1 / length, 0.25, clamped=False) == pytest.approx(HANDBOOK[length], rel=5e-3)


def test_a_plate_that_is_all_column_buckles_as_eulers():
    """Far deeper than long, without a Poisson effect: k nears 4 (b/w)^2 from above."""
    k = [ritz_coefficient(depth, 0.0) / (4 * depth**2) for depth in (1.0, 3.0)]
    assert 1.0 < k[1] < k[0]
    assert k[1] == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize(("poisson", "most"), [(0.3, 0.014), (0.5, 0.06)])
def test_the_elastic_coefficient_is_a_little_high(depth, poisson, most):
    off = elastic_coefficient(1.0, depth, poisson) / ritz_coefficient(depth, poisson) - 1.0
    assert 0.0 < off < most


def test_the_elastic_constant_is_the_handbooks():
    """0.425 or 0.43 of a long plate with a hinged and a free edge, nu = 0.3 (any handbook, from memory)."""
    assert elastic_coefficient(1e6, 1.0) == pytest.approx(0.425, abs=1e-3)
    assert elastic_coefficient(10, 10, 0.3) - elastic_coefficient(1e6, 10) == pytest.approx(4.0)


@pytest.mark.parametrize("n", [0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5])
@pytest.mark.parametrize("depth", DEPTHS)
def test_the_plastic_limit_is_near_the_eigenvalue_of_deformation_theory(depth, n):
    exact = ritz_coefficient(depth, 0.5, (1 + 3 * n) / 4) * np.pi**2 / 9 / depth**2
    off = stroke_strain_limit(1.0, 1.0, depth, n) / exact - 1.0
    assert (-0.105 if depth <= 2.0 else -0.13) < off < 0.03


def test_a_long_flange_twists_at_the_shear_modulus():
    """A thin strip held along one edge: stress G (t/b)^2, with G = Es/3; not 0.425 at nu = 0.5."""
    assert stroke_strain_limit(2.0, 1e6, 20.0, 0.2) == pytest.approx(0.01 / 3)
    mixed = 0.425 * np.pi**2 / (12 * 0.75) * 0.01
    assert mixed == pytest.approx(0.466e-2, rel=1e-3)
    assert mixed / stroke_strain_limit(2.0, 1e6, 20.0) == pytest.approx(1.4, abs=0.01)


@given(SIZES, SIZES, SIZES)
def test_without_a_bend_in_its_curve_the_metal_buckles_as_if_elastic(thickness, length, depth):
    """n = 1 is a straight line, a metal whose tangent is its secant."""
    plastic = stroke_strain_limit(thickness, length, depth, 1.0)
    assert plastic == pytest.approx(elastic_strain_limit(thickness, length, depth, 0.5))


@given(SIZES, SIZES, SIZES, EXPONENTS)
def test_the_limit_lies_between_a_free_column_and_a_plate_that_cannot_curve(thickness, length, depth, n):
    limit, twist = stroke_strain_limit(thickness, length, depth, n), (thickness / depth) ** 2 / 3
    column = n * np.pi**2 / 3 * (thickness / length) ** 2
    stiff = (1 + 3 * n) * np.pi**2 / 9 * (thickness / length) ** 2
    assert column + twist <= limit * (1 + 1e-12)
    assert limit <= (stiff + twist) * (1 + 1e-12)


@given(SIZES, SIZES, SIZES, EXPONENTS, st.floats(1.01, 3.0))
def test_thinner_longer_deeper_and_softer_in_its_tangent_folds_sooner(thickness, length, depth, n, more):
    limit = stroke_strain_limit(thickness, length, depth, n)
    assert stroke_strain_limit(thickness / more, length, depth, n) < limit
    assert stroke_strain_limit(thickness, length * more, depth, n) < limit
    assert stroke_strain_limit(thickness, length, depth * more, n) < limit
    assert stroke_strain_limit(thickness, length, depth, n / more) <= limit
    assert stroke_strain_limit(thickness * more, length * more, depth * more, n) == pytest.approx(limit)
    assert stroke_strain_limit(thickness, length, depth) <= limit


def test_arrays_broadcast():
    limits = stroke_strain_limit([[1.0], [2.0]], [10.0, 15.0, 20.0], 15.0, 0.2)
    assert limits.shape == (2, 3)
    assert limits[1] == pytest.approx(4 * limits[0])
    assert limits[0, 0] == stroke_strain_limit(1.0, 10.0, 15.0, 0.2)


@pytest.mark.parametrize(
    ("field", "sizes"),
    [
        ("thickness", (0, 10, 15)),
        ("thickness", (float("nan"), 10, 15)),
        ("length", (1, -10, 15)),
        ("depth", (1, 10, [15, 0])),
        ("depth", (1, 10, "fifteen")),
        ("n", (1, 10, 15, 1.1)),
        ("n", (1, 10, 15, -0.1)),
    ],
)
def test_what_has_no_meaning_is_refused(field, sizes):
    with pytest.raises(InputError) as error:
        stroke_strain_limit(*sizes)
    assert error.value.field == field


def test_poissons_ratio_of_a_solid_is_wanted():
    with pytest.raises(InputError, match="poisson"):
        elastic_strain_limit(1, 10, 15, 0.6)
