"""The machine that a shop has: how far the metal reaches into it, how thick it may be, how it is driven."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf, isnan, nan

from core.forming.capacity import RULES, largest_thickness_mm
from core.forming.hardening import tensile_strength_mpa
from core.metals import Metal

RATED_STRENGTH_MPA = 400.0  # machines are rated for mild steel of about this strength (common practice)


@dataclass(frozen=True)
class Strength:
    """Tensile strength that a machine's rating is held against, MPa; source : where it is from"""

    mpa: float
    source: str


def strength_of(metal: Metal) -> Strength | None:
    """Of this metal, None where it is not known.

    Of a range its middle. Where there is a least one alone, sheet may be much stronger: then what K and n
    make of it where a strip begins to neck, K (n/e)^n (Considere), counts if that is more.
    """
    given = metal.figure("tensile")
    if given is None:
        return None
    k, n = metal.figure("K"), metal.figure("n")
    if not isnan(given.high) or k is None or n is None:
        return Strength(given.typical, given.source)
    reckoned = float(tensile_strength_mpa(k.typical, n.typical))
    if reckoned <= given.low:
        return Strength(given.low, given.source)
    least = f"at least {given.low:.0f} MPa and no upper end: {given.source}"
    return Strength(reckoned, f"by K and n; {least}")


@dataclass(frozen=True)
class Machine:
    """One machine; what nobody said of it holds nothing back.

    throat_mm : from the middle of the tool to the frame, so deep the worked edge may reach in;
    rated_thickness_mm : of metal whose tensile strength is rated_strength_mpa (MPa); thickness_limits_mm : by
    name or family of a metal, as they stand in the machine's own table; stroke_rates : slowest and fastest,
    strokes a minute; feeds_mm_per_s : slowest and fastest that the edge is moved, by its drive or by hand;
    settings_mm : least and largest ram setting
    """

    name: str = ""
    throat_mm: float = inf
    rated_thickness_mm: float = inf
    rated_strength_mpa: float = RATED_STRENGTH_MPA
    thickness_limits_mm: Mapping[str, float] = field(default_factory=dict)
    stroke_rates: tuple[float, float] = (0.0, inf)
    feeds_mm_per_s: tuple[float, float] = (0.0, inf)
    settings_mm: tuple[float, float] = (0.0, inf)

    def __str__(self) -> str:
        return self.name or "this machine"

    def rate(self, wanted: float) -> float:
        """Strokes a minute: as many as are wanted, or the nearest that the machine makes."""
        slowest, fastest = self.stroke_rates
        return min(max(wanted, slowest), fastest)

    def listed_mm(self, metal: Metal) -> float:
        """What the machine's own table says of this metal, its name before its family; nan: nothing."""
        limits = self.thickness_limits_mm
        return next((limits[n] for n in (metal.name, *metal.also, metal.family) if n in limits), nan)

    def rated_mm(self, metal: Metal) -> float:
        """Thickness of this metal that the rated force is enough for; nan where its strength is not known.

        Which rule a shrinking tool follows is not known: the more cautious of the two is taken (common
        practice, a guard and no rating).
        """
        if self.rated_thickness_mm == inf:
            return inf
        strength = strength_of(metal)
        if strength is None:
            return nan
        rated, at = self.rated_thickness_mm, self.rated_strength_mpa
        return min(float(largest_thickness_mm(rated, at, strength.mpa, rule)) for rule in RULES)
