"""How a bar is measured where it lies far across its target line, as straight stock to a half ring.

The normal of the target would pass such a bar by. So the direction of measuring leans: it is the target's
normal, turned towards the bar's own normal at that station where that is more than LEAN_RAD off. And the bar
is followed from the station only until it has turned by TURN_RAD, then straight on. A line in that direction
meets such a bar in one point, whatever the shapes, and the measure passes without a step into the one along
the normal, which it is where the bar lies near enough (every place of a half-way bent rib does).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Plane = NDArray[np.complex128]
LEAN_RAD = np.pi / 3.0  # a gauge held more aslant than this to the bar reads nothing of use
TURN_RAD = np.pi / 9.0  # with LEAN_RAD less than a right angle
NEAR_MM = 1e-6
MOST_STEPS = 60


def excess_rad(across_rad: Array) -> tuple[Array, Array]:
    """How far the direction of measuring turns towards the bar's normal (r,), and its slope (r,).

    across_rad : (r,) heading of the bar at the station less that of the target. Beyond LEAN_RAD the direction
    comes nearer to the bar's normal by half of what there is more, to lie along it at a half turn: straight
    stock is then 2 R sin(phi / 2) off a circle of radius R, and never more than its diameter.
    """
    size = np.abs(across_rad)
    kept = np.minimum(size, np.maximum(1.5 * LEAN_RAD - 0.5 * size, 0.0))
    slope = np.where(size <= LEAN_RAD, 0.0, np.where(kept > 0.0, 1.5, 1.0))
    return np.sign(across_rad) * (size - kept), slope


def followed(
    grid_mm: Array, heading: Array, curvature: Array, at_mm: Array, at_heading: Array
) -> tuple[Array, Array]:
    """First and last place (r,) on the bar that a station's measure follows it to; infinite past an end.

    grid_mm, heading : (m,) nodes of the bar; curvature : (m - 1,) between them; at_mm, at_heading : (r,).
    """
    over = np.abs(heading - at_heading[:, None]) - TURN_RAD
    gone = over > 0.0
    # In the cell that leads to the first node beyond, the bar turns by what that node is over.
    bend = np.maximum(np.abs(curvature), 1e-300)
    ahead = gone & (grid_mm > at_mm[:, None])
    behind = gone & (grid_mm < at_mm[:, None])
    rows = np.arange(len(at_mm))
    after = np.argmax(ahead, axis=1)
    before = len(grid_mm) - 1 - np.argmax(behind[:, ::-1], axis=1)
    last = grid_mm[after] - over[rows, after] / bend[np.maximum(after - 1, 0)]
    first = grid_mm[before] + over[rows, before] / bend[np.minimum(before, len(bend) - 1)]
    return (
        np.where(behind.any(axis=1), np.minimum(first, at_mm), -np.inf),
        np.where(ahead.any(axis=1), np.maximum(last, at_mm), np.inf),
    )


def crossing(
    along: Callable[[Array], tuple[Array, Array]], start: Array, there: tuple[Array, Array]
) -> Array:
    """(r,) zeros of functions that rise with slopes between cos(LEAN_RAD + TURN_RAD) and 1, from a start.

    along : places (r,) -> values and slopes (r,); there : those at the start. Newton's method, halving where
    it leaves what is known to hold the zero.
    """
    least = np.cos(LEAN_RAD + TURN_RAD)
    value, slope = there
    wide = 1.01 * np.abs(value) / least + NEAR_MM
    place, low, high = start, start - wide, start + wide
    for _ in range(MOST_STEPS):
        newton = place - value / np.maximum(slope, least)
        if np.max(np.abs(value), initial=0.0) < NEAR_MM:
            return newton
        low, high = np.where(value < 0.0, place, low), np.where(value < 0.0, high, place)
        outside = (newton < low) | (newton > high)
        place = np.where(outside, 0.5 * (low + high), newton)
        value, slope = along(place)
    return place


def dot(one: Plane, other: Plane) -> Array:
    """Scalar product of directions in the plane."""
    return np.asarray(one.real * other.real + one.imag * other.imag)
