"""Readings off an original: repeats averaged, what is worn left out, and how well one reading is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array

STATED_COUNTS = 4.0  # degrees of freedom that a stated standard deviation is worth beside repeats
SAME_PLACE_MM = 1e-6


@dataclass(frozen=True)
class Spots:
    """Places that were read, in their order along the original.

    at_mm, value_mm : (n,) place and mean reading; count : (n,) readings there; reading_sd_mm : of one
    reading, from the stated one and the repeats; left_out : how many readings lie where the original is worn
    """

    at_mm: Array
    value_mm: Array
    count: Array
    reading_sd_mm: float
    left_out: int

    @property
    def sd_mm(self) -> Array:
        """(n,) standard deviation of each mean."""
        return np.asarray(self.reading_sd_mm / np.sqrt(self.count))


def spots(readings_mm: Array, stated_sd_mm: float, worn_mm: Sequence[tuple[float, float]]) -> Spots:
    """Mean reading at every place. readings_mm : (k, 2) place and reading; worn_mm : (from, to) left out.

    The variance of a reading is pooled from the stated one, worth four degrees of freedom, and the repeats.
    """
    kept = np.ones(len(readings_mm), dtype=bool)
    for low, high in worn_mm:
        kept &= (readings_mm[:, 0] < low) | (readings_mm[:, 0] > high)
    at, value = readings_mm[kept].T if kept.any() else np.zeros((2, 0))
    places, which = np.unique(np.round(at / SAME_PLACE_MM).astype(np.int64), return_inverse=True)
    count = np.bincount(which, minlength=len(places)).astype(float)
    mean = np.bincount(which, value, len(places)) / count
    apart = float(np.sum((value - mean[which]) ** 2))
    free = float(np.sum(count - 1.0))
    variance = (STATED_COUNTS * stated_sd_mm**2 + apart) / (STATED_COUNTS + free)
    return Spots(places * SAME_PLACE_MM, mean, count, float(np.sqrt(variance)), int(np.sum(~kept)))
