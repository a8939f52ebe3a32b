"""Tables of offsets: circle, published aerofoil ordinates, Wigley hull frames, mistyped points."""

import math

import numpy as np
import pytest
import scipy.integrate
import scipy.interpolate

from core.errors import InputError
from core.geometry.curve import SplineLine
from core.geometry.offsets import from_offsets
from core.geometry.points import chord_lengths
from core.geometry.spline import CubicSpline


def circle_points(radius, angle, n):
    t = np.linspace(0, angle, n)
    return radius * np.column_stack([np.sin(t), 1 - np.cos(t)])


def test_circle_comes_back_as_a_circle():
    line = from_offsets(circle_points(1500, 0.8, 41))
    s = np.linspace(0, 1200, 97)
    assert line.length_mm == pytest.approx(1200, abs=1e-6)
    np.testing.assert_allclose(line.curvature_per_mm(s), 1 / 1500, rtol=4e-4)
    np.testing.assert_allclose(line.heading_rad(s), s / 1500, atol=2e-6)
    np.testing.assert_allclose(np.hypot(*(line.point_mm(s) - [0, 1500]).T), 1500, atol=1e-5)
    assert line.warnings == ()
    assert line.smoothing_sd_mm == 0.0


def test_turning_right_is_negative():
    line = from_offsets(circle_points(1500, 0.8, 21) * [1, -1])
    np.testing.assert_allclose(line.curvature_per_mm([300, 600]), -1 / 1500, rtol=1e-3)


def test_heading_goes_on_past_half_a_turn():
    line = from_offsets(circle_points(100, 5.5, 61))
    np.testing.assert_allclose(
        line.heading_rad(np.array([0, 200, 350, 500, 550])), [0, 2, 3.5, 5, 5.5], atol=2e-4
    )


def test_arc_length_and_points_against_scipy():
    """Uneven offsets of a wave: SciPy's spline, its length by adaptive quadrature."""
    x = np.cumsum([0, 60, 90, 40, 150, 110, 70, 100, 180, 60])
    points = np.column_stack([x, 60 * np.sin(x / 140)])
    reference = scipy.interpolate.CubicSpline(chord_lengths(points), points)

    def length_to(u):
        pieces = [k for k in reference.x if 0 < k < u]
        speed = lambda v: np.hypot(*reference(v, 1))  # noqa: E731
        return scipy.integrate.quad(speed, 0, u, points=pieces, epsabs=1e-10, limit=200)[0]

    line = from_offsets(points)
    for u in (33.0, 251.0, 640.0, reference.x[-1]):
        s = length_to(u)
        np.testing.assert_allclose(line.point_mm(s), reference(u), atol=1e-6)
        assert line.heading_rad(s) == pytest.approx(np.arctan2(*reference(u, 1)[::-1]), abs=1e-8)
    assert line.length_mm == pytest.approx(length_to(reference.x[-1]), abs=1e-6)


def test_any_parameter_gives_the_same_line():
    """A circle over a parameter that runs fast and slow: arc length and curvature do not care."""
    u = np.linspace(0, 1, 161)
    t = 0.8 * (u + 0.6 * u**2) / 1.6
    points = 1500 * np.column_stack([np.sin(t), 1 - np.cos(t)])
    line = SplineLine(CubicSpline(u, points))
    s = np.linspace(0, 1200, 97)
    assert line.length_mm == pytest.approx(1200, abs=1e-6)
    np.testing.assert_allclose(line.curvature_per_mm(s), 1 / 1500, rtol=2e-4)
    np.testing.assert_allclose(line.heading_rad(s), s / 1500, atol=1e-6)
    np.testing.assert_allclose(line.point_mm(s)[:, 0], 1500 * np.sin(s / 1500), atol=1e-5)
    np.testing.assert_allclose(line.arc_length_mm(u), 1500 * t, atol=1e-5)


def test_goes_on_as_the_end_circle():
    line = from_offsets(circle_points(1500, 0.8, 41))
    away = np.hypot(*(line.point_mm(np.array([-50.0, line.length_mm + 50])) - [0, 1500]).T)
    np.testing.assert_allclose(away, 1500, atol=5e-3)
    step = line.heading_rad(line.length_mm + 50) - line.heading_rad(line.length_mm)
    assert step == pytest.approx(50 / 1500, rel=1e-3)


