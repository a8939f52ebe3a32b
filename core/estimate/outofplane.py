"""The bow out of the plane, learned from what was read of it.

The elastic formula says what bow comes with the work of each pass. Metal that has yielded bows less, so

    bow = bow of the stock + sum over passes of factor[k] * formula[k],    factor[k] = common + own[k]

Counter-work adds what the formula gives it, times a share that all of it has in common and one of its own.
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
from core.estimate.moves import COUNTER_OWN_SD
from core.estimate.response import STRAIGHT

Array = NDArray[np.float64]
FACTOR = 0.65  # mean of the finite-element runs
COMMON_SD = 0.2  # from job to job
OWN_SD = 0.2  # from pass to pass: 0.84 and 0.36 in the two passes of one run
READING_SD_MM = 0.3  # rule or wedge under the bar on a bench plate (common practice, no source)
STOCK_SD_MM = 0.7  # bow of one metre of bought bar (common practice, no source)
ANYTHING_SD_MM = 1000.0  # what work that is not in the log may have done: the reading after it starts anew


@dataclass(frozen=True)
class BowReading:
    """A bow as read after so many passes and so much counter-work; countered : work that is not in the log
    changed it since it was last read."""

    passes: int
    bow_mm: float
    countered: bool = False
    counters: int = 0


@dataclass(frozen=True)
class Counters:
    """All counter-work done. formula_mm : (q,) bow that the elastic formula gives each; share : mean and
    standard deviation of what they do of it"""

    formula_mm: Array
    share: tuple[float, float]


NO_COUNTERS = Counters(np.zeros(0), STRAIGHT)


@dataclass(frozen=True)
class _Places:
    """Where each unknown stands: bow of the stock, common factor, (p,) own factors, (j,) changes by work that
    is not in the log, share of counter-work, (q,) own shares."""

    passes: int
    jumps: int
    counters: int

    @property
    def size(self) -> int:
        return self.share + 1 + self.counters

    @property
    def share(self) -> int:
        return 2 + self.passes + self.jumps

    def row(self, formula_mm: Array, jumps: int, counters_mm: Array) -> Array:
        """Slopes of the bow after the passes and the counter-work of these formulas, and so many changes."""
        row = np.zeros(self.size)
        row[0], row[1], row[self.share] = 1.0, formula_mm.sum(), counters_mm.sum()
        row[2 : 2 + len(formula_mm)] = formula_mm
        row[2 + self.passes : 2 + self.passes + jumps] = 1.0
        row[self.share + 1 : self.share + 1 + len(counters_mm)] = counters_mm
        return row


@dataclass(frozen=True)
class Bowing:
    """What is believed of all unknowns, for the passes and the counter-work there are."""

    belief: Belief
    places: _Places
    counters: Counters

    def bow(self, formula_mm: Array) -> tuple[float, float]:
        """Bow and its standard deviation, mm, after the first passes; formula_mm : (k,) bow of each."""
        row = self.places.row(formula_mm, self.places.jumps, self.counters.formula_mm)
        return float(row @ self.belief.mean), float(np.sqrt(row @ self.belief.cov @ row))

    def factors(self, count: int) -> tuple[Array, Array]:
        """Factor of each of the first passes: mean (count,) and covariance (count, count)."""
        rows = np.zeros((count, len(self.belief.mean)))
        rows[:, 1] = 1.0
        rows[np.arange(count), 2 + np.arange(count)] = 1.0
        return rows @ self.belief.mean, rows @ self.belief.cov @ rows.T

    @property
    def share(self) -> tuple[float, float]:
        """Share of the formula that counter-work does, and its standard deviation."""
        at = self.places.share
        return float(self.belief.mean[at]), float(np.sqrt(self.belief.cov[at, at]))


def learned(
    formula_mm: Array, readings: Sequence[BowReading], length_mm: float, counters: Counters = NO_COUNTERS
) -> Bowing:
    """The belief after all readings, in their order.

    formula_mm : (p,) bow that the elastic formula gives each pass, those still to come included;
    length_mm : of the bar; the bow of the stock is that of an even curvature.
    """
    prior = unread(len(formula_mm), sum(r.countered for r in readings), length_mm, counters)
    places, rows = _places(formula_mm, readings, counters), reading_rows(formula_mm, readings, counters)
    found = np.array([reading.bow_mm for reading in readings])
    if not len(found):
        return Bowing(prior, places, counters)
    update = read(prior, rows, found - rows @ prior.mean, np.full(len(found), READING_SD_MM**2))
    return Bowing(update.belief, places, counters)


def unread(passes: int, jumps: int, length_mm: float, counters: Counters = NO_COUNTERS) -> Belief:
    """The belief before any reading of the bow."""
    more = len(counters.formula_mm)
    share, share_sd = counters.share
    mean = np.concatenate([[0.0, FACTOR], np.zeros(passes + jumps), [share], np.zeros(more)])
    stock = STOCK_SD_MM * (length_mm / 1000.0) ** 2
    own, any_ = np.full(passes, OWN_SD), np.full(jumps, ANYTHING_SD_MM)
    sd = np.concatenate([[stock, COMMON_SD], own, any_, [share_sd], np.full(more, COUNTER_OWN_SD)])
    return Belief(mean, np.diag(sd**2))


def reading_rows(
    formula_mm: Array, readings: Sequence[BowReading], counters: Counters = NO_COUNTERS
) -> Array:
    """(r, m) slopes of each reading by what is not known."""
    places, seen, rows = _places(formula_mm, readings, counters), 0, []
    for reading in readings:
        seen += reading.countered
        done = counters.formula_mm[: reading.counters]
        rows.append(places.row(formula_mm[: reading.passes], seen, done))
    return np.array(rows).reshape(len(rows), places.size)


def _places(formula_mm: Array, readings: Sequence[BowReading], counters: Counters) -> _Places:
    return _Places(len(formula_mm), sum(r.countered for r in readings), len(counters.formula_mm))
