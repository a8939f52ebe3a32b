"""The figures that a metal may have: how each is written, in what range it lies, and its reader."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf, isnan, nan
from typing import Any

from core.errors import InputError
from core.jobfields import Fields, MissingField
from core.metals.metal import Figure
from core.units import (
    parse_density_kg_m3,
    parse_length_mm,
    parse_number,
    parse_stress_mpa,
    parse_temperature_c,
)

AS_GIVEN = "as given"
THICKER = "thicker"


@dataclass(frozen=True)
class Quantity:
    """How one figure is read.

    parse : value and field -> number in the own unit; least, most : both allowed; between : the same
    in words; words : texts that may stand beside its numbers; units : that one without may be meant in;
    banded : it may be given by bands of thickness
    """

    parse: Callable[[Any, str], float]
    least: float
    most: float
    between: str
    words: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    banded: bool = False

    def read(self, value: Any, field: str) -> float:
        """The number, in the own unit. Raises InputError naming the field."""
        try:
            return self._within(value, field)
        except InputError:
            meant = self._meant(value, field)
            if not meant:
                raise
        raise InputError(field, value, f"write it with its unit, such as '{meant}'")

    def _meant(self, value: Any, field: str) -> str:
        """A bare number with the first unit that makes it a figure of a metal; "" where it is none."""
        for unit in self.units:
            try:
                parse_number(value, field)
                self._within(f"{value} {unit}", field)
            except InputError:
                continue
            return f"{value} {unit}"
        return ""

    def _within(self, value: Any, field: str) -> float:
        number = self.parse(value, field)
        if not self.least <= number <= self.most:
            raise InputError(field, value, f"between {self.between} is wanted")
        return number


# The bounds part what a metal can have from slips of the unit: 30 where 30 % is meant, MPa where GPa.
QUANTITIES = {
    "E": Quantity(parse_stress_mpa, 1e3, 1e6, "1 and 1000 GPa", units=("GPa", "MPa")),
    "poisson": Quantity(parse_number, 0.0, 0.499, "0 and 0.499"),
    "density": Quantity(
        parse_density_kg_m3, 500.0, 25_000.0, "500 and 25000 kg/m3", units=("kg/m3", "g/cm3")
    ),
    "proof": Quantity(parse_stress_mpa, 1.0, 5000.0, "1 and 5000 MPa"),
    "tensile": Quantity(parse_stress_mpa, 1.0, 5000.0, "1 and 5000 MPa"),
    "elongation": Quantity(parse_number, 0.001, 2.0, "0.1 % and 200 %", banded=True),
    "elongation_annealed": Quantity(parse_number, 0.001, 2.0, "0.1 % and 200 %", banded=True),
    "K": Quantity(parse_stress_mpa, 1.0, 10_000.0, "1 and 10000 MPa"),
    "n": Quantity(parse_number, 0.0, 1.0, "0 and 1"),
    "n_annealed": Quantity(parse_number, 0.0, 1.0, "0 and 1"),
    "hole_expansion": Quantity(parse_number, 0.001, 5.0, "0.1 % and 500 %"),
    "annealing": Quantity(parse_temperature_c, 20.0, 2000.0, "20 and 2000 °C", words=("how",)),
}


def figure_from(fields: Fields, name: str, own: bool) -> Figure:
    """The figure given under one of the names of ``QUANTITIES``.

    As "95 MPa" or 0.3, {"value": ..., "source": ...}, or {"low": ..., "high": ..., "source": ...} with
    either end alone where there is only a limit; some as {"by_thickness": {"0.5 mm": "12 %", "thicker":
    "14 %"}, "source": ...}, the least up to each thickness. own : the shop's own number, which may go without
    a source; any other has to name it. Raises InputError naming the field.
    """
    value, path = fields.need(name), fields.path(name)
    if not isinstance(value, Mapping):
        if not own:
            raise InputError(path, value, 'an object such as {"value": ..., "source": ...} is wanted')
        number = QUANTITIES[name].read(value, path)
        return Figure(number, number, AS_GIVEN, own)
    part = fields.part(name)
    bands = _bands(part, QUANTITIES[name])
    low, high = (min(least for _, least in bands), nan) if bands else _ends(part, QUANTITIES[name])
    source = part.text("source", AS_GIVEN if own else None)
    for word in QUANTITIES[name].words:
        part.text(word, "none")
    part.finish()
    return Figure(low, high, source, own, bands)


def _bands(part: Fields, quantity: Quantity) -> tuple[tuple[float, float], ...]:
    """The least up to each thickness in mm, rising, inf the last; none where it is not given so."""
    if not quantity.banded or not part.has("by_thickness"):
        return ()
    given, path = part.get("by_thickness"), part.path("by_thickness")
    for other in ("value", "low", "high"):
        if part.has(other):
            wanted = "'by_thickness' is given too; either that or this is wanted"
            raise InputError(part.path(other), part.get(other), wanted)
    if not isinstance(given, Mapping) or list(given)[-1:] != [THICKER]:
        wanted = (
            f'thicknesses that it goes up to, such as {{"0.5 mm": "12 %", "{THICKER}": "14 %"}}, the last'
        )
        raise InputError(path, given, f'{wanted} "{THICKER}", are wanted')
    bands = [
        (
            inf if name == THICKER else parse_length_mm(name, f"{path}.{name}"),
            quantity.read(value, f"{path}.{name}"),
        )
        for name, value in given.items()
    ]
    ends = [0.0, *(to for to, _ in bands)]
    for (name, _), before, to in zip(given.items(), ends, ends[1:], strict=False):
        if not before < to:
            raise InputError(f"{path}.{name}", name, "a thickness above the one before it is wanted")
    return tuple(bands)


def _ends(part: Fields, quantity: Quantity) -> tuple[float, float]:
    """Both ends of a range, nan where one is open; twice the same for a single value."""
    if part.has("value"):
        for end in ("low", "high"):
            if part.has(end):
                wanted = "'value' is given too; either that or 'low' and 'high' is wanted"
                raise InputError(part.path(end), part.get(end), wanted)
        number = quantity.read(part.get("value"), part.path("value"))
        return number, number
    low, high = (
        quantity.read(part.get(end), part.path(end)) if part.has(end) else nan for end in ("low", "high")
    )
    if isnan(low) and isnan(high):
        for key in ("value", "low", "high"):
            part.refuse_misspelt(key)
        raise MissingField(part.path("value"), "this, or 'low', 'high' or both, has to be given")
    if low > high:
        raise InputError(
            part.path("low"), part.get("low"), f"at most the high end, {part.get('high')}, is wanted"
        )
    return low, high
