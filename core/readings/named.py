"""Gauges and templates as a document or an event names them."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Any

from core.calibrationdoc import calibration_from
from core.errors import InputError
from core.jobfields import Fields, chosen
from core.readings.gauges import GAUGES, Gauge
from core.readings.templates import ACROSS, TEMPLATES, Template, sweep
from core.units import parse_angle_rad

COARSEST_MM = 50.0
RIM_GAUGE = "steel rule"  # what a diameter or a height of the rim is read with where nothing else is said
KNOWN = {**TEMPLATES, **ACROSS}


def meridian_rad(value: Any, field: str) -> float:
    """Angle round the axis from the mark: degrees from 0 to 360, or text with a unit. Raises InputError."""
    angle = parse_angle_rad(value, field, bare_unit="deg")
    if not 0.0 <= angle <= 2.0 * pi * (1.0 + 1e-9):
        raise InputError(field, value, "an angle round the axis from 0° to 360° is wanted")
    return angle


def gauge_from(value: Any, field: str = "gauge") -> Gauge:
    """The gauge of this name, or one given as a mapping.

    value : "feeler leaves", a Gauge, or {"name": ..., "step": "0.05 mm", "repeatability": "0.03 mm",
    "largest": "5 mm"}, where a name from the table supplies what is left out; "uncertainty", "calibrated" and
    "interval_months" of an own one if they are known.
    Raises InputError naming the field.
    """
    if isinstance(value, Gauge):
        return value
    if isinstance(value, str):
        return GAUGES[chosen(value, field, GAUGES)]
    fields = Fields(value, field)
    name = fields.text("name")
    known = GAUGES.get(name)
    step = fields.length_mm("step", known.step_mm if known else None, most=COARSEST_MM)
    repeatability = fields.length_mm(
        "repeatability", known.repeatability_mm if known else None, most=COARSEST_MM
    )
    largest = fields.length_mm("largest", known.largest_mm if known else None, most=5000.0)
    has_own = fields.has_length("uncertainty")
    own = fields.length_mm("uncertainty", most=COARSEST_MM) if has_own else 0.0
    calibration = calibration_from(fields)
    fields.finish()
    if largest <= step:
        path, shown = fields.shown("largest")
        raise InputError(path, shown, f"more than one step of the gauge, {step:g} mm, is wanted")
    leaves = tuple(leaf for leaf in known.leaves_mm if leaf <= largest) if known else ()
    return Gauge(name, step, repeatability, largest, leaves, own, calibration)


def gauges_of(value: Any, usual: Gauge, count: int, field: str = "gauge") -> list[Gauge]:
    """The gauge used at each of ``count`` stations of one round.

    value : one gauge for all (None: the usual one), a list with one entry a station, or a mapping from
    station to gauge; None in either stands for the usual one.
    """
    if isinstance(value, list | tuple):
        if len(value) != count:
            wanted = f"one gauge, or {count}, one a station, is wanted"
            raise InputError(field, f"{len(value)} entries", wanted)
        return [usual if g is None else gauge_from(g, f"{field}[{i}]") for i, g in enumerate(value)]
    if isinstance(value, dict) and value and all(isinstance(key, int) for key in value):
        return [usual if value.get(i) is None else gauge_from(value[i], field) for i in range(count)]
    return [usual if value is None else gauge_from(value, field)] * count


def template_from(value: Any, field: str = "template", length_mm: float | None = None) -> Template:
    """The template of this name, or one given as a mapping.

    value : "inside", "outside", "layout line", a Template, {"sweep": "200 mm"} for a short one of that
    chord that is moved along, or {"name": "inside", "sd": "0.1 mm"} where its own error is known.
    length_mm : of the bar, which a sweep has to be shorter than. Raises InputError naming the field.
    """
    if isinstance(value, Template):
        return value
    if isinstance(value, str):
        return KNOWN[chosen(value, field, {**KNOWN, 'an object {"sweep": "200 mm"}': None})]
    fields = Fields(value, field)
    if fields.one_of("name", "sweep", "sweep_mm") == "name":
        template = KNOWN[fields.choice("name", KNOWN)]
    else:
        template = sweep(_chord_mm(fields, length_mm))
    sd = fields.length_mm("sd", template.sd_mm, most=COARSEST_MM)
    fields.finish()
    return replace(template, sd_mm=sd)


def _chord_mm(fields: Fields, length_mm: float | None) -> float:
    chord = fields.length_mm("sweep")
    if length_mm is not None and chord >= length_mm:
        path, shown = fields.shown("sweep")
        raise InputError(path, shown, f"less than the length of the bar, {length_mm:.6g} mm, is wanted")
    return chord
