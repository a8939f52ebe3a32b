"""The best seating against a general linear-programming library and against plane geometry."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog, minimize

from core.geometry.segments import from_arc, from_segments
from core.readings.templates import INSIDE, LAYOUT_LINE, OUTSIDE, Template, sweep
from core.simulate import Truth
from core.simulate.offering import offered, seat_of, sweep_readings
from core.simulate.seating import least_widest
from core.simulate.shape import Curve, held_against, placed


def straight(length_mm: float) -> Curve:
    return Curve(np.linspace(0.0, length_mm, 301), np.zeros(300))


def kinked(length_mm: float, rad: float) -> Curve:
    """One kink within 1 mm at mid-length."""
    half = 0.5 * length_mm
    return Curve(np.array([0.0, half - 0.5, half + 0.5, length_mm]), np.array([0.0, rad, 0.0]))


def by_library(gaps, slopes, low, high, overlap) -> float:
    """scipy.optimize.linprog (HiGHS) on the same programme."""
    r = len(gaps)
    lower = np.ones((r, 1)) if overlap else np.zeros((r, 1))
    a = np.vstack([np.hstack([-np.ones((r, 1)), slopes]), np.hstack([-lower, -slopes])])
    bounds = [(None, None), *zip(low, high, strict=True)]
    answer = linprog([1.0, 0, 0, 0], A_ub=a, b_ub=np.concatenate([-gaps, gaps]), bounds=bounds)
    assert answer.status == 0, answer.message
    return float(answer.fun)


@pytest.mark.parametrize("overlap", [False, True])
def test_least_widest_gap_equals_the_library(overlap: bool) -> None:
    """200 drawn shapes on arcs of up to 140 degrees: same optimum as scipy.optimize.linprog."""
    rng = np.random.default_rng(20)
    for _ in range(200):
        s = np.linspace(0.0, 1.0, int(rng.integers(10, 120)))
        psi = rng.uniform(0.0, 2.4) * (s - 0.5)
        wave = rng.normal(size=4) @ np.stack([np.cos(k * 3.0 * s) for k in range(4)])
        slopes = np.stack([-np.sin(psi), np.cos(psi), s - 0.5], axis=1)
        low, high = np.array([-0.3, -40.0, -40.0]), np.array([0.3, 40.0, 40.0])
        ours, motion = least_widest(wave, slopes, low, high, overlap)
        assert ours == pytest.approx(by_library(wave, slopes, low, high, overlap), abs=1e-7)
        after = wave + slopes @ motion
        assert np.all(motion >= low - 1e-9) and np.all(motion <= high + 1e-9)
        assert np.max(np.abs(after)) <= ours + 1e-7 and (overlap or after.min() >= -1e-7)


def test_no_seating_within_the_bounds_is_an_error() -> None:
    """A part 5 mm inside the template cannot be cleared by a shift of 1 mm."""
    slopes = np.column_stack([np.ones(5), np.linspace(-1, 1, 5), np.zeros(5)])
    with pytest.raises(ArithmeticError, match="free of overlap"):
        least_widest(np.full(5, -5.0), slopes, np.full(3, -1.0), np.ones(3), False)


@pytest.mark.parametrize("radius, length", [(1500.0, 1200.0), (600.0, 900.0), (6000.0, 1500.0)])
def test_straight_bar_on_a_circle(radius: float, length: float) -> None:
    """Plane trigonometry. Inside template touches at mid-length: R (1/cos a - 1) at its ends, a = L/2R.
    Outside template touches at its ends: the sagitta R (1 - cos a) at mid-length (Machinery's Handbook,
    segments of a circle: h = r (1 - cos(a/2)))."""
    line, points = from_arc(radius, length_mm=length), np.linspace(0.0, length, 121)
    a = 0.5 * length / radius
    inside = offered(straight(length), line, points, INSIDE).widest_mm
    outside = offered(straight(length), line, points, OUTSIDE).widest_mm
    assert inside == pytest.approx(radius * (1.0 / np.cos(a) - 1.0), rel=1e-6)
    assert outside == pytest.approx(radius * (1.0 - np.cos(a)), rel=1e-6)


@pytest.mark.parametrize("template, share", [(INSIDE, 0.25), (OUTSIDE, 0.25), (LAYOUT_LINE, 0.125)])
def test_one_kink_on_a_straight_line(template: Template, share: float) -> None:
    """A bar bent by theta at mid-length stands off a straight edge by theta L/4 (half of it either way
    where readings are signed): the triangle of base L and base angles theta/2."""
    line, points = from_segments([(1000.0, None)]), np.linspace(0.0, 1000.0, 1001)
    widest = offered(kinked(1000.0, 0.004), line, points, template).widest_mm
    assert widest == pytest.approx(share * 0.004 * 1000.0, rel=2e-3)


def test_best_seating_of_a_crooked_bar_is_not_beaten_by_search() -> None:
    """A general minimiser (scipy Nelder-Mead, three starts) over shift and turn finds nothing better."""
    rng = np.random.default_rng(8)
    line = from_segments([(400.0, 1500.0), (200.0, None), (400.0, -900.0)])
    edges = np.linspace(0.0, 1000.0, 201)
    true = np.diff(line.heading_rad(edges)) / np.diff(edges)
    points = np.linspace(0.0, 1000.0, 81)
    for _ in range(4):
        curve = Curve(edges, true + 1e-4 * np.convolve(rng.normal(size=200), np.ones(30) / 30, "same"))
        best = offered(curve, line, points, INSIDE)
        along = line.point_mm(np.array([0.0, 1000.0]))
        unit = (along[1] - along[0]) / np.hypot(*(along[1] - along[0]))

        def widest(v, best=best, unit=unit):
            pose = best.pose + np.array([-unit[1] * v[0], unit[0] * v[0], v[1] / 1000.0])
            gaps = best.view(pose)[0]
            return float(gaps.max() + 50.0 * max(0.0, -gaps.min()))

        found = min(minimize(widest, s, method="Nelder-Mead").fun for s in ([0, 0], [2, 3], [-2, -3]))
        assert best.widest_mm <= found + 1e-3
        assert best.gaps_at(points).min() >= -1e-6


def test_slopes_of_the_geometry_are_the_difference_quotients() -> None:
    """Motion columns against central differences (calculus)."""
    line, points = from_arc(900.0, length_mm=1000.0), np.linspace(0.0, 1000.0, 31)
    seat = offered(straight(1000.0), line, points, OUTSIDE)
    held = held_against(seat.curve, line, points, seat.pivot, seat.pose)
    for k, step in enumerate((1e-4, 1e-4, 1e-7)):
        move = np.eye(3)[k] * step
        plus = held_against(seat.curve, line, points, seat.pivot, seat.pose + move).deviation_mm
        minus = held_against(seat.curve, line, points, seat.pivot, seat.pose - move).deviation_mm
        np.testing.assert_allclose(held.motion[:, k], (plus - minus) / (2 * step), rtol=1e-4, atol=1e-4)


def test_sweep_reads_the_difference_of_mid_ordinates() -> None:
    """Template of chord 300 for R 1500 on a straight bar and on one of R 1200: versines
    R - sqrt(R^2 - C^2/4) (railway versine formula), chord here an arc of 300, same to 1e-3 mm."""

    def versine(r: float, arc: float) -> float:
        return r * (1.0 - np.cos(0.5 * arc / r))

    line, at = from_arc(1500.0, length_mm=1200.0), np.array([100.0, 600.0, 1100.0])
    straight_read = sweep_readings(straight(1200.0), line, at, 300.0)
    tight = Curve(np.linspace(0, 1200.0, 301), np.full(300, 1 / 1200.0))
    tight_read = sweep_readings(tight, line, at, 300.0)
    assert np.isnan(straight_read[[0, 2]]).all()
    assert straight_read[1] == pytest.approx(versine(1500.0, 300.0), abs=1e-3)
    assert tight_read[1] == pytest.approx(versine(1500.0, 300.0) - versine(1200.0, 300.0), abs=0.02)
    assert sweep(300.0).chord_mm == 300.0


def test_heading_of_a_line_beside_its_curve_is_the_slope_of_its_points() -> None:
    """Difference quotient of the points (calculus), for a heel moved aside by up to 6 mm."""
    edges = np.linspace(0.0, 900.0, 451)
    curve = Curve(edges, np.full(450, 1 / 2000.0), 6.0 * np.sin(np.pi * edges / 900.0))
    s = np.array([101.0, 333.0, 449.0, 803.0])
    before, after = curve.at(s - 0.4)[0], curve.at(s + 0.4)[0]
    slope = np.arctan2(*(after - before).T[::-1])
    np.testing.assert_allclose(curve.at(s)[1], slope, atol=2e-5)
    assert np.abs(curve.at(s)[1] - s / 2000.0).max() > 0.015


@pytest.mark.parametrize("template", [INSIDE, OUTSIDE])
def test_a_roughly_seated_rigid_template_still_touches_and_never_overlaps(template: Template) -> None:
    line, points = from_arc(2000.0, length_mm=900.0), np.linspace(20.0, 880.0, 87)
    rng = np.random.default_rng(3)
    truth = Truth(seat_mm=0.5, slip_mm=0.7)
    for _ in range(10):
        seat = seat_of(straight(900.0), line, points, template, truth, rng)
        best = offered(straight(900.0), line, points, template)
        assert seat.gaps_at(points).min() == pytest.approx(0.0, abs=1e-6)
        assert seat.widest_mm > best.widest_mm
        assert np.abs(seat.pose - best.pose).max() > 1e-4


def test_sliding_is_held_to_the_marks() -> None:
    """A bar whose bend sits 5 mm off the line's would fit if slid by 5 mm; 2 mm are allowed."""
    line = from_segments([(400.0, None), (200.0, 800.0), (400.0, None)])
    off = Curve(np.array([0.0, 405.0, 605.0, 1000.0]), np.array([0.0, 1 / 800.0, 0.0]))
    points = np.linspace(20.0, 980.0, 193)
    best = offered(off, line, points, OUTSIDE)
    middle = np.array([500.0])
    along = line.heading_rad(middle)[0]
    mark = line.point_mm(middle)[0]
    slid = (placed(off.at(middle)[0], best.pivot, best.pose)[0] - mark) @ [np.cos(along), np.sin(along)]
    assert abs(slid) == pytest.approx(2.0, abs=1e-6)
    assert offered(off, line, points, OUTSIDE, slid_mm=0.0).widest_mm > best.widest_mm
