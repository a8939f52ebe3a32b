"""Sizes at the utmost, which are only reckoned."""

from __future__ import annotations

from math import ceil, floor, isfinite, log10

from core.units import format_length


def format_safe(mm: float, up: bool) -> str:
    """A size at the utmost, which is only reckoned: two figures and a half, rounded to the safe side. up :
    larger is safe, "135 mm" for 134.2 mm; else smaller, "16.5 mm" for 16.9 mm"""
    if not isfinite(mm) or mm <= 0.0:
        return format_length(mm)
    power = floor(log10(mm))
    step = 0.5 * 10.0 ** (power - 1)
    steps = mm / step
    whole = ceil(steps - 1e-9) if up else floor(steps + 1e-9)
    return format_length(whole * step, decimals=max(0, 2 - power))
