"""How much shorter the free edge of a bent bar is than that of the straight one: by its finished shape.

Where a bar is bent to a radius the lengths of its lines are given, whatever the strokes were that bent it.
The patch under a stroke is as deep as the tool reaches and gives about the mean of that; the edge has more.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array

SHARPEST = 0.95  # of the curve at which the edge would come to a point
WIDEST = 3.0  # flanges to a radius, over it: the same the other way; a strain of 0.6 and more
HALVINGS = 60


@dataclass(frozen=True)
class BentEdge:
    """A free edge so far from the heel; heel_mm : by how much the heel is shorter, over its curvature."""

    flange_mm: float
    heel_mm: float

    def strain(self, curvature_per_mm: ArrayLike) -> Array:
        """(...) natural strain of the edge, > 0 shorter, for a curvature of the heel, > 0 towards the edge.

        By geometry the edge is 1 - flange * curvature times as long as the heel.
        """
        k = np.minimum(np.asarray(curvature_per_mm, dtype=float), SHARPEST / self.flange_mm)
        return np.asarray(self.heel_mm * k - np.log1p(-self.flange_mm * k))

    def per_kink(self, kinks_rad: Array, zones_mm: Array) -> Array:
        """(n,) most strain over kink on the way from straight to these kinks (n,), each over its zone (n,).

        What is left of an edge that grows shorter is strained more by the same kink: most at the end, and in
        one that grows longer at the beginning.
        """
        closed = np.clip(kinks_rad / zones_mm, 0.0, SHARPEST / self.flange_mm)
        return np.asarray((self.heel_mm + self.flange_mm / (1.0 - self.flange_mm * closed)) / zones_mm)

    def sharpest_per_mm(self, strain: float) -> float:
        """Curvature that strains the edge so much, of the sign of the strain."""
        low, high = np.array([0.0, SHARPEST] if strain > 0.0 else [-WIDEST, 0.0]) / self.flange_mm
        for _ in range(HALVINGS):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.strain(middle) < strain else (low, middle)
        return float(0.5 * (low + high))
