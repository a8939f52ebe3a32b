"""The machine from the fields of a job document."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from core.errors import InputError
from core.jobfields import Fields, in_range, nearest, pair
from core.machine import RATED_STRENGTH_MPA, Machine
from core.metals import FAMILIES, METALS, Metal
from core.metals.figures import QUANTITIES
from core.units import format_feed, format_length, parse_feed_mm_s, parse_length_mm, parse_number

DEEPEST_MM, THICKEST_MM, FASTEST, LARGEST_SETTING_MM = 5000.0, 25.0, 3000.0, 500.0  # no shop's has more
FASTEST_FEED_MM_S = 1000.0


def machine_from(fields: Fields | None, metal: Metal) -> Machine | None:
    """The machine as the shop gives it, None where it does not.

    fields : the job's "machine"; metal : of the job, whose name may stand in the table of thicknesses. Raises
    InputError naming the field.
    """
    if fields is None:
        return None
    machine = Machine(
        name=fields.text("name") if fields.has("name") else Machine.name,
        throat_mm=length_or(fields, "throat", Machine.throat_mm, DEEPEST_MM),
        rated_thickness_mm=length_or(fields, "rated_thickness", Machine.rated_thickness_mm, THICKEST_MM),
        rated_strength_mpa=_rated_strength(fields),
        thickness_limits_mm=_thickness_limits(fields, metal),
        stroke_rates=_stroke_rates(fields),
        feeds_mm_per_s=_feeds(fields),
        settings_mm=_settings_range(fields),
    )
    fields.finish()
    return machine


def length_or(fields: Fields, key: str, otherwise: float, most: float) -> float:
    """A length in mm above 0 and up to ``most``; ``otherwise`` where none is given."""
    return fields.length_mm(key, most=most) if fields.has_length(key) else otherwise


def _rated_strength(fields: Fields) -> float:
    if not fields.has("rated_strength"):
        return RATED_STRENGTH_MPA
    if not fields.has_length("rated_thickness"):
        wanted = "'rated_thickness' is wanted with it: this is the metal that it counts for"
        raise InputError(fields.path("rated_strength"), fields.get("rated_strength"), wanted)
    value, path = fields.get("rated_strength"), fields.path("rated_strength")
    return QUANTITIES["tensile"].read(value, path)


def _thickness_limits(fields: Fields, metal: Metal) -> dict[str, float]:
    """Thickness in mm by family or by the name of a metal: of the table, or the job's own."""
    given, path = fields.get("thickness_limits", {}), fields.path("thickness_limits")
    if not isinstance(given, Mapping):
        raise InputError(path, given, 'metals with thicknesses, such as {"aluminium": "2 mm"}, are wanted')
    known = dict.fromkeys([*FAMILIES, *METALS, *metal.also, metal.name])
    for name in given:
        if name not in known and name not in METALS:
            wanted = f"the name of a metal or of a family is wanted{nearest(name, known)}"
            raise InputError(f"{path}.{name}", name, wanted)
    return {name: _limit_mm(value, f"{path}.{name}") for name, value in given.items()}


def _limit_mm(value: Any, path: str) -> float:
    return in_range(parse_length_mm(value, path), path, value, above=0.0, most=THICKEST_MM, unit="mm")


def _stroke_rates(fields: Fields) -> tuple[float, float]:
    if not fields.has("stroke_rates"):
        return Machine.stroke_rates
    value, path = fields.get("stroke_rates"), fields.path("stroke_rates")
    slowest, fastest = pair(value, path, parse_number, "slowest and fastest, strokes a minute")
    in_range(slowest, f"{path}[0]", value[0], above=0.0, most=FASTEST)
    in_range(fastest, f"{path}[1]", value[1], above=0.0, most=FASTEST)
    return _rising(slowest, fastest, path, value)


def _feeds(fields: Fields) -> tuple[float, float]:
    if not fields.has("feeds"):
        return Machine.feeds_mm_per_s
    value, path = fields.get("feeds"), fields.path("feeds")
    ends = pair(value, path, parse_feed_mm_s, "slowest and fastest feed")
    for i, end in enumerate(ends):
        if not 0.0 <= end <= FASTEST_FEED_MM_S or (i and end == 0.0):
            wanted = f"a feed from 0 to {format_feed(FASTEST_FEED_MM_S)} is wanted, the fastest above 0"
            raise InputError(f"{path}[{i}]", value[i], wanted)
    return _rising(*ends, path, value)


def _settings_range(fields: Fields) -> tuple[float, float]:
    if not (fields.has("settings_range") or fields.has("settings_range_mm")):
        return Machine.settings_mm
    value, path, bare = fields.lengths("settings_range")
    ends = pair(value, path, lambda end, at: parse_length_mm(end, at, bare), "least and largest ram setting")
    for i, end in enumerate(ends):
        if not 0.0 <= end <= LARGEST_SETTING_MM:
            most = format_length(LARGEST_SETTING_MM)
            raise InputError(f"{path}[{i}]", value[i], f"a length from 0 to {most} is wanted")
    return _rising(*ends, path, value)


def _rising(low: float, high: float, path: str, shown: Any) -> tuple[float, float]:
    if low > high:
        raise InputError(path, shown, "the lesser of the two first is wanted")
    return low, high
