"""Arcs, chord and rise, segments: handbook tables of the circle and published examples."""

import math

import numpy as np
import pytest

from core.errors import InputError
from core.geometry.segments import from_arc, from_chord_rise, from_segments

# Segments of a circle of radius 1: angle deg, arc, height, chord. Formulas of Machinery's Handbook,
# 31st ed., "Segments of a Circle": h = r (1 - cos(a/2)), c = 2 r sin(a/2); rounded to five places.
UNIT_SEGMENTS = [
    (10, 0.17453, 0.00381, 0.17431),
    (30, 0.52360, 0.03407, 0.51764),
    (45, 0.78540, 0.07612, 0.76537),
    (60, 1.04720, 0.13397, 1.00000),
    (90, 1.57080, 0.29289, 1.41421),
    (120, 2.09440, 0.50000, 1.73205),
    (180, 3.14159, 1.00000, 2.00000),
]


def chord_and_rise(line):
    start, middle, end = line.point_mm([0.0, line.length_mm / 2, line.length_mm])
    chord = np.hypot(*(end - start))
    rise = np.hypot(*(middle - (start + end) / 2))
    return chord, rise


@pytest.mark.parametrize(("angle_deg", "arc", "height", "chord"), UNIT_SEGMENTS)
def test_arc_by_angle_meets_the_segment_table(angle_deg, arc, height, chord):
    line = from_arc(1.0, angle_rad=math.radians(angle_deg))
    assert line.length_mm == pytest.approx(arc, abs=6e-6)
    assert chord_and_rise(line) == pytest.approx((chord, height), abs=6e-6)


@pytest.mark.parametrize(("angle_deg", "arc", "height", "chord"), UNIT_SEGMENTS)
def test_chord_and_rise_meet_the_segment_table(angle_deg, arc, height, chord):
    line = from_chord_rise(1000 * chord, 1000 * height)
    # Five printed places leave a height of 0.00381 good to 0.13 %.
    assert line.length_mm == pytest.approx(1000 * arc, rel=2e-3)
    assert 1 / line.curvature_per_mm(0.0) == pytest.approx(1000, rel=2e-3)
    assert line.heading_rad(line.length_mm) == pytest.approx(math.radians(angle_deg), rel=2e-3)


def test_published_example_chord_21_height_6():
    """Circular-sections help page of a school mathematics program: r, angle and arc are printed."""
    line = from_chord_rise(21, 6)
    assert 1 / line.curvature_per_mm(0) == pytest.approx(12.1875, abs=1e-9)
    assert math.degrees(line.heading_rad(line.length_mm)) == pytest.approx(118.97953, abs=6e-6)
    assert line.length_mm == pytest.approx(25.308373, abs=1e-6)
    assert chord_and_rise(line) == pytest.approx((21, 6), abs=1e-9)


def test_published_example_arc_1_angle_45_deg():
    """Same page: radius, chord and height of an arc of length 1 over 45 deg."""
    line = from_arc(1.2732395, length_mm=1.0)
    assert math.degrees(line.heading_rad(1.0)) == pytest.approx(45, abs=2e-6)
    assert chord_and_rise(line) == pytest.approx((0.97449536, 0.096919589), abs=2e-8)


@pytest.mark.parametrize(
    ("chord", "radius", "exact", "short_formula"),
    [
        (300, 500, 23.0304, 22.5000),
        (300, 1000, 11.3140, 11.2500),
        (500, 1000, 31.7542, 31.2500),
        (1000, 1000, 133.9746, 125.0000),
    ],
)
def test_sagitta_is_the_exact_one(chord, radius, exact, short_formula):
    """c^2/(8R) reads low by up to 6.7 %; values from R - sqrt(R^2 - c^2/4)."""
    line = from_arc(radius, angle_rad=2 * math.asin(chord / (2 * radius)))
    measured_chord, rise = chord_and_rise(line)
    assert measured_chord == pytest.approx(chord)
    assert rise == pytest.approx(exact, abs=6e-5)
    assert chord**2 / (8 * radius) == pytest.approx(short_formula)
    assert rise > short_formula


