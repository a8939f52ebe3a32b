"""A metal and its figures, each with the place that it was taken from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf, isnan, nan

# The families of metals -> how a sentence calls one.
FAMILIES = {
    "aluminium": "aluminium and its alloys",
    "copper": "copper",
    "brass": "brass",
    "steel": "low-carbon steel",
    "stainless": "stainless steel",
    "zinc": "zinc and its alloys",
    "titanium": "titanium",
}


EVEN = 1.0 + 1e-9  # sizes that were typed alike are alike


def _band(over_mm: float, to_mm: float) -> str:
    """In words, "thickness over 0.5 up to 1.5 mm"."""
    ends = [f"over {over_mm:g}"] * (over_mm > 0.0) + [f"up to {to_mm:g}"] * (to_mm < inf)
    return f"thickness {' '.join(ends)} mm"


@dataclass(frozen=True)
class Figure:
    """One figure of a metal, a range or a single value.

    low, high : in the figure's own unit (MPa, kg/m3, °C; shares as fractions, 30 % is 0.3), equal for
    a single value, nan on a side that is open; source : where it is from; own : the shop's own number;
    by_thickness : the least by bands of thickness, (up to so many mm, least) from thin to thick, inf for the
    last; () where it is one for all. ``low`` is then the least of them
    """

    low: float
    high: float
    source: str
    own: bool = False
    by_thickness: tuple[tuple[float, float], ...] = ()

    def at(self, thickness_mm: float) -> Figure:
        """That of metal so thick, with its band in the source; the same where it is one for all."""
        over = 0.0
        for to, least in self.by_thickness:
            if thickness_mm <= to * EVEN:
                return Figure(least, self.high, f"{self.source}; {_band(over, to)}", self.own)
            over = to
        return self

    @property
    def typical(self) -> float:
        """The middle of the two ends, or the one end that is given."""
        if isnan(self.low):
            return self.high
        return self.low if isnan(self.high) else 0.5 * (self.low + self.high)


@dataclass(frozen=True)
class Metal:
    """One metal as it is formed.

    family : one of FAMILIES, "" if not said; figures : by name, "E", "proof" (yield or 0.2 % proof
    stress), "tensile" (tensile strength) and "K" in MPa, "density" in kg/m3, "annealing" in °C, "poisson",
    "elongation" (after fracture), "n" and "hole_expansion" as plain numbers, where
    true stress = K * (true plastic strain)**n; "n_annealed" and
    "elongation_annealed" where an anneal makes it another temper;
    how : how it is annealed, "" if not known;
    watch : sentences of what to watch for; also : other names that it goes by; none_given : why there is no
    figure of a name, where that is known, such as a proof stress that the standard does not ask for
    """

    name: str
    family: str
    figures: Mapping[str, Figure]
    how: str = ""
    watch: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    none_given: Mapping[str, str] = field(default_factory=dict)

    def figure(self, name: str) -> Figure | None:
        """The figure of this name, None where it is not known."""
        return self.figures.get(name)

    @property
    def e_mpa(self) -> float:
        """Young's modulus, MPa."""
        return self.figures["E"].typical

    @property
    def poisson(self) -> float:
        """Poisson's ratio."""
        return self.figures["poisson"].typical

    @property
    def density_kg_m3(self) -> float:
        """Density, kg/m3; nan where it is not known."""
        found = self.figure("density")
        return nan if found is None else found.typical
