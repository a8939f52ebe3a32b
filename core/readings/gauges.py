"""Gauges: how finely, how repeatably and how far each can read."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from core.calibration import Calibration


@dataclass(frozen=True)
class Gauge:
    """One gauge of the shop.

    step_mm : smallest difference shown; repeatability_mm : standard deviation of repeated readings
    by one person; largest_mm : beyond this it reads nothing; leaves_mm : single leaves, where the
    gauge is a set of leaves (for entry keys), else empty; uncertainty_mm : standard uncertainty of what it
    shows, as its calibration states it; calibration : None where none is known
    """

    name: str
    step_mm: float
    repeatability_mm: float
    largest_mm: float
    leaves_mm: tuple[float, ...] = ()
    uncertainty_mm: float = 0.0
    calibration: Calibration | None = None

    def sd_mm(self, template_sd_mm: float = 0.0) -> float:
        """Standard uncertainty of one reading: step/sqrt(12) (JCGM 100:2008 F.2.2.1), repeatability,
        calibration and template error added in squares."""
        return hypot(self.step_mm / sqrt(12.0), self.repeatability_mm, self.uncertainty_mm, template_sd_mm)


LEAVES_MM = (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.5, 2.0, 3.0)

# Steps are what such gauges show; repeatability and reach are common practice, no source.
GAUGES: dict[str, Gauge] = {
    g.name: g
    for g in (
        Gauge("feeler leaves", 0.05, 0.03, 5.0, LEAVES_MM),
        Gauge("taper gauge", 0.1, 0.07, 15.0),
        Gauge("steel rule", 0.5, 0.25, 500.0),
        Gauge("dial", 0.01, 0.02, 25.0),
    )
}
