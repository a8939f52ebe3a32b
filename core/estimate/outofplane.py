"""The bow out of the plane, learned from what was read of it.

The elastic formula says what bow comes with the work of each pass. Metal that has yielded bows less, so

    bow = bow of the stock + sum over passes of factor[k] * formula[k],    factor[k] = common + own[k]

Everything is Gaussian beforehand and linear, so plain conditioning is exact. The factors stand on finite
elements made for this project (tests/reference/fe_out_of_plane.csv): against the bend in the plane that goes
with it, the bow of an angle is 1.00 to 0.72 of the formula's for one stroke of 0.1 to 3 % on soft metal, 0.84
over a first pass of 1 % strokes and 0.36 over a second one, 0.83 to 0.36 for a tool that grips and lets go
(0.95 for light strokes).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, read

Array = NDArray[np.float64]
FACTOR = 0.65  # mean of the finite-element runs
COMMON_SD = 0.2  # from job to job
OWN_SD = 0.2  # from pass to pass: 0.84 and 0.36 in the two passes of one run
READING_SD_MM = 0.3  # rule or wedge under the bar on a bench plate (common practice, no source)
STOCK_SD_MM = 0.7  # bow of one metre of bought bar (common practice, no source)
ANYTHING_SD_MM = 1000.0  # what work on another edge may have done: the reading after it starts anew


@dataclass(frozen=True)
class BowReading:
    """A bow as read after so many passes; countered : work elsewhere changed it since it was last read."""

    passes: int
    bow_mm: float
    countered: bool = False


@dataclass(frozen=True)
class Bowing:
    """What is believed: bow of the stock, common factor, (p,) own factors, (j,) changes by work elsewhere."""

    belief: Belief
    passes: int

    def bow(self, formula_mm: Array) -> tuple[float, float]:
        """Bow and its standard deviation, mm, after the first passes; formula_mm : (k,) bow of each."""
        row = _row(self.passes, len(self.belief.mean), formula_mm, len(self.belief.mean))
        return float(row @ self.belief.mean), float(np.sqrt(row @ self.belief.cov @ row))

    def factors(self, count: int) -> tuple[Array, Array]:
        """Factor of each of the first passes: mean (count,) and covariance (count, count)."""
        rows = np.zeros((count, len(self.belief.mean)))
        rows[:, 1] = 1.0
        rows[np.arange(count), 2 + np.arange(count)] = 1.0
        return rows @ self.belief.mean, rows @ self.belief.cov @ rows.T


def learned(formula_mm: Array, readings: Sequence[BowReading], length_mm: float) -> Bowing:
    """The belief after all readings, in their order.

    formula_mm : (p,) bow that the elastic formula gives each pass, those still to come included;
    length_mm : of the bar; the bow of the stock is that of an even curvature.
    """
    passes = len(formula_mm)
    jumps = sum(reading.countered for reading in readings)
    prior = unread(passes, jumps, length_mm)
    rows = reading_rows(formula_mm, readings)
    found = np.array([reading.bow_mm for reading in readings])
    if not len(found):
        return Bowing(prior, passes)
    update = read(prior, rows, found - rows @ prior.mean, np.full(len(found), READING_SD_MM**2))
    return Bowing(update.belief, passes)


def unread(passes: int, jumps: int, length_mm: float) -> Belief:
    """The belief before any reading of the bow."""
    mean = np.concatenate([[0.0, FACTOR], np.zeros(passes + jumps)])
    stock = STOCK_SD_MM * (length_mm / 1000.0) ** 2
    sd = np.concatenate([[stock, COMMON_SD], np.full(passes, OWN_SD), np.full(jumps, ANYTHING_SD_MM)])
    return Belief(mean, np.diag(sd**2))


def reading_rows(formula_mm: Array, readings: Sequence[BowReading]) -> Array:
    """(r, 2 + p + j) slopes of each reading by what is not known."""
    passes = len(formula_mm)
    size = 2 + passes + sum(reading.countered for reading in readings)
    rows = np.zeros((len(readings), size))
    seen = 2 + passes
    for row, reading in zip(rows, readings, strict=True):
        seen += reading.countered
        row[:] = _row(passes, size, formula_mm[: reading.passes], seen)
    return rows


def _row(passes: int, size: int, formula_mm: Array, seen: int) -> Array:
    """Slopes of the bow after the passes of this formula; seen : end of the changes that count by then."""
    row = np.zeros(size)
    row[0], row[1] = 1.0, formula_mm.sum()
    row[2 : 2 + len(formula_mm)] = formula_mm
    row[2 + passes : seen] = 1.0
    return row
