"""Versines and throws of railway curves (string lining) from the influence of kinks.

Stations one pitch a apart, chord 2a: the versine at a station is its offset less the mean of its
neighbours' offsets. A kink of angle q at a station makes a versine of q a/2 there and none elsewhere, and
moves everything beyond it.

Sources: US Army transportation course TR0671, before par. 3.27: half throw = running sum of running
sums of versine errors, both ending at zero. "Railway Curves" (Indian railways), Example 5.1, stations
15 to 19: printed existing, proposed and final versines, second summations and slews.
"""

import numpy as np
import pytest

from core.geometry.bar import BarGeometry
from core.geometry.heel import hinge_over_patch
from core.geometry.segments import from_arc, from_segments

PITCH = 10_000.0
TINY = 1e-3


def influence(stations):
    """Movement of each station per unit kink at each station, the kinks next to sharp."""
    return hinge_over_patch(stations[:, None] - stations[None, :], TINY)


def versines(offsets):
    return offsets[1:-1] - 0.5 * (offsets[:-2] + offsets[2:])


# station: existing and proposed versine, second summation of (proposed - existing) and of the correcting
# versines, slew (twice their sum) as printed, final versine as printed (mm)
EXAMPLE_5_1 = np.array(
    [
        (15, 7, 8.5, 18.8, -2.7, 32.2, 8.6),
        (16, 3, 6.2, 10.1, -2.8, 14.6, 6.2),
        (17, 0, 3.9, 4.6, -2.9, 3.4, 3.9),
        (18, 0, 1.6, 3.0, -3.0, 0.0, 1.7),
        (19, 0, 0.0, 3.0, -3.0, 0.0, 0.0),
    ]
)


def test_published_slews_give_the_published_versines():
    """V_final = V_existing - slew + (slew before + slew after)/2 at stations 16 to 18."""
    _, existing, _, _, _, slew, final = EXAMPLE_5_1.T
    np.testing.assert_allclose(existing[1:-1] - versines(slew), final[1:-1], atol=0.051)


def test_kinks_that_make_the_versine_errors_throw_by_the_second_summation():
    """The printed second summations at 15 to 19 from kinks of 2 (Vp - Ve)/a by the influence matrix."""
    _, existing, proposed, summed, _, _, _ = EXAMPLE_5_1.T
    stations = PITCH * np.arange(5)
    kinks = 2 * (proposed - existing) / PITCH
    moved = influence(stations) @ kinks
    # The fragment starts in mid-curve: fit its start (height and slope) to the first two printed values.
    start = 2 * summed[0] + (2 * (summed[1] - summed[0]) - moved[1] + moved[0]) * np.arange(5)
    np.testing.assert_allclose(moved + start, 2 * summed, atol=1e-3)


def test_closed_table_of_throws():
    """Throws 0 0 2 5 3 -1 -4 -2 0 0, versine errors by hand; sums and half throws close at zero."""
    throws = np.array([0, 0, 2, 5, 3, -1, -4, -2, 0, 0], dtype=float)
    errors = np.array([0, 1, 0.5, -2.5, -1, 0.5, 2.5, 0, -1, 0])
    stations = PITCH * np.arange(10)
    np.testing.assert_allclose(influence(stations) @ (2 * errors / PITCH), throws, atol=1e-6)
    np.testing.assert_allclose(-versines(throws), errors[1:-1])
    assert errors.sum() == pytest.approx(0)
    assert np.arange(10) @ errors == pytest.approx(0)


def test_a_kink_is_a_versine_at_its_own_station_only():
    """The bar's own influence matrix, about a straight: second differences are the kinks times the pitch."""
    pitch, count = 40.0, 9
    stations = pitch * (np.arange(count) + 1)
    line = from_segments([(pitch * (count + 1), None)])
    zones = np.column_stack([stations - TINY, stations + TINY])
    nothing = np.zeros(count)
    _, matrix, _ = BarGeometry(line, zones).linearise(nothing, np.zeros(3), stations)
    versine = np.array([versines(column) for column in matrix.T]).T
    expected = np.zeros((count - 2, count))
    # What is still to be closed leaves the bar beyond it outward: the versine falls short.
    expected[np.arange(count - 2), np.arange(1, count - 1)] = -pitch / 2
    np.testing.assert_allclose(versine, expected, atol=2 * TINY)


@pytest.mark.parametrize("radius", [600.0, -1500.0])
def test_versines_of_a_circle(radius):
    """V (2R - V) = (C/2)^2 at every station of an arc (railway engineering lecture notes)."""
    line = from_arc(radius, length_mm=900)
    points = line.point_mm(np.linspace(0, 900, 10))
    versine = np.hypot(*(points[1:-1] - 0.5 * (points[:-2] + points[2:])).T)
    half_chord = 0.5 * np.hypot(*(points[2:] - points[:-2]).T)
    np.testing.assert_allclose(versine * (2 * abs(radius) - versine), half_chord**2, rtol=1e-9)
