"""The simulated bar out of the plane of its curve, by small slopes."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.simulate.metal import Places, spread_kinks

Array = NDArray[np.float64]


class Bow:
    """The heel line of a bar out of the plane of its curve, > 0 towards +z of its section.

    edges_mm : (c+1,) cells along the bar; curvature : (c,) of the untouched bar, 1/mm
    """

    def __init__(self, edges_mm: Array, curvature: Array) -> None:
        self._edges = edges_mm
        self._curvature = curvature
        self._aside = np.zeros_like(edges_mm)

    def bend(self, places: Places, kinks_rad: Array) -> None:
        """Put in kinks (n,), > 0 where they swing what lies beyond them towards +z."""
        self._curvature = self._curvature + spread_kinks(self._edges, places, kinks_rad)

    def shift(self, aside_mm: Array) -> None:
        """Move the line by so much (c+1,) at every edge of a cell."""
        self._aside = self._aside + aside_mm

    @property
    def middle_mm(self) -> float:
        """The heel line at mid-length over its two ends."""
        cells = np.diff(self._edges)
        slopes = np.concatenate([[0.0], np.cumsum(self._curvature * cells)])
        rise = np.concatenate([[0.0], np.cumsum(0.5 * (slopes[1:] + slopes[:-1]) * cells)]) + self._aside
        return float(np.interp(0.5 * self._edges[-1], self._edges, rise) - 0.5 * (rise[0] + rise[-1]))
