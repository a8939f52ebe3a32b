"""Quantities at the border: text with a unit in, plain numbers in one unit system out.

Inside the core everything is plain float in mm, rad, MPa and s, and the names say so (``_mm``,
``_rad``). Text such as ``"1500 mm"``, ``"0,5 mm"``, ``"1/16 in"`` or ``"46 deg"`` is read here and
nowhere else. Units are those of the shop (:mod:`core.dimensions`); their factors come from Pint.

A comma and a point are both decimal signs. What could be read in two ways is refused, never guessed:
two separators, spaces inside a number, ``1,500`` (one and a half, or fifteen hundred?), ``mil`` (a
thousandth of an inch, or a millimetre?), a length without a unit.
"""

from __future__ import annotations

import re
from math import degrees, exp, isfinite, isnan
from numbers import Real
from typing import Any

from core.dimensions import (
    ANGLE,
    DENSITY,
    DIMENSIONS,
    FEED,
    LENGTH,
    STRESS,
    TEMPERATURE,
    TIME,
    Dimension,
    own_factor,
    to_own,
)
from core.errors import InputError

_PLAIN = r"(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?"
_FRACTION = r"(?:(?P<whole>\d{1,6})\s+)?(?P<over>\d{1,6})\s*/\s*(?P<under>\d{1,6})"
_QUANTITY = re.compile(
    rf"(?P<sign>[+-]?)\s*(?:{_FRACTION}|(?P<plain>{_PLAIN}))\s*(?P<unit>[^\d\s.,+-].*)?", re.A
)
_TWO_SEPARATORS = re.compile(r"\d*[.,]\d*[.,]")
_GROUPED = re.compile(r"\d\s+\d")
_THOUSANDS_OR_DECIMALS = re.compile(r"[1-9]\d{0,2},\d{3}")


def parse_length_mm(value: Any, field: str, bare_unit: str | None = None) -> float:
    """A length in mm from text with a unit, a Pint quantity, or a bare number in ``bare_unit``.

    bare_unit : unit of a number that is given without one, such as "mm"; None: the unit is wanted.
    Raises InputError naming ``field`` and the value.
    """
    return _parse(value, field, LENGTH, bare_unit)


def parse_angle_rad(value: Any, field: str, bare_unit: str | None = None) -> float:
    """An angle in rad from text with a unit ("46 deg", "0.8 rad"). See :func:`parse_length_mm`."""
    return _parse(value, field, ANGLE, bare_unit)


def parse_stress_mpa(value: Any, field: str, bare_unit: str | None = None) -> float:
    """A stress or modulus in MPa from text with a unit ("70 GPa"). See :func:`parse_length_mm`."""
    return _parse(value, field, STRESS, bare_unit)


def parse_density_kg_m3(value: Any, field: str, bare_unit: str | None = None) -> float:
    """A density in kg/m3 from text with a unit ("2.7 g/cm3"). See :func:`parse_length_mm`."""
    return _parse(value, field, DENSITY, bare_unit)


def parse_temperature_c(value: Any, field: str, bare_unit: str | None = None) -> float:
    """A temperature in °C from text with a unit ("345 °C", "650 °F"). See :func:`parse_length_mm`."""
    return _parse(value, field, TEMPERATURE, bare_unit)


def parse_time_s(value: Any, field: str, bare_unit: str | None = None) -> float:
    """A time in s from text with a unit ("4 min", "30 s"). See :func:`parse_length_mm`."""
    return _parse(value, field, TIME, bare_unit)


def parse_feed_mm_s(value: Any, field: str, bare_unit: str | None = None) -> float:
    """A feed in mm/s from text with a unit ("40 mm/s", "2 m/min"). See :func:`parse_length_mm`."""
    return _parse(value, field, FEED, bare_unit)


def parse_number(value: Any, field: str) -> float:
    """A number without dimension; text may carry a decimal comma or a per cent sign ("0,4 %")."""
    if isinstance(value, str):
        amount, unit = _split(value, field, "a number such as 0.4")
        if unit not in (None, "%"):
            raise InputError(field, value, "a number without a unit is wanted")
        return amount / 100.0 if unit else amount
    return _finite(value, field, value, "a number is wanted")


def parse_reading_mm(text: Any, field: str, unit: str = "mm") -> float:
    """A gauge reading in mm as typed: "0,5 mm", "0.5", ".35", "0.020 in", "20 thou", "1/16 in".

    unit : the unit shown beside the field, in which a number without one counts.
    """
    return _parse(text, field, LENGTH, unit, "a reading such as 0.35, or with its unit, such as '0.35 mm',")