# --- published mathematical forms ---------------------------------------------------------------


def naca_half_thickness(x, t):
    """NACA four-digit ordinates (NACA Report 460, 1933), x and y in chords."""
    return 5 * t * (0.2969 * np.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1015 * x**4)


def naca_outline(stations, t, chord):
    upper = np.column_stack([stations, naca_half_thickness(stations, t)])
    return chord * np.concatenate([upper[::-1], upper[1:] * [1, -1]])


# Printed ordinates of the NACA 0012 (Abbott & von Doenhoff, from memory), per cent of the chord.
NACA_0012 = np.array(
    [
        (0, 0), (1.25, 1.894), (2.5, 2.615), (5, 3.555), (7.5, 4.200), (10, 4.683), (15, 5.345), (20, 5.737),
        (25, 5.941), (30, 6.002), (40, 5.803), (50, 5.294), (60, 4.563), (70, 3.664), (80, 2.623),
        (90, 1.448), (95, 0.807), (100, 0.126),
    ]
)  # fmt: skip


def test_ordinates_formula_meets_the_printed_table():
    x, y = NACA_0012.T
    np.testing.assert_allclose(100 * naca_half_thickness(x / 100, 0.12), y, atol=6e-4)


@pytest.mark.parametrize("thickness", [0.09, 0.12, 0.15, 0.18, 0.24])
def test_nose_radius_of_naca_ordinates(thickness):
    """Leading-edge radius 1.1019 t^2 c (NACA Report 460); the spline closes in on it with more stations."""
    chord = 1200.0
    published = 1 / (1.1019 * thickness**2 * chord)

    def off(n):
        stations = 1 - np.cos(np.linspace(0, np.pi / 2, n))
        line = from_offsets(naca_outline(stations, thickness, chord))
        return abs(abs(line.curvature_per_mm(line.length_mm / 2)) / published - 1)

    assert off(81) < 0.02
    assert off(161) < 0.005
    assert off(161) < off(81) / 2.5


def test_printed_stations_are_too_coarse_for_the_nose_but_not_behind_it():
    """The first printed station lies about a nose radius back: the spline is a third too sharp there."""
    points = np.concatenate([NACA_0012[::-1], NACA_0012[1:] * [1, -1]]) * 12.0
    line = from_offsets(points)
    published = 1 / (1.1019 * 0.12**2 * 1200)
    assert abs(line.curvature_per_mm(line.length_mm / 2)) == pytest.approx(1.30 * published, rel=0.02)
    s = np.linspace(0, line.length_mm / 2, 4000)
    x, y = line.point_mm(s).T
    behind = x > 0.0125 * 1200
    np.testing.assert_allclose(y[behind], 1200 * naca_half_thickness(x[behind] / 1200, 0.12), atol=0.25)
    assert line.warnings == ()


@pytest.mark.parametrize("depth", [0.0, -0.5])
def test_wigley_hull_waterline_curvature(depth):
    """Wigley hull y = B/2 (1 - (2x/L)^2)(1 - (z/T)^2): a waterline is a parabola in x."""
    length, beam = 2000.0, 400.0
    x = np.linspace(-length / 2, length / 2, 41)
    half = beam / 2 * (1 - depth**2)
    line = from_offsets(np.column_stack([x, half * (1 - (2 * x / length) ** 2)]))
    s = np.linspace(0, line.length_mm, 201)
    px = line.point_mm(s)[:, 0]
    slope, bend = -8 * half * px / length**2, -8 * half / length**2
    np.testing.assert_allclose(line.curvature_per_mm(s), bend / (1 + slope**2) ** 1.5, rtol=2e-3)
    np.testing.assert_allclose(line.heading_rad(s), np.arctan(slope), atol=1e-5)


