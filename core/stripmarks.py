"""What a strip of deviations shows, the same on the screen and on paper: numbers, places, signs, heights."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import floor, isfinite, log10

from core.units import format_length

HEADROOM = 1.5
"""Height of the strip at least, in tolerances"""


@dataclass(frozen=True)
class DeviationMark:
    """One site. value_mm : signed, > 0 outward of the template; low_mm, high_mm : ends of its 95 % band, None
    where it is not known; text : the number beside it, with its sign, in mm; beyond : 1 above the tolerance,
    -1 below it, 0 within"""

    at_mm: float
    value_mm: float
    low_mm: float | None
    high_mm: float | None
    text: str
    beyond: int


@dataclass(frozen=True)
class DeviationMarks:
    """sites : in their order; top_mm : height of the strip, up and down"""

    sites: tuple[DeviationMark, ...]
    top_mm: float


def deviation_marks(
    position_mm: Sequence[float],
    deviation_mm: Sequence[float],
    half_mm: Sequence[float],
    tolerance_mm: float,
    besides: Iterable[float] = (),
) -> DeviationMarks:
    """The marks of a strip. position_mm, deviation_mm, half_mm : (n,) places, deviations and half of their
    95 % bands, NaN where not known; besides : mm, what else is to be within its height"""
    sites = tuple(
        _mark(float(at), float(mm), float(half), tolerance_mm)
        for at, mm, half in zip(position_mm, deviation_mm, half_mm, strict=True)
    )
    ends = [abs(end) for site in sites for end in (site.low_mm, site.high_mm) if end is not None]
    return DeviationMarks(sites, nice_top(max([HEADROOM * tolerance_mm, *ends, *map(abs, besides)])))


def _mark(at_mm: float, mm: float, half_mm: float, tolerance_mm: float) -> DeviationMark:
    low, high = mm - half_mm, mm + half_mm
    known = isfinite(low) and isfinite(high)
    beyond = int(mm > tolerance_mm) - int(mm < -tolerance_mm)
    return DeviationMark(
        at_mm, mm, low if known else None, high if known else None, signed_length(mm), beyond
    )


def signed_length(mm: float) -> str:
    """A deviation in mm with its sign, "+0.35", "−0.20"; nothing before a nought."""
    text = format_length(abs(mm)).removesuffix(" mm")
    if not isfinite(mm) or float(text) == 0:
        return text
    return f"{'+' if mm > 0 else '−'}{text}"


def nice_top(mm: float) -> float:
    """The next of 1, 2, 5 times a power of ten, from ``mm`` up: a top for the height axis."""
    power = 10.0 ** floor(log10(mm))
    return next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= mm * (1 - 1e-9))