def format_length(mm: float, unit: str = "mm", decimals: int | None = None) -> str:
    """A length for a screen, "0.35 mm"; decimals by size when not given; NaN is "not known"."""
    if isnan(mm):
        return "not known"
    value = mm / own_factor(unit, LENGTH)
    places = _decimals(abs(mm), unit) if decimals is None else decimals
    return f"{_signless_zero(value, places)} {unit}"


def format_about(mm: float) -> str:
    """A length that is only reckoned, two digits of it: "25 mm", "1.2 mm"."""
    two = float(f"{mm:.2g}")
    return format_length(two, decimals=0 if two >= 10 else 1 if two >= 1 else 2)


def format_angle(rad: float, decimals: int = 1) -> str:
    """An angle for a screen in degrees, "46.0°"; NaN is "not known"."""
    return "not known" if isnan(rad) else f"{_signless_zero(degrees(rad), decimals)}°"


def format_feed(mm_per_s: float) -> str:
    """A feed for a screen, "12 mm/s", "3.5 mm/s"."""
    return f"{mm_per_s:.0f} mm/s" if mm_per_s >= 9.95 else f"{mm_per_s:.1f} mm/s"


def format_share_band(sd: float) -> str:
    """The 95 % band of a share, or of a logarithm, in per cent: "± 27 %" for a standard deviation of 0.14."""
    return f"± {196 * sd:.0f} %"


def format_with_unit(text: str, unit: str) -> str:
    """A text with its unit, "0.35 mm", "90.2°": the degree sign alone stands close (SI Brochure, 5.4.3)."""
    return f"{text}{unit}" if unit == "°" else f"{text} {unit}".strip()


def format_limit(mm: float, unit: str = "mm") -> str:
    """A limit such as a tolerance with all the decimals it needs, "0.50 mm", "0.001 mm", "0.125 mm"."""
    value = abs(mm / own_factor(unit, LENGTH))
    usual = _decimals(abs(mm), unit)
    exact = (places for places in range(usual, 9) if abs(round(value, places) - value) <= 1e-3 * value)
    return format_length(mm, unit, next(exact, 9))


def format_band(mm: float, sd_mm: float, unit: str = "mm", touching: bool = False) -> str:
    """A length with its 95 % band (1.96 standard deviations), "0.42 ± 0.10 mm", "30 ± 22 mm"; of a gap to a
    template that touches (``touching``), whose band would go below 0, "0 to 5.7 mm"; 0 where all of it would.

    Two digits of the band, and the length alike (JCGM 100:2008, 7.2.6); but from five hundredths of a mm on
    hundredths, as the gauges do, and from a tenth on about 20 mm or more tenths, as a rule does.
    """
    if isnan(mm) or isnan(sd_mm):
        return format_length(mm, unit)
    if touching and mm < 1.96 * abs(sd_mm):
        most = mm + 1.96 * abs(sd_mm)
        return f"0 to {format_about(most)}" if most > 0.0 else format_length(0.0, unit)
    factor = own_factor(unit, LENGTH)
    half = 1.96 * abs(sd_mm) / factor
    most = _decimals(100.0, unit) if abs(mm) >= 20.0 and half * factor >= 0.1 else 9
    places = min(_decimals_of_band(half, _decimals(0.0, unit)), most)
    return f"{_rounded(mm / factor, places)} ± {_rounded(half, places)} {unit}"


def _decimals_of_band(half: float, usual: int) -> int:
    """Decimals that show two digits of a band, or one where that is fine enough; below 0: tens, hundreds.
    usual : decimals that a reading is shown with"""
    two = 1 - int(f"{half:.1e}".partition("e")[2]) if half > 0.0 else usual
    return min(two, usual) if half >= 5 * 10.0**-usual else min(two, 9)


def _rounded(value: float, places: int) -> str:
    return _signless_zero(round(value, places), max(0, places))


def _parse(value: Any, field: str, dimension: Dimension, bare_unit: str | None, asked: str = "") -> float:
    wanted = asked or _wanted(dimension)
    if isinstance(value, str):
        amount, unit = _split(value, field, wanted)
        unit = bare_unit if unit is None else unit
    elif hasattr(value, "magnitude") and hasattr(value, "units"):
        return _from_quantity(value, field, dimension)
    else:
        amount, unit = _finite(value, field, value, wanted), bare_unit
    if unit is None:
        raise InputError(
            field, value, f"write it with its unit, such as '{_plain(amount)} {dimension.typed}'"
        )
    if unit not in dimension.spellings:
        raise InputError(field, value, _wrong_unit(unit, dimension, wanted))
    return _finite(to_own(amount, unit, dimension), field, value, wanted)


