"""The bar against its target in exact circle geometry, and its slopes against finite differences.

Source of the circles: elementary geometry (tangent and secant of a circle); no approximation for small
angles anywhere. The wanted accuracy of 0.5 per cent of the gap is the project's own; what is found is exact.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import core
from core.geometry.bar import BarGeometry
from core.geometry.segments import from_arc, from_segments
from core.readings.offering import offer
from core.readings.seating import rigid_free
from tests.made_up import rib

LENGTH, COUNT = 1200.0, 30
PITCH = LENGTH / COUNT
AT = PITCH * (np.arange(COUNT) + 0.5)
HELD = np.zeros(3)
WHOLE = np.column_stack([AT - 0.5 * PITCH, AT + 0.5 * PITCH])
"""kinks spread over whole zones: equal ones make a circle"""
S_LINE = from_segments([(500.0, 1500.0), (200.0, None), (500.0, -900.0)])


def straight_gap(radius: float, at: np.ndarray, length: float = LENGTH) -> np.ndarray:
    """From a circle to its tangent at mid-length along the circle's normal: R (1/cos - 1)."""
    return radius * (1.0 / np.cos((at - 0.5 * length) / radius) - 1.0)


def two_circles(template: float, bar: float, at: np.ndarray) -> np.ndarray:
    """From one circle to another that touches it at mid-length, along the first one's normal.

    Seen from the first centre the second one lies d = R1 - R2 back from the point of contact's side, and
    the ray at angle phi meets the second circle at d cos(phi) + sqrt(R2^2 - d^2 sin^2(phi)).
    """
    phi = (at - 0.5 * LENGTH) / template
    apart = template - bar
    return apart * np.cos(phi) + np.sqrt(bar**2 - (apart * np.sin(phi)) ** 2) - template


@pytest.mark.parametrize("radius", [600.0, 920.0, 1500.0, 6000.0])
def test_straight_bar_against_an_arc(radius: float) -> None:
    """The ends of the 920 mm arc stand off by a fifth of the length."""
    geometry = BarGeometry(from_arc(radius, length_mm=LENGTH), WHOLE)
    deviation, _, _ = geometry.linearise(np.zeros(COUNT), HELD, AT)
    exact = straight_gap(radius, AT)
    np.testing.assert_allclose(deviation, exact, rtol=1e-9, atol=1e-9)
    if radius == 920.0:
        assert exact.max() == pytest.approx(0.19 * LENGTH, rel=0.05)


def test_small_angles_would_not_do() -> None:
    """What the exact form is for: linear in the kinks from the finished shape, the same gap is 20 % off."""
    line = from_arc(920.0, length_mm=LENGTH)
    geometry = BarGeometry(line, WHOLE)
    kinks = np.full(COUNT, PITCH / 920.0)
    _, slopes, _ = geometry.linearise(kinks, HELD, AT)
    assert abs((slopes @ kinks)[0] / straight_gap(920.0, AT)[0] - 1.0) > 0.15


