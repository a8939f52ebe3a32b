"""Meridians of dishes and their blanks: closed forms, handbook figures, SciPy's quadrature."""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy.integrate
import scipy.interpolate

from core.errors import InputError
from core.geometry.blank import Blank
from core.geometry.meridian import over_rim, spherical, through_profile, torispherical, traced_profile
from core.geometry.ways import AREA_KEPT, LENGTH_KEPT, RIM_KEPT


def sphere_points(radius, angle, count):
    phi = np.linspace(0.0, angle, count)
    return radius * np.column_stack([np.sin(phi), 1.0 - np.cos(phi)])


@pytest.mark.parametrize(
    ("diameter", "depth", "radius", "area", "angle_deg", "length"),
    [(300.0, 50.0, 250.0, 78539.8, 36.8699, 160.875), (500.0, 100.0, 362.5, 227765.5, None, None)],
)
def test_cap_over_a_rim(diameter, depth, radius, area, angle_deg, length):
    """A = 2 pi R h and R = (d^2/4 + h^2)/(2h), segment of a sphere, any engineering handbook; the length is R
    times the angle."""
    cap = over_rim(diameter, depth)
    assert cap.curvature_per_mm(10.0) == pytest.approx(1.0 / radius, rel=1e-12)
    assert cap.rim_mm == pytest.approx((diameter / 2, depth), rel=1e-12)
    assert cap.area_mm2() == pytest.approx(area, abs=0.1)
    assert cap.area_mm2() == pytest.approx(2 * math.pi * radius * depth, rel=1e-10)
    if length is not None:
        assert math.degrees(cap.slope_rad(cap.length_mm)) == pytest.approx(angle_deg, abs=5e-5)
        assert cap.length_mm == pytest.approx(length, abs=5e-4)


def test_depth_and_angle_say_the_same():
    one, other = spherical(300.0, depth_mm=150.0), spherical(300.0, angle_rad=math.pi / 3)
    assert one.length_mm == pytest.approx(other.length_mm, rel=1e-12)
    s = np.linspace(0.0, one.length_mm, 7)
    np.testing.assert_allclose(
        one.points_mm(s), 300.0 * np.column_stack([np.sin(s / 300), 1 - np.cos(s / 300)])
    )
    assert spherical(120.0, depth_mm=120.0).slope_rad(60.0 * math.pi) == pytest.approx(math.pi / 2)


@pytest.mark.parametrize(
    ("crown", "knuckle", "height"),
    [(1.0, 0.1, 0.1935), (0.8, 0.154, 0.255)],
)
def test_height_of_the_standard_heads(crown, knuckle, height):
    """Heights over the diameter of heads to DIN 28011 (0.1935) and DIN 28013 (0.255), both from memory, for
    sheet of no thickness; they are rounded to three places."""
    head = torispherical(1000.0 * crown, 1000.0 * knuckle, 1000.0)
    assert head.rim_mm[0] == pytest.approx(500.0, abs=1e-9)
    assert head.rim_mm[1] == pytest.approx(1000.0 * height, abs=0.7)


def test_lengths_of_a_head_from_its_triangle():
    """R 1000, r 100, D 1000: the crown's centre, the knuckle's and the axis are a triangle of sides 900, 400
    and sqrt(900^2 - 400^2)."""
    head = torispherical(1000.0, 100.0, 1000.0, straight_mm=35.0)
    crown = math.atan2(400.0, math.sqrt(900.0**2 - 400.0**2))
    assert head.length_mm == pytest.approx(1000 * crown + 100 * (math.pi / 2 - crown) + 35, rel=1e-12)
    assert head.rim_mm[1] == pytest.approx(1000 - math.sqrt(900**2 - 400**2) + 35, rel=1e-12)
    np.testing.assert_allclose(
        head.curvature_per_mm([10.0, 1000 * crown + 10, head.length_mm - 10]), [1e-3, 1e-2, 0]
    )
    assert head.slope_rad(head.length_mm) == pytest.approx(math.pi / 2)