def _split(text: str, field: str, wanted: str) -> tuple[float, str | None]:
    """Number and unit of a text, the unit as written (None: there is none)."""
    stripped = text.strip().replace("\u2212", "-")  # the typographic minus
    if not stripped:
        raise InputError(field, text, f"{wanted} is wanted, and nothing is there")
    match = _QUANTITY.fullmatch(stripped) if len(stripped) <= 60 else None
    if match is None or _TWO_SEPARATORS.match(stripped.lstrip("+- ")):
        raise InputError(field, text, _misspelt(stripped, wanted))
    unit = match["unit"].strip() if match["unit"] else None
    if match["plain"] is None:
        amount = _fraction(match, unit, field, text)
    else:
        if _THOUSANDS_OR_DECIMALS.fullmatch(match["plain"]):
            raise InputError(field, text, _comma_choice(match["plain"]))
        amount = float(match["plain"].replace(",", "."))
    signed = -amount if match["sign"] == "-" else amount
    return _finite(signed, field, text, wanted), unit


def _fraction(match: re.Match[str], unit: str | None, field: str, text: str) -> float:
    if unit is None:
        raise InputError(field, text, f"a fraction needs its unit, such as '{text.strip()} in'")
    if int(match["under"]) == 0:
        raise InputError(field, text, "a fraction cannot be divided by 0")
    return int(match["whole"] or 0) + int(match["over"]) / int(match["under"])


def _from_quantity(value: Any, field: str, dimension: Dimension) -> float:
    try:
        amount = value.to(dimension.spellings[dimension.own]).magnitude
    except (TypeError, ValueError, AttributeError) as error:  # Pint's errors are TypeErrors
        raise InputError(field, str(value), f"{_wanted(dimension)} is wanted") from error
    return _finite(amount, field, value, _wanted(dimension))


def change_of_length(strain: float) -> str:
    """What this natural strain, > 0 shorter, does to a length: "20.1 % longer", "5.3 % shorter"."""
    share = exp(-strain) - 1.0
    return f"{100.0 * abs(share):.1f} % {'longer' if share > 0.0 else 'shorter'}"


def quantity_text(value: Any, field: str) -> str:
    """A Pint quantity as text that the parsers here read back to the same value.

    Raises InputError when it has a dimension that no field of this program takes.
    """
    if str(value.units) in ("dimensionless", "percent"):  # Pint holds angles for dimensionless, too
        return repr(_finite(value.to("dimensionless").magnitude, field, value, "a number"))
    for dimension in DIMENSIONS:
        if value.is_compatible_with(dimension.spellings[dimension.own]):
            return f"{_from_quantity(value, field, dimension)!r} {dimension.own}"
    raise InputError(
        field, str(value), "a length, angle, stress, density, temperature, time or feed is wanted"
    )


def _finite(number: Any, field: str, shown: Any, wanted: str) -> float:
    if isinstance(number, bool) or not isinstance(number, Real):
        raise InputError(field, shown, wanted if wanted.endswith("wanted") else f"{wanted} is wanted")
    try:
        amount = float(number)
    except OverflowError:
        amount = float("inf")
    if not isfinite(amount):
        raise InputError(field, shown, "a finite number is wanted")
    return amount


def _wanted(dimension: Dimension) -> str:
    return f"{dimension.noun} with its unit, such as '{dimension.example}',"


def _wrong_unit(unit: str, dimension: Dimension, wanted: str) -> str:
    if unit in ("mil", "mils") and dimension is LENGTH:
        return "'mil' means different things; write 'thou' or 'mm'"
    for other in DIMENSIONS:
        if other is not dimension and unit in other.spellings:
            return f"'{unit}' belongs to {other.noun}; {wanted} is wanted"
    return f"'{unit}' is not a unit for {dimension.noun} here; write {dimension.offered}"


def _misspelt(text: str, wanted: str) -> str:
    if _TWO_SEPARATORS.match(text.lstrip("+- ")):
        return "it has two separators; write one decimal sign and no thousands sign, such as 1234.5"
    if _GROUPED.match(text.lstrip("+- ")):
        joined = re.sub(_GROUPED, lambda found: "".join(found[0].split()), text)
        return f"write the number without spaces, such as '{joined[:40]}'"
    return f"{wanted} is wanted"


def _comma_choice(plain: str) -> str:
    return f"the comma may be read two ways; write '{plain.replace(',', '.')}' or '{plain.replace(',', '')}'"


def _plain(amount: float) -> str:
    return f"{amount:.6g}" if amount == 0.0 or 1e-4 <= abs(amount) < 1e6 else repr(amount)


def _decimals(mm: float, unit: str) -> int:
    """Decimals that show about a hundredth of a mm below 100 mm and a tenth beyond."""
    fine = mm < 100.0
    return {"mm": 2 if fine else 1, "cm": 3 if fine else 2, "m": 4, "thou": 1 if fine else 0}.get(
        unit, 4 if fine else 3
    )


def _signless_zero(value: float, places: int) -> str:
    text = f"{value:.{places}f}"
    return text.lstrip("-") if float(text) == 0.0 else text