@pytest.mark.parametrize("template, bar", [(1500.0, 2000.0), (1500.0, 1100.0), (900.0, 1600.0)])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_wrongly_curved_bar(template: float, bar: float, side: float) -> None:
    """On a line that bends the other way the same bar stands on the other side of it."""
    geometry = BarGeometry(from_arc(side * template, length_mm=LENGTH), WHOLE)
    deviation, _, _ = geometry.linearise(np.full(COUNT, side * PITCH / bar), HELD, AT)
    exact = side * two_circles(template, bar, AT)
    on = slice(1, -1)  # a bar flatter than its template ends before the last stations' normals meet it
    np.testing.assert_allclose(deviation[on], exact[on], rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(deviation, exact, rtol=5e-3)


@pytest.mark.parametrize("radius", [920.0, 2000.0])
def test_part_offered_up_with_gaps_of_a_fifth_of_its_length(radius: float) -> None:
    """Stock, untouched, on a rigid template: it touches at the two stations next to the middle.

    Moved out by h along the middle's normal the ray at phi meets it at (R + h)/cos(phi).
    """
    job = core.job(rib(line={"radius": f"{radius} mm", "length": "1200 mm"}))
    widest = offer(job.part, job.template, job.part.target).widest_mm
    middle, end = np.cos(0.5 * PITCH / radius), np.cos((AT[0] - 600.0) / radius)
    assert widest == pytest.approx(radius * (middle / end - 1.0), rel=5e-3)


def test_finished_bar_lies_on_its_template() -> None:
    """All kinks made, spread over whole zones: nothing is left, and nothing for a twisting section either."""
    geometry = BarGeometry(from_arc(1500.0, length_mm=LENGTH), WHOLE)
    deviation, _, _ = geometry.linearise(np.full(COUNT, PITCH / 1500.0), HELD, AT)
    np.testing.assert_allclose(deviation, 0.0, atol=1e-9)


@pytest.mark.parametrize("radius", [1500.0, -1500.0])
def test_linear_influence_is_lever_along_the_normal(radius: float) -> None:
    """A sharp kink at j moves what lies beyond it: (T_i - T_j) . t_i, whatever rigid motion is taken out."""
    sharp = np.column_stack([AT - 1e-4, AT + 1e-4])
    line = from_arc(radius, length_mm=LENGTH)
    between = AT[:-1] + 0.5 * PITCH
    kinks = np.full(COUNT, PITCH / radius)
    _, smooth, seating = BarGeometry(line, WHOLE).linearise(kinks, HELD, between)
    points, psi = line.point_mm(between), line.heading_rad(between)
    tangent = np.stack([np.cos(psi), np.sin(psi)], axis=1)
    lever = np.einsum("ijc,ic->ij", points[:, None] - line.point_mm(AT)[None], tangent)
    lever = np.where(between[:, None] > AT[None], lever, 0.0)
    free = rigid_free(seating)
    # A kink spread over a zone moves points outside the zone as one in its middle does, to (pitch/R)^2.
    np.testing.assert_allclose(free @ smooth, free @ lever, atol=0.01)
    _, hinged, _ = BarGeometry(line, sharp).linearise(kinks, HELD, between)
    np.testing.assert_allclose(free @ hinged, free @ lever, atol=0.5)


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    share=st.floats(0.0, 1.2),
    line=st.sampled_from([from_arc(700.0, length_mm=LENGTH), from_arc(-2500.0, length_mm=LENGTH), S_LINE]),
)
def test_slopes_are_those_of_finite_differences(seed: int, share: float, line: object) -> None:
    """Central differences of the exact deviation by every kink and every rigid motion."""
    rng = np.random.default_rng(seed)
    reach = np.column_stack([AT - rng.uniform(1.0, 20.0, COUNT), AT + rng.uniform(1.0, 20.0, COUNT)])
    geometry = BarGeometry(line, reach)
    kinks = share * np.diff(line.heading_rad(np.linspace(0.0, LENGTH, COUNT + 1)))
    kinks = kinks + rng.normal(0.0, 3e-3, COUNT)
    seat = rng.normal(0.0, [5.0, 0.02, 2.0])
    at = rng.uniform(0.0, LENGTH, 12)
    _, influence, seating = geometry.linearise(kinks, seat, at)

    def slope(k: int, what: str, step: float) -> np.ndarray:
        two = []
        for sign in (1.0, -1.0):
            moved, laid = kinks.copy(), seat.copy()
            (moved if what == "kink" else laid)[k] += sign * step
            two.append(geometry.linearise(moved, laid, at)[0])
        return (two[0] - two[1]) / (2.0 * step)

    for k in rng.choice(COUNT, 5, replace=False):
        np.testing.assert_allclose(influence[:, k], -slope(k, "kink", 1e-5), atol=2e-3, rtol=1e-4)
    for k, step in enumerate([1e-2, 1e-5, 1e-2]):
        np.testing.assert_allclose(seating[:, k], slope(k, "seat", step), atol=2e-3, rtol=1e-4)


def test_seat_of_a_bar_is_a_rigid_motion() -> None:
    """Outward, and the far end outward with the tilt, as the seat's parts are said to be."""
    geometry = BarGeometry(from_segments([(LENGTH, None)]), WHOLE)
    deviation, _, _ = geometry.linearise(np.zeros(COUNT), np.array([0.7, 0.002, 0.0]), AT)
    np.testing.assert_allclose(deviation, 0.7 + np.tan(0.002) * (AT - 600.0), rtol=1e-3)