def test_a_table_of_a_sphere_is_that_sphere():
    table = through_profile(sphere_points(300.0, 1.2, 15))
    exact = spherical(300.0, angle_rad=1.2)
    assert table.length_mm == pytest.approx(exact.length_mm, abs=1e-3)
    s = np.linspace(0.0, 359.0, 60)
    np.testing.assert_allclose(table.points_mm(s), exact.points_mm(s), atol=2e-3)
    np.testing.assert_allclose(table.slope_rad(s), s / 300.0, atol=2e-4)
    assert table.slope_rad(0.0) == pytest.approx(0.0, abs=1e-12)


def test_a_table_against_scipy():
    """A paraboloid and a lip: SciPy's spline through the same points and their mirror image."""
    r = np.array([0.0, 40, 90, 130, 180, 210])
    z = np.array([7.0, 9.5, 20.0, 34.0, 60.0, 90.0])
    table = through_profile(np.column_stack([r, z]))
    both = np.column_stack([np.concatenate([-r[:0:-1], r]), np.concatenate([z[:0:-1], z])])
    u = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(both, axis=0).T))])
    spline = scipy.interpolate.CubicSpline(u, both)
    length = scipy.integrate.quad(lambda v: np.hypot(*spline(v, 1)), u[5], u[-1], limit=200)[0]
    assert table.length_mm == pytest.approx(length, abs=1e-5)
    assert table.rim_mm == pytest.approx((210.0, 83.0), abs=1e-6)


def test_a_traced_sphere_comes_back():
    """Noise of 0.2 mm: the smooth meridian lies within three times the error that it states of itself."""
    rng = np.random.default_rng(3)
    points = sphere_points(300.0, 1.0, 80) + rng.normal(0.0, 0.2, (80, 2))
    points[:, 0] = np.abs(points[:, 0])
    traced = traced_profile(points, 0.2)
    s = np.linspace(0.0, traced.length_mm, 50)
    off = np.hypot(traced.points_mm(s)[:, 0], traced.points_mm(s)[:, 1] - 300.0) - 300.0
    stated = traced.line.smoothing_sd_mm
    assert 0.01 < stated < 0.1
    assert np.ptp(off) < 6.0 * stated
    assert traced.slope_rad(0.0) == pytest.approx(0.0, abs=1e-9)


def test_a_traced_point_that_stands_out_is_named_by_its_row():
    points = sphere_points(300.0, 1.0, 40)
    points[12, 1] += 6.0
    assert any("point 13 " in sentence for sentence in traced_profile(points, 0.2).warnings)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: spherical(-3.0, depth_mm=1.0), "shape.radius"),
        (lambda: spherical(300.0, depth_mm=301.0), "shape.depth"),
        (lambda: spherical(300.0, angle_rad=1.6), "shape.angle"),
        (lambda: spherical(300.0), "shape"),
        (lambda: over_rim(300.0, 151.0), "shape.depth"),
        (lambda: torispherical(400.0, 100.0, 1000.0), "shape.crown_radius"),
        (lambda: torispherical(1000.0, 500.0, 1000.0), "shape.knuckle_radius"),
        (lambda: through_profile([[1, 0], [50, 5], [90, 30]]), "shape.profile_mm[0]"),
        (lambda: through_profile([[0, 0], [-50, 5], [90, 30]]), "shape.profile_mm[1]"),
        (lambda: through_profile([[0, 0], [50, 5], [0, 30]]), "shape.profile_mm"),
        (lambda: traced_profile(sphere_points(300, 1, 20)[8:], 0.2), "shape.traced_mm[0]"),
        (lambda: traced_profile(sphere_points(300, 1, 20), 0.0), "shape.tracing_sd"),
    ],
)
def test_what_is_no_dish_is_refused_by_its_field(make, field):
    with pytest.raises(InputError) as caught:
        make()
    assert caught.value.field == field


# Blanks.


