"""Round numbers along an axis."""

from __future__ import annotations

from math import ceil, floor, log10

STEPS = (1.0, 2.0, 5.0, 10.0)


def ticks(end: float, most: int = 4) -> tuple[float, ...]:
    """Round numbers from 0 to at most ``end`` (> 0), evenly apart, no more steps than ``most``."""
    least = end / most
    power = 10.0 ** floor(log10(least))
    step = next(s * power for s in STEPS if s * power >= least * (1 - 1e-9))
    count = floor(end / step * (1 + 1e-9))
    return tuple(round(i * step, 10) for i in range(count + 1))


def round_up(value: float) -> float:
    """The next number above a value (> 0) that has one digit, or two where that is nearer."""
    power = 10.0 ** floor(log10(value))
    return ceil(value / power * 2 - 1e-9) / 2 * power
