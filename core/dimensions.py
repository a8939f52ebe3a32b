"""The dimensions that cross the border, how their units may be written, and the one Pint registry.

The registry is made when a unit other than the core's own is first met: importing Pint costs a third
of a second, which a plain ``--help`` must not pay.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any


@dataclass(frozen=True)
class Dimension:
    """One physical dimension of the border.

    noun : how a sentence calls it, with its article; own : the unit used inside; typed : the
    unit that a number without one most likely means, proposed and never assumed; example : a value
    as it should be written; spellings : what may be written -> the name of the unit in Pint;
    offered : which of those to write, in a sentence, the usual ones first
    """

    noun: str
    own: str
    typed: str
    example: str
    spellings: dict[str, str]
    offered: str


LENGTH = Dimension(
    "a length",
    "mm",
    "mm",
    "1500 mm",
    {
        "mm": "millimeter",
        "cm": "centimeter",
        "m": "meter",
        "um": "micrometer",
        "µm": "micrometer",
        "μm": "micrometer",
        "in": "inch",
        "inch": "inch",
        "inches": "inch",
        '"': "inch",
        "″": "inch",
        "ft": "foot",
        "thou": "thou",
    },
    "mm, cm or m, or for inches in, such as '4.5 in'",
)
ANGLE = Dimension(
    "an angle",
    "rad",
    "deg",
    "46 deg",
    {"rad": "radian", "mrad": "milliradian", "deg": "degree", "°": "degree", "degrees": "degree"},
    "deg or °, or rad",
)
STRESS = Dimension(
    "a stress",
    "MPa",
    "MPa",
    "70 GPa",
    {
        "MPa": "megapascal",
        "GPa": "gigapascal",
        "N/mm2": "newton/millimeter**2",
        "N/mm²": "newton/millimeter**2",
        "kN/mm2": "kilonewton/millimeter**2",
        "psi": "psi",
        "ksi": "ksi",
    },
    "MPa, GPa or N/mm2, or psi or ksi",
)
DENSITY = Dimension(
    "a density",
    "kg/m3",
    "kg/m3",
    "2700 kg/m3",
    {
        "kg/m3": "kilogram/meter**3",
        "kg/m³": "kilogram/meter**3",
        "g/cm3": "gram/centimeter**3",
        "g/cm³": "gram/centimeter**3",
    },
    "kg/m3 or g/cm3",
)
TEMPERATURE = Dimension(
    "a temperature",
    "°C",
    "°C",
    "345 °C",
    {"°C": "degC", "C": "degC", "°F": "degF", "F": "degF", "K": "kelvin"},
    "°C, °F or K",
)
TIME = Dimension(
    "a time",
    "s",
    "min",
    "4 min",
    {"s": "second", "min": "minute", "h": "hour"},
    "s, min or h",
)
FEED = Dimension(
    "a feed",
    "mm/s",
    "mm/s",
    "40 mm/s",
    {
        "mm/s": "millimeter/second",
        "mm/min": "millimeter/minute",
        "m/min": "meter/minute",
        "in/s": "inch/second",
        "in/min": "inch/minute",
        "ft/min": "foot/minute",
    },
    "mm/s, mm/min or m/min, or in/s, in/min or ft/min",
)
DIMENSIONS = (LENGTH, ANGLE, STRESS, DENSITY, TEMPERATURE, TIME, FEED)


@cache
def registry() -> Any:
    """The one Pint registry of the program, made on first use."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


@cache
def factor(unit: str, own: str) -> float:
    """How many of ``own`` one ``unit`` (Pint names) holds."""
    return float(registry().convert(1.0, unit, own))


def own_factor(unit: str, dimension: Dimension) -> float:
    """How many of the dimension's own unit one ``unit``, as it may be written, holds.

    Raises KeyError for a unit that the dimension does not know.
    """
    name = dimension.spellings[unit]
    return 1.0 if unit == dimension.own else factor(name, dimension.spellings[dimension.own])


def to_own(amount: float, unit: str, dimension: Dimension) -> float:
    """An amount in the dimension's own unit; scales of temperature have zeros of their own.

    Raises KeyError for a unit that the dimension does not know.
    """
    if dimension is not TEMPERATURE:
        return amount * own_factor(unit, dimension)
    spellings = dimension.spellings
    return float(registry().convert(amount, spellings[unit], spellings[dimension.own]))
