"""Control charts of parts made one by one: individuals and moving range, run rules, capability.

Limits: ISO 7870-2, individuals and moving ranges of two. Its factors d2, E2, D4 are those of every table for
ranges of two. Run rules: tests 1, 2, 3, 5 and 6 of Nelson, J. Quality Technology 16 (1984) 237-239 (as to
ISO 7870-2, from memory: to be confirmed against the standard); his tests 4, 7 and 8 are about mixed streams
and want fourteen, fifteen and eight parts, more than a small set tells.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import erf, inf, isfinite, lgamma, log, sqrt

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]
D2, E2, D4 = 1.128, 2.660, 3.267
# With fewer parts nothing is said (common practice, no source): limits from four ranges are themselves known
# to about 45 per cent, and of ten parts the 95 % interval of a Cpk of 1.33 still goes from 0.7 to 2.0.
FEWEST_FOR_LIMITS, FEWEST_FOR_CAPABILITY = 5, 10
MOST_CAPABILITY = 100.0  # beyond, it is not searched


@dataclass(frozen=True)
class Signal:
    """A run rule that a chart breaks. test : number by Nelson, 0 for the chart of ranges; at : index of the
    part that completes it; words : what it says"""

    test: int
    at: int
    words: str


@dataclass(frozen=True)
class IndividualsChart:
    """values : (n,) in any unit; ranges : (n - 1,) of neighbours; centre, lower, upper : of the values;
    range_centre, range_upper : of the ranges, whose lower limit is 0; signals : in the order of the parts"""

    values: Array
    ranges: Array
    centre: float
    lower: float
    upper: float
    range_centre: float
    range_upper: float
    signals: tuple[Signal, ...]

    @property
    def sd(self) -> float:
        """Standard deviation by the moving ranges."""
        return self.range_centre / D2


@dataclass(frozen=True)
class Capability:
    """cpk : distance of the mean to the nearer limit over three standard deviations; low, high : its
    confidence interval; parts : how many it is from"""

    cpk: float
    low: float
    high: float
    parts: int


def individuals_chart(values: Sequence[float]) -> IndividualsChart | None:
    """The chart of values in the order of the parts; None for fewer than ``FEWEST_FOR_LIMITS`` of them.

    Raises InputError for a value that is no finite number.
    """
    x = _values(values)
    if len(x) < FEWEST_FOR_LIMITS:
        return None
    ranges = np.abs(np.diff(x))
    centre, middle = float(x.mean()), float(ranges.mean())
    chart = (centre, centre - E2 * middle, centre + E2 * middle, middle, D4 * middle)
    wide = [Signal(0, int(i) + 1, "far from the part before it") for i in np.flatnonzero(ranges > chart[-1])]
    signals = sorted([*_signals(x - centre, middle / D2), *wide], key=lambda one: (one.at, one.test))
    return IndividualsChart(x, ranges, *chart, tuple(signals))


def capability(
    values: Sequence[float], lower: float = -inf, upper: float = inf, confidence: float = 0.95
) -> Capability | None:
    """Cpk by the standard deviation of all values, against one limit or two; None for fewer than
    ``FEWEST_FOR_CAPABILITY`` values or where all are alike. It means something where the chart shows no
    signal.

    The interval is that of the nearer limit, exact for normal values with one limit (noncentral t: the
    mean lies sqrt(n) 3 Cpk standard errors away); between two limits it is a little too wide or too narrow
    at its upper end. Raises InputError for no limit, for limits in the wrong order, for a value that is no
    finite number.
    """
    x = _values(values)
    if not lower < upper or not (isfinite(lower) or isfinite(upper)):
        raise InputError(
            "limits", (lower, upper), "one finite limit, or a lower one below an upper one, is wanted"
        )
    if not 0.5 <= confidence < 1.0:
        raise InputError("confidence", confidence, "0.5 or more and less than 1 is wanted")
    n = len(x)
    sd = float(x.std(ddof=1)) if n > 1 else 0.0
    if n < FEWEST_FOR_CAPABILITY or sd <= 1e-12 * float(np.abs(x).max()):
        return None
    cpk = min(upper - float(x.mean()), float(x.mean()) - lower) / (3.0 * sd)
    least, most = (_cpk_at(cpk, n, 0.5 * (1.0 + side * confidence)) for side in (1.0, -1.0))
    return Capability(cpk, least, most, n)


def _values(values: Sequence[float]) -> Array:
    for i, value in enumerate(values):
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise InputError(f"values[{i}]", value, "a finite number is wanted")
    return np.array(values, dtype=float)


def _signals(away: Array, sd: float) -> list[Signal]:
    """Tests of values less their centre; the same run is told once, by the part that completes it."""
    rules: list[tuple[int, str, Flags]] = [
        (1, "out of line with the others", _run(np.abs(away) > E2 * D2 * sd, 1, 1)),
        (2, "the ninth in a row on one side of the middle", _either(away, lambda x: _run(x > 0.0, 9, 9))),
        (3, "the sixth in a row that rises or falls", _either(away, _rising)),
        (5, "the second of three far to one side", _either(away, lambda x: _of(x > 2.0 * sd, 2, 3))),
        (6, "the fourth of five to one side", _either(away, lambda x: _of(x > sd, 4, 5))),
    ]
    return [Signal(test, int(i), words) for test, words, found in rules for i in np.flatnonzero(found)]


def _either(away: Array, rule: Callable[[Array], Flags]) -> Flags:
    return rule(away) | rule(-away)


def _run(inside: Flags, count: int, length: int) -> Flags:
    """(n,) whether of the last ``length`` values ``count`` are inside, newly so."""
    recent = [inside[max(0, i + 1 - length) : i + 1] for i in range(len(inside))]
    held: Flags = np.array([some.sum() >= count for some in recent], dtype=bool)
    if length == 1:
        return held
    before: Flags = np.concatenate([np.zeros(1, dtype=bool), held[:-1]])
    return np.asarray(held & ~before, dtype=bool)


def _of(inside: Flags, count: int, length: int) -> Flags:
    """The same, completed by a value that is itself inside."""
    return _run(inside, count, length) & inside


def _rising(away: Array) -> Flags:
    """Six values that rise: five steps up in a row."""
    return np.concatenate([np.zeros(1, bool), _run(np.diff(away) > 0.0, 5, 5)])


def _cpk_at(cpk: float, n: int, chance: float) -> float:
    """The true Cpk at which one as large as this, or less, would be found with this chance (bisection)."""
    t = 3.0 * sqrt(n) * cpk
    low, high = -MOST_CAPABILITY, MOST_CAPABILITY
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (
            (middle, high) if _noncentral_t(t, n - 1, 3.0 * sqrt(n) * middle) > chance else (low, middle)
        )
    return 0.5 * (low + high)


def _noncentral_t(t: float, df: int, away: float) -> float:
    """Chance that noncentral t with ``df`` degrees of freedom is t or less: over the distribution of the
    sample's sd s / sigma, the chance that a normal about ``away`` is below t s (trapezium rule; both ends
    are next to nothing)."""
    s = np.linspace(1e-9, 1.0 + 6.0 / sqrt(df), 601)
    density = np.exp(
        log(2.0) + 0.5 * df * log(0.5 * df) - lgamma(0.5 * df) + (df - 1) * np.log(s) - 0.5 * df * s**2
    )
    below = np.array([0.5 * (1.0 + erf(z / sqrt(2.0))) for z in t * s - away])
    return float((below * density).sum() * (s[1] - s[0]))