def test_the_rim_of_a_hemisphere_is_shortened_by_36_per_cent():
    """Meridian kept: ln(sin phi/phi) at a right angle is ln(2/pi) = -0.4516, 36.3 % shorter."""
    blank = Blank(spherical(200.0, depth_mm=200.0), LENGTH_KEPT)
    strain = blank.hoop_strain(blank.meridian.length_mm)
    assert strain == pytest.approx(math.log(2 / math.pi), abs=1e-12)
    assert 100 * (1 - math.exp(strain)) == pytest.approx(36.3, abs=0.05)
    assert blank.radius_mm == pytest.approx(100.0 * math.pi)


def test_equal_area_blank_of_a_hemisphere():
    """D = sqrt(2) d: Sheet and Plate Metal Work, chapter on hollowed articles, "Spherical Bowl" (early 20th
    century); and D = sqrt(d^2 + 4 h^2) for a cap, the same."""
    assert 2 * Blank(spherical(50.0, depth_mm=50.0), AREA_KEPT).radius_mm == pytest.approx(141.4214, abs=1e-4)
    cap = Blank(over_rim(300.0, 50.0), AREA_KEPT)
    assert 2 * cap.radius_mm == pytest.approx(math.hypot(300.0, 100.0), rel=1e-9)


def test_equal_area_blank_of_a_straight_sided_pan():
    """Radius sqrt(r^2 + 2 r h), 24 in for 2 ft across and 1 ft 6 in deep (the same book, chapter XXVIII,
    solid pans); here with a knuckle so small that it does not count, and a crown nearly flat."""
    pan = torispherical(1e6, 1e-3, 24.0 * 25.4, straight_mm=18.0 * 25.4)
    assert Blank(pan, AREA_KEPT).radius_mm / 25.4 == pytest.approx(24.0, abs=2e-3)


@pytest.mark.parametrize("degrees", [15, 30, 45, 60, 75, 90])
def test_hoop_strains_of_a_sphere(degrees):
    """Closed forms: ln(sin phi/phi); ln cos(phi/2); and for strokes alike either way a conformal map, which
    takes rings to rho in proportion to tan(phi/2): e = 2 ln(cos(phi/2)/cos(phi_rim/2))."""
    sphere, phi = spherical(300.0, depth_mm=300.0), math.radians(degrees)
    at = 300.0 * phi
    assert Blank(sphere, LENGTH_KEPT).hoop_strain(at) == pytest.approx(
        math.log(math.sin(phi) / phi), abs=1e-9
    )
    assert Blank(sphere, AREA_KEPT).hoop_strain(at) == pytest.approx(math.log(math.cos(phi / 2)), abs=1e-7)
    doming = 2 * math.log(math.cos(phi / 2) / math.cos(math.pi / 4))
    assert Blank(sphere, RIM_KEPT).hoop_strain(at) == pytest.approx(doming, abs=1e-6)


def test_doming_keeps_the_rim():
    blank = Blank(over_rim(300.0, 50.0), RIM_KEPT)
    assert blank.radius_mm == pytest.approx(150.0, abs=1e-9)
    assert blank.hoop_strain(blank.meridian.length_mm) == pytest.approx(0.0, abs=1e-12)
    s = np.linspace(1.0, 160.0, 9)
    np.testing.assert_allclose(blank.along_mm(blank.flat_mm(s)), s, atol=1e-9)


@pytest.mark.parametrize("along", [LENGTH_KEPT, AREA_KEPT, RIM_KEPT])
def test_the_meridian_strains_by_its_share_of_the_hoop(along):
    """ln(ds/drho) = k e for a dished end, by differences."""
    blank = Blank(torispherical(800.0, 154.0, 1000.0), along)
    s = np.linspace(20.0, blank.meridian.length_mm - 20.0, 40)
    steps = np.log(1.0 / ((blank.flat_mm(s + 0.5) - blank.flat_mm(s - 0.5)) / 1.0))
    np.testing.assert_allclose(steps, blank.along(s) * blank.hoop_strain(s), atol=2e-4)
