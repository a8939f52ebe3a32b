"""Strain of a flange's edge against published relations and lengths measured on a turned surface."""

from __future__ import annotations

import numpy as np
import pytest

from core.errors import InputError
from core.forming.cracking import edge_strain_limit, hole_expansion_ratio
from core.geometry.flange_strain import (
    angle_of_shortening,
    edge_shortening,
    even_steps_rad,
    highest_flange_mm,
    shortening_slope,
    slope_within,
)

RIGHT = np.pi / 2


@pytest.mark.parametrize(
    ("radius", "height", "strain"),
    [(100, 10, 0.09531), (100, 20, 0.18232), (50, 10, 0.18232), (300, 20, 0.06454)],
)
def test_a_shrink_flange_of_90_degrees(radius: float, height: float, strain: float) -> None:
    """e = ln(R/(R + h)), textbooks on press flanging (radial lines kept; from memory): 9.091 % shorter at R
    100, h 10."""
    assert edge_shortening(1 / radius, height, RIGHT) == pytest.approx(strain, abs=6e-6)
    shorter = 1 - np.exp(-edge_shortening(1 / radius, height, RIGHT))
    assert shorter == pytest.approx(height / (radius + height))


@pytest.mark.parametrize(
    ("radius", "height", "strain"), [(100, 10, -0.10536), (100, 20, -0.22314), (300, 20, -0.06899)]
)
def test_a_stretch_flange_of_90_degrees(radius: float, height: float, strain: float) -> None:
    """e = ln(R/(R - h)), the same textbooks: 11.11 % longer at R 100, h 10."""
    assert edge_shortening(-1 / radius, height, RIGHT) == pytest.approx(strain, abs=6e-6)


def test_round_a_hole_it_is_the_hole_expansion_ratio() -> None:
    """ISO 16630 (formula from memory): (Dh - D0)/D0; a 10 mm hole widened to 17.5 mm has 75 %, ln 1.75."""
    blank, outline = 10.0, 17.5
    height = 0.5 * (outline - blank)
    found = edge_shortening(-2 / outline, height, RIGHT)
    assert found == pytest.approx(-0.5596, abs=5e-5)
    assert found == pytest.approx(float(edge_strain_limit(hole_expansion_ratio(blank, outline))))


@pytest.mark.parametrize("curvature", [1 / 300, 1 / 40, -1 / 300, -1 / 60])
@pytest.mark.parametrize("angle", np.radians([15, 40, 75, 90]))
def test_the_edge_is_as_long_as_it_measures_on_the_turned_surface(curvature: float, angle: float) -> None:
    """A cone frustum put up point by point; the edge is measured as a polygon, flat and turned."""
    height, radius = 20.0, abs(1 / curvature)
    around = np.linspace(0.0, 1.0, 20001)

    def edge_mm(turned: float) -> float:
        r = radius + np.sign(curvature) * height * np.cos(turned)
        z = np.full_like(around, height * np.sin(turned))
        points = np.column_stack([r * np.cos(around), r * np.sin(around), z])
        return float(np.sum(np.linalg.norm(np.diff(points, axis=0), axis=1)))

    expected = np.log(edge_mm(0.0) / edge_mm(angle))
    assert edge_shortening(curvature, height, angle) == pytest.approx(expected, rel=1e-8)


def test_a_straight_edge_is_not_strained() -> None:
    assert edge_shortening(0.0, 20.0, np.radians([0, 30, 90])) == pytest.approx(np.zeros(3), abs=0)


@pytest.mark.parametrize("curvature", [1 / 300, -1 / 100, 1 / 25])
def test_slope_and_inverse(curvature: float) -> None:
    angles = np.radians([1, 5, 20, 60, 90, 120, 150])
    step = 1e-6
    central = edge_shortening(curvature, 20.0, angles + step) - edge_shortening(
        curvature, 20.0, angles - step
    )
    assert shortening_slope(curvature, 20.0, angles) == pytest.approx(central / (2 * step), rel=1e-6)
    back = angle_of_shortening(curvature, 20.0, edge_shortening(curvature, 20.0, angles))
    assert back == pytest.approx(angles, abs=1e-7)


@pytest.mark.parametrize("curvature", [1 / 300, -1 / 100])
def test_any_strain_has_an_angle(curvature: float) -> None:
    """Flatter than flat and beyond 150 degrees the tangent goes on: rising, and with the slope that is
    said."""
    strain = np.sign(curvature) * np.linspace(-0.02, 1.0, 401)
    angle = angle_of_shortening(curvature, 20.0, strain)
    assert np.all(np.diff(angle) > 0.0)
    slope = 1.0 / slope_within(curvature, 20.0, angle[[0, -1]])
    found = np.diff(angle)[[0, -1]] / np.diff(strain)[[0, -1]]
    assert found == pytest.approx(slope, rel=1e-6)


@pytest.mark.parametrize("curvature", [1 / 100, -1 / 100, 1 / 3000])
@pytest.mark.parametrize("angle", np.radians([60, 90]))
def test_the_highest_flange_uses_the_strain_up(curvature: float, angle: float) -> None:
    height = highest_flange_mm(curvature, angle, 0.15)
    assert abs(edge_shortening(curvature, height, angle)) == pytest.approx(0.15)


def test_the_highest_flange_of_90_degrees_by_hand() -> None:
    """R (exp(e) - 1) and R (1 - exp(-e)): 16.2 mm and 13.9 mm at R 100 mm for 15 %."""
    assert highest_flange_mm([0.01, -0.01], RIGHT, 0.15) == pytest.approx([16.183, 13.929], abs=1e-3)


def test_where_no_height_comes_to_the_strain() -> None:
    """A straight; and a convex edge tipped by 20 degrees, whose rim at most gets 1/cos(20 degrees)
    shorter."""
    assert np.isinf(highest_flange_mm(0.0, RIGHT, 0.1))
    assert np.isinf(highest_flange_mm(0.01, np.radians(20), 0.1))
    assert np.isfinite(highest_flange_mm(0.01, np.radians(20), 0.06))


@pytest.mark.parametrize("curvature", [1 / 300, -1 / 100])
def test_even_steps_strain_the_edge_alike(curvature: float) -> None:
    start = np.radians(10)
    steps = even_steps_rad(curvature, 20.0, start, RIGHT, 0.02)
    strains = np.diff(edge_shortening(curvature, 20.0, np.array([start, *steps])))
    assert abs(strains) == pytest.approx(np.full(len(steps), abs(strains[0])))
    assert abs(strains[0]) <= 0.02 < abs(strains.sum()) / (len(steps) - 1)
    assert steps[-1] == RIGHT
    assert steps[0] - start > 2.0 * (steps[-1] - steps[-2])  # flat plate turns easily


def test_even_steps_refuse_what_has_no_meaning() -> None:
    assert even_steps_rad(0.0, 20.0, 0.2, 1.0, 0.01) == pytest.approx([1.0])
    with pytest.raises(InputError):
        even_steps_rad(0.01, 20.0, 0.2, 1.0, 0.0)
    with pytest.raises(InputError):
        even_steps_rad(0.01, 20.0, 1.0, 0.2, 0.01)


def test_a_hole_has_to_be_wider_than_its_flange_is_high() -> None:
    with pytest.raises(InputError):
        edge_shortening(-1 / 20.0, 20.0, RIGHT)
