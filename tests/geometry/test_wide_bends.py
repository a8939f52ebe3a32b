"""Half rings and hoops: a bar that lies far across its line is measured in a direction that leans.

By hand (elementary geometry, no source): along the circle's normal at phi the tangent at mid-length is
R (1 / cos phi - 1) away. Beyond 60 degrees the gauge points to where the tangent touches: the chord
2 R sin(phi / 2).
"""

from __future__ import annotations

import numpy as np
import pytest

from core.geometry.bar import BarGeometry
from core.geometry.segments import from_arc, from_segments

RADIUS, COUNT = 400.0, 40
HELD = np.zeros(3)


def zones(length: float) -> np.ndarray:
    """(n, 2) kinks spread over whole zones, so that equal ones make a circle."""
    edges = np.linspace(0.0, length, COUNT + 1)
    return np.column_stack([edges[:-1], edges[1:]])


def by_hand(phi: np.ndarray) -> np.ndarray:
    """Gap of the straight bar at this angle from mid-length, mm."""
    along, chord = RADIUS * (1.0 / np.cos(phi) - 1.0), 2.0 * RADIUS * np.sin(0.5 * np.abs(phi))
    return np.where(np.abs(phi) <= np.radians(60), along, chord)


@pytest.mark.parametrize("side", [1.0, -1.0])
@pytest.mark.parametrize("turn_deg", [90, 135, 180, 200, 270, 355, 360])
def test_straight_stock_against_a_hoop(turn_deg: float, side: float) -> None:
    line = from_arc(side * RADIUS, angle_rad=np.radians(turn_deg))
    at = np.linspace(0.0, line.length_mm, 83)
    bar = BarGeometry(line, zones(line.length_mm))
    deviation, influence, seating = bar.linearise(np.zeros(COUNT), HELD, at)
    phi = (at - 0.5 * line.length_mm) / RADIUS
    np.testing.assert_allclose(deviation, side * by_hand(phi), rtol=1e-7, atol=1e-7)
    assert np.abs(deviation).max() <= 2.0 * RADIUS * (1.0 + 1e-9)
    assert np.all(np.isfinite(influence)) and np.all(np.isfinite(seating))


@pytest.mark.parametrize("share", [0.25, 0.5, 0.75, 0.95, 1.05, 1.3])
@pytest.mark.parametrize("turn_deg", [180, 270, 355])
def test_a_hoop_on_its_way(turn_deg: float, share: float) -> None:
    """From half its bend on the widest gap falls; it is never less than the way to the bar itself, nor more
    than three times the radius."""
    line = from_arc(RADIUS, angle_rad=np.radians(turn_deg))
    at, bar = np.linspace(0.0, line.length_mm, 83), BarGeometry(line, zones(line.length_mm))
    each = np.radians(turn_deg) / COUNT

    def widest(made: float) -> float:
        return float(np.abs(bar.linearise(np.full(COUNT, made * each), HELD, at)[0]).max())

    nearer = share + 0.1 * np.sign(1.0 - share) * abs(1.0 - share)
    assert widest(share) < 3.0 * RADIUS
    assert share < 0.5 or widest(nearer) < widest(share)
    phi = (at - 0.5 * line.length_mm) / RADIUS
    wide = RADIUS / share  # the bar's own radius; its circle touches the line's at mid-length
    x, y = RADIUS * np.sin(phi), RADIUS * (1.0 - np.cos(phi))
    to_circle = np.abs(np.hypot(x, y - wide) - wide)
    on = np.abs(phi) * share < np.pi / 2  # where the bar is near enough for the circle to be the nearest
    gaps = np.abs(bar.linearise(np.full(COUNT, share * each), HELD, at)[0])
    assert np.all(gaps[on] >= to_circle[on] - 1e-6)


def test_half_a_hoop_of_twice_the_radius() -> None:
    """At the hoop's quarter (90 degrees) the bar of radius 2R has turned by 45: the normal, level there,
    meets its circle about (0, 2R) at x = sqrt(4R^2 - R^2), so the gap is R (sqrt 3 - 1)."""
    line = from_arc(RADIUS, angle_rad=1.9 * np.pi)
    bar = BarGeometry(line, zones(line.length_mm))
    quarter = np.array([0.5 * line.length_mm + 0.5 * np.pi * RADIUS])
    deviation, _, _ = bar.linearise(np.full(COUNT, 0.95 * np.pi / COUNT), HELD, quarter)
    assert deviation[0] == pytest.approx(RADIUS * (np.sqrt(3.0) - 1.0), rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_slopes_are_those_of_finite_differences(seed: int) -> None:
    """Central differences by every kink and rigid motion, where the direction leans and the bar is followed
    a part of the way only."""
    rng = np.random.default_rng(seed)
    line = from_segments([(900.0, 330.0), (300.0, None), (700.0, 400.0)])
    reach = np.sort(rng.uniform(0.0, line.length_mm, (COUNT, 1)), axis=0) + np.array([-9.0, 9.0])
    bar = BarGeometry(line, reach.clip(0.0, line.length_mm))
    kinks = rng.uniform(0.0, 1.0) * 4.5 / COUNT + rng.normal(0.0, 0.02, COUNT)
    seat, at = rng.normal(0.0, [5.0, 0.05, 2.0]), rng.uniform(0.0, line.length_mm, 25)
    _, influence, seating = bar.linearise(kinks, seat, at)

    def slope(k: int, of_kink: bool, step: float) -> np.ndarray:
        two = []
        for sign in (1.0, -1.0):
            moved, laid = kinks.copy(), seat.copy()
            (moved if of_kink else laid)[k] += sign * step
            two.append(bar.linearise(moved, laid, at)[0])
        return (two[0] - two[1]) / (2.0 * step)

    for k in rng.choice(COUNT, 6, replace=False):
        np.testing.assert_allclose(influence[:, k], -slope(k, True, 1e-6), atol=0.05, rtol=1e-3)
    for k, step in enumerate([1e-3, 1e-6, 1e-3]):
        np.testing.assert_allclose(seating[:, k], slope(k, False, step), atol=0.05, rtol=1e-3)


def test_the_measure_has_no_step() -> None:
    """From straight stock to the hoop and past it no gap jumps: half the step is half the change."""
    line = from_arc(RADIUS, angle_rad=np.radians(355))
    at, bar = np.linspace(0.0, line.length_mm, 61), BarGeometry(line, zones(line.length_mm))
    each = np.radians(355) / COUNT

    def largest_change(count: int) -> float:
        shares = np.linspace(0.0, 1.3, count)
        path = [bar.linearise(np.full(COUNT, share * each), HELD, at)[0] for share in shares]
        return float(np.abs(np.diff(path, axis=0)).max())

    assert largest_change(2001) < 0.55 * largest_change(1001)
