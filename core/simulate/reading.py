"""How an operator reads a true gap with a gauge."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.readings.gauges import Gauge

Array = NDArray[np.float64]
COARSE = "steel rule"
"""what an operator takes up where the usual gauge ends"""


def read_off(
    true_mm: Array, gauge: Gauge, touches: bool, rng: np.random.Generator
) -> list[float | str | None]:
    """One entry a station: rounded mm, "touching" under half a step, "beyond" past the gauge, or None.

    touches : the template lies on the part, so that no gap can read below nothing.
    """
    felt = true_mm + gauge.repeatability_mm * rng.normal(size=len(true_mm))
    return [_entry(float(gap), gauge, touches) for gap in felt]


def _entry(gap: float, gauge: Gauge, touches: bool) -> float | str | None:
    if np.isnan(gap):
        return None
    if gap > gauge.largest_mm:
        return "beyond"
    if touches and gap < 0.5 * gauge.step_mm:
        return "touching"
    if gap < -gauge.largest_mm:
        return None
    # Ten places take the dust of binary fractions off a multiple of the step.
    return round(round(gap / gauge.step_mm) * gauge.step_mm, 10)


def whole_round(
    fine: list[float | str | None], coarse: list[float | str | None]
) -> tuple[list[float | str | None], list[str | None]]:
    """A round as it is really taken: by the fine gauge, and by the coarse one where that ends.

    Returns the readings and, site by site, the coarse gauge's name where it was taken.
    """
    far = [gap == "beyond" for gap in fine]
    gaps = [rough if beyond else gap for gap, rough, beyond in zip(fine, coarse, far, strict=True)]
    return gaps, [COARSE if beyond else None for beyond in far]