@pytest.mark.parametrize("station", [0.0, 0.25])
def test_wigley_hull_frame_curvature(station):
    """A frame of the same hull is a parabola in z, drawn here as (z, y) from keel to water."""
    draught, beam = 250.0, 400.0
    half = beam / 2 * (1 - (2 * station) ** 2)
    z = np.linspace(-draught, 0, 61)
    line = from_offsets(np.column_stack([z, half * (1 - (z / draught) ** 2)]))
    s = np.linspace(0, line.length_mm, 201)
    pz = line.point_mm(s)[:, 0]
    slope, bend = -2 * half * pz / draught**2, -2 * half / draught**2
    np.testing.assert_allclose(line.curvature_per_mm(s), bend / (1 + slope**2) ** 1.5, rtol=5e-3)


# --- fairness -------------------------------------------------------------------------------------

SHAPES = {
    "arc": lambda x: 1500 - np.sqrt(1500**2 - (x - 600) ** 2),
    "parabola": lambda x: 75 * (1 - (2 * (x - 600) / 1200) ** 2),
    "wave": lambda x: 60 * np.sin(x / 1200 * 2 * np.pi),
}


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("wrong", range(25))
def test_a_mistyped_point_is_named(shape, wrong):
    x = np.linspace(0, 1200, 25)
    y = np.round(SHAPES[shape](x), 1)
    assert from_offsets(np.column_stack([x, y])).warnings == ()
    y[wrong] += 5
    (sentence,) = from_offsets(np.column_stack([x, y])).warnings
    number, rest = sentence.removeprefix("Point ").split(" ", 1)
    assert int(number) == wrong + 1
    assert rest.startswith(f"({x[wrong]:g} mm, {y[wrong]:g} mm) lies ")
    size = float(rest.split(" lies ")[1].split(" mm")[0])
    assert size == pytest.approx(5, rel=0.15)


def test_a_change_of_radius_is_not_called_a_mistake():
    """Straight into an arc: a true feature of drawings, offsets rounded to 0.1 mm."""
    t = np.maximum(np.linspace(-600, 600, 31), 0) / 900
    points = np.column_stack(
        [np.minimum(np.linspace(-600, 600, 31), 0) + 900 * np.sin(t), 900 * (1 - np.cos(t))]
    )
    assert from_offsets(np.round(points, 1)).warnings == ()


@pytest.mark.parametrize("end", [0, 10])
@pytest.mark.parametrize("error", [0.5, 1.0, 2.0, 10.0, -0.5, -5.0])
def test_at_an_end_it_is_asked_whether_the_curve_changes(end, error):
    x = np.linspace(1000, 0, 11)
    points = np.column_stack([x, 50 - (x - 500) ** 2 / 5000])
    assert from_offsets(points).warnings == ()
    points[end, 1] += error
    (sentence,) = from_offsets(points).warnings
    assert sentence.startswith(f"Point {end + 1} ") and "does the line change its curve there?" in sentence


@pytest.mark.parametrize("wrong", range(4, 14))
def test_in_a_published_aerofoil_the_wrong_point_is_named_and_not_the_next(wrong):
    points = 16.0 * NACA_0012[(NACA_0012[:, 0] >= 5) & (NACA_0012[:, 0] <= 95)]
    assert from_offsets(points).warnings == ()
    points[wrong, 1] += 5.0
    (sentence,) = from_offsets(points).warnings
    assert sentence.startswith(f"Point {wrong + 1} ")


def test_rows_out_of_order_are_named():
    points = circle_points(1500, 0.8, 9)
    points[[4, 5]] = points[[5, 4]]
    assert any("turns back on itself at point 5" in sentence for sentence in from_offsets(points).warnings)


@pytest.mark.parametrize(
    ("points", "field"),
    [
        ([], "line.offsets_mm"),
        ([[0, 0], [1, 1]], "line.offsets_mm"),
        ([[0, 0, 0], [1, 1, 1], [2, 2, 2]], "line.offsets_mm"),
        ([[0, 0], [1], [2, 2]], "line.offsets_mm"),
        ([["a", 0], [1, 0], [2, 2]], "line.offsets_mm"),
        ([[0, 0], [1, math.nan], [2, 2]], "line.offsets_mm[1]"),
        ([[0, 0], [1, 1], [1, 1], [2, 3]], "line.offsets_mm[2]"),
    ],
)
def test_what_cannot_be_used_is_named(points, field):
    with pytest.raises(InputError) as caught:
        from_offsets(points)
    assert caught.value.field == field