def test_railway_rule_one_inch_a_degree():
    """A 62 ft chord on a curve of 1 degree (R 5729.578 ft) rises about 1 in (classic rule, from memory)."""
    inch = 25.4
    line = from_arc(5729.578 * 12 * inch, angle_rad=2 * math.asin(31 / 5729.578))
    assert chord_and_rise(line)[1] / inch == pytest.approx(1.00636, abs=1e-5)


def test_s_shape_in_closed_form():
    """Quarter turns left and right of radius 100 with a straight of 50 between them."""
    quarter = 100 * math.pi / 2
    line = from_segments([(quarter, 100), (50, None), (quarter, -100)])
    assert line.length_mm == pytest.approx(2 * quarter + 50)
    np.testing.assert_allclose(
        line.point_mm([0, quarter, quarter + 50, line.length_mm]),
        [(0, 0), (100, 100), (100, 150), (200, 250)],
        atol=1e-12,
    )
    np.testing.assert_allclose(
        line.heading_rad([0, quarter, quarter + 25, line.length_mm]),
        [0, math.pi / 2, math.pi / 2, 0],
        atol=1e-12,
    )
    np.testing.assert_allclose(line.curvature_per_mm([1, quarter, quarter + 60]), [0.01, 0, -0.01])


def test_point_is_the_integral_of_the_heading_and_heading_that_of_the_curvature():
    line = from_segments([(400, 1500), (200, None), (400, -900)])
    s = np.linspace(0, 1000, 100_001)
    tangent = np.stack([np.cos(line.heading_rad(s)), np.sin(line.heading_rad(s))], axis=-1)
    by_sum = np.cumsum((tangent[1:] + tangent[:-1]) / 2 * 0.01, axis=0)
    np.testing.assert_allclose(line.point_mm(s[1:]), by_sum, atol=1e-6)
    turned = np.cumsum(line.curvature_per_mm((s[1:] + s[:-1]) / 2)) * 0.01
    np.testing.assert_allclose(line.heading_rad(s[1:]), turned, atol=1e-9)


def test_shapes_follow_the_argument():
    line = from_arc(1500, length_mm=1200)
    assert line.point_mm(3.0).shape == (2,)
    assert line.point_mm(np.zeros((4, 5))).shape == (4, 5, 2)
    assert line.heading_rad(np.zeros((4, 5))).shape == (4, 5)
    assert line.heading_rad(3.0).shape == ()


def test_goes_on_as_the_same_circle_past_its_ends():
    line = from_arc(1500, length_mm=1200)
    centre = np.array([0.0, 1500.0])
    away = np.hypot(*(line.point_mm([-100.0, 1300.0]) - centre).T)
    np.testing.assert_allclose(away, 1500)


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: from_arc(0, length_mm=100), "line.radius"),
        (lambda: from_arc(math.nan, length_mm=100), "line.radius"),
        (lambda: from_arc(100, length_mm=-1), "line.length"),
        (lambda: from_arc(100, length_mm=629), "line.length"),
        (lambda: from_arc(100, angle_rad=0), "line.angle"),
        (lambda: from_arc(100), "line"),
        (lambda: from_arc(100, length_mm=10, angle_rad=0.1), "line"),
        (lambda: from_chord_rise(0, 5), "line.chord"),
        (lambda: from_chord_rise(100, 0), "line.rise"),
        (lambda: from_segments([]), "line.segments"),
        (lambda: from_segments([(100, 5), (0, None)]), "line.segments[1].length"),
        (lambda: from_segments([(100, 0)]), "line.segments[0].radius"),
    ],
)
def test_what_cannot_be_used_is_named(make, field):
    with pytest.raises(InputError) as caught:
        make()
    assert caught.value.field == field
    assert "wanted" in str(caught.value) or "wants" in str(caught.value) or "fits" in str(caught.value)
