"""Bow and twist in a few words, from where on they count, and where they cannot be foretold."""

from __future__ import annotations

from math import isnan, radians
from typing import Protocol

import numpy as np

from core.advice import BAND
from core.kinds.base import Part
from core.units import format_about, format_angle, format_band

LEAST_BOW_MM = 0.1  # no rule would show less (common practice, no source)
LEAST_TWIST_RAD = radians(0.1)  # the last digit of a level laid on the flange (common practice, no source)
SMALL_BOW_MM, SMALL_TWIST_RAD = 1.0, radians(1.0)
"""bands that matter to nobody, however small the value (common practice, no source)"""
NAMES = ("bow", "twist")
EITHER_WAY = 0.5  # of its band's half-width, a bow that may as well be on the other side


class Aside(Protocol):
    """Bow and twist, as of :class:`core.advice.OutOfPlane`; NaN for what is not known."""

    @property
    def bow_mm(self) -> float:
        """Of either sign."""

    @property
    def bow_sd_mm(self) -> float:
        """Its standard deviation."""

    @property
    def twist_rad(self) -> float:
        """Not negative."""

    @property
    def twist_sd_rad(self) -> float:
        """Its standard deviation."""

    @property
    def side(self) -> str:
        """Where the middle stands out to."""


def bows(part: Part) -> bool:
    """Whether work bows this part; one worked evenly about its plane only keeps the bow of its stock."""
    whole: float = part.side_effects(np.abs(part.target)).get("bow_mm", 0.0)
    return abs(whole) >= LEAST_BOW_MM


def bow_foretold(effect: Aside) -> bool:
    """False where the 95 % band of the bow is wider than the bow itself: then not even its side is known."""
    return not BAND * effect.bow_sd_mm > max(abs(effect.bow_mm), SMALL_BOW_MM)


def twist_foretold(effect: Aside) -> bool:
    """The same of the twist."""
    return not BAND * effect.twist_sd_rad > max(effect.twist_rad, SMALL_TWIST_RAD)


def bow_told(effect: Aside) -> str:
    """The bow with its band and side, "16 ± 12 mm away from the upright flange"; where that means nothing
    "cannot be foretold, 0 to 30 mm away from the upright flange: read it"."""
    size, half = abs(effect.bow_mm), BAND * effect.bow_sd_mm
    if not bow_foretold(effect):
        most = format_about(size + half)
        either = size < EITHER_WAY * half
        return unforetold(f"up to {most} either way" if either else f"0 to {most} {effect.side}".strip())
    told = format_about(size) if isnan(effect.bow_sd_mm) else format_band(size, effect.bow_sd_mm)
    return f"{told} {effect.side}".strip()


def twist_told(effect: Aside) -> str:
    """The twist with its band, "3.2 ± 1.5°", "about 0.2°" where that rounds to nothing."""
    if not twist_foretold(effect):
        most = format_angle(effect.twist_rad + BAND * effect.twist_sd_rad, 0)
        return unforetold(f"0 to {most}")
    twist, half = format_angle(effect.twist_rad), format_angle(BAND * effect.twist_sd_rad)
    known = not isnan(effect.twist_sd_rad) and half != format_angle(0.0)
    return f"{twist.removesuffix('°')} ± {half}" if known else f"about {twist}"


def unforetold(range_told: str) -> str:
    """What is said in place of a value whose band is wider than itself."""
    return f"cannot be foretold, {range_told}: read it"


def bow_seen(effect: Aside) -> bool:
    """Whether the bow is worth telling: it may be seen."""
    return abs(effect.bow_mm) >= LEAST_BOW_MM or not (isnan(effect.bow_mm) or bow_foretold(effect))


def twist_seen(effect: Aside) -> bool:
    """The same of the twist."""
    return effect.twist_rad >= LEAST_TWIST_RAD or not (isnan(effect.twist_rad) or twist_foretold(effect))


def asides(effect: Aside) -> tuple[str, str]:
    """Bow and twist in words, each with its band, "" where nothing of it can be seen."""
    bow, twist = bow_seen(effect), twist_seen(effect)
    return bow_told(effect) if bow else "", twist_told(effect) if twist else ""


def beside(effect: Aside) -> str:
    """What comes with a pass, "bow 16 ± 12 mm away from the upright flange, twist 3.2 ± 1.5°"; "" where
    nothing of it can be seen."""
    return ", ".join(f"{what} {told}" for what, told in zip(NAMES, asides(effect), strict=True) if told)
