"""A smooth curve as a polyline that is nowhere farther from it than a stated distance."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
PIECES = 64  # to begin with
QUARTERS = np.array([0.25, 0.5, 0.75])


def fine_places(
    points_mm: Callable[[Array], Array], start_mm: float, end_mm: float, error_mm: float
) -> Array:
    """(k,) places between start and end, both among them, whose points (k, 2) joined by chords follow the
    curve: none of its points at a quarter, half and three quarters of a chord is farther from it than this.
    """
    places = np.linspace(start_mm, end_mm, PIECES + 1)
    while True:
        coarse = _off_chord_mm(points_mm, places) > error_mm
        if not coarse.any():
            return places
        middles = 0.5 * (places[:-1] + places[1:])[coarse]
        places = np.sort(np.append(places, middles))


def _off_chord_mm(points_mm: Callable[[Array], Array], places: Array) -> Array:
    """(k - 1,) largest distance of the curve from each chord, square to the chord."""
    within = places[:-1, None] + np.diff(places)[:, None] * QUARTERS
    ends = points_mm(places)
    chord = np.diff(ends, axis=0)
    arm = points_mm(within) - ends[:-1, None, :]
    area = chord[:, None, 0] * arm[..., 1] - chord[:, None, 1] * arm[..., 0]
    return np.asarray(np.max(np.abs(area), axis=1) / np.hypot(chord[:, 0], chord[:, 1]))
