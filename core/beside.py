"""Bow and twist in a few words, and from where on they count."""

from __future__ import annotations

from math import radians

import numpy as np

from core.kinds.base import Part
from core.units import format_about, format_angle

LEAST_BOW_MM = 0.1  # no rule would show less (common practice, no source)
LEAST_TWIST_RAD = radians(0.1)  # the last digit of a level laid on the flange (common practice, no source)


def bows(part: Part) -> bool:
    """Whether work bows this part; one worked evenly about its plane only keeps the bow of its stock."""
    whole: float = part.side_effects(np.abs(part.target)).get("bow_mm", 0.0)
    return abs(whole) >= LEAST_BOW_MM


def beside(bow_mm: float, twist_rad: float) -> str:
    """What comes with a pass, "bow 1.2 mm, twist 0.8°"; "" where nothing of it can be seen.

    bow_mm : of either sign; NaN for what is not known
    """
    bow = f"bow {format_about(abs(bow_mm))}" if abs(bow_mm) >= LEAST_BOW_MM else ""
    twist = f"twist {format_angle(twist_rad)}" if twist_rad >= LEAST_TWIST_RAD else ""
    return ", ".join(filter(None, (bow, twist)))
