"""The flat disc that a dish is made from, and what its metal has to change by.

What ring of the disc comes to lie where, and so how its hoop strains, follows from the way in which the metal
goes along the meridian (:mod:`core.geometry.ways`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array
from core.geometry.meridian import Meridian
from core.geometry.ways import Way

CELLS = 2000  # of the meridian


class Blank:
    """The disc for one dish, made in one way."""

    def __init__(self, meridian: Meridian, way: Way) -> None:
        self.meridian, self.way = meridian, way
        self._s = np.linspace(0.0, meridian.length_mm, CELLS + 1)
        self._rho = way.flat_mm(meridian, self._s)

    @property
    def radius_mm(self) -> float:
        """Of the disc."""
        return float(self._rho[-1])

    @property
    def kept_mm(self) -> tuple[float, float] | None:
        """Arc length on the dish and radius of the ring that keeps its size; None where there is none."""
        if self.way.kept is None:
            return None
        along = self.way.kept * self.meridian.length_mm
        return along, float(self.meridian.points_mm(along)[0])

    def flat_mm(self, s_mm: ArrayLike) -> Array:
        """(...) radius on the disc of what comes to lie at arc length s."""
        return np.asarray(np.interp(np.asarray(s_mm, dtype=float), self._s, self._rho))

    def along_mm(self, flat_mm: ArrayLike) -> Array:
        """(...) arc length on the dish of what lies at this radius of the disc."""
        return np.asarray(np.interp(np.asarray(flat_mm, dtype=float), self._rho, self._s))

    def hoop_strain(self, s_mm: ArrayLike) -> Array:
        """(...) e = ln(r/rho), natural, > 0 longer; at the pole its limit."""
        s = np.maximum(np.asarray(s_mm, dtype=float), 1e-3 * self._s[1])
        return np.asarray(np.log(self.meridian.points_mm(s)[..., 0] / self.flat_mm(s)))

    def along(self, s_mm: ArrayLike) -> Array:
        """(...) strain along the meridian over that of the hoop, k, at arc length s."""
        return self.way.along(np.asarray(s_mm, dtype=float) / self.meridian.length_mm)
