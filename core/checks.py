"""The checks of a finished part beside its gaps: what is read, with what, within which limits.

A job names its own; one that names none has the usual ones of its kind. Limits of the table, and the
uncertainties of its gauges, stand where the drawing says nothing else: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import degrees
from typing import Any

from core.calibration import Calibration
from core.calibrationdoc import calibration_from
from core.errors import InputError
from core.jobfields import Fields, listed
from core.readings.gauges import GAUGES
from core.setplace import MOST_PARTS, SetPlace
from core.units import format_with_unit, parse_angle_rad, parse_length_mm

NOT_NEEDED = "does not apply"
EVERY, ENDS = "every part", "first and last"
MOST_CHECKS = 50


def _mm(value: Any, field: str, bare: bool = False) -> float:
    return parse_length_mm(value, field, "mm" if bare else None)


def _degrees(value: Any, field: str, bare: bool = False) -> float:
    return degrees(parse_angle_rad(value, field, "deg" if bare else None))


# What is read -> its unit as shown, how its text is read, decimals that are shown.
QUANTITIES: dict[str, tuple[str, Callable[..., float], int]] = {
    "length": ("mm", _mm, 2),
    "angle": ("°", _degrees, 1),
}
LOOK = "look"


@dataclass(frozen=True)
class Check:
    """One check.

    gauge, sd : what it is read with, and the standard uncertainty of a reading, in the unit;
    unit : "mm", "°" or "" where words are chosen; low, high : limits in it, None where there is none;
    answers : words to choose from, and whether each is good; required : may not be left out as "does not
    apply"; of : name of what a part has to have for the check to be usual, "" for any; usual : whether a job
    that names no checks has it; sampling : "every part", "first and last", or n for one part in n, the first
    among them; photo : whether a picture belongs to it; bow : whether it reads the bow out of the plane
    """

    name: str
    label: str
    gauge: str
    unit: str = ""
    sd: float = 0.0
    low: float | None = None
    high: float | None = None
    decimals: int = 2
    answers: tuple[tuple[str, bool], ...] = ()
    required: bool = False
    of: str = ""
    usual: bool = True
    sampling: str | int = EVERY
    photo: bool = False
    bow: bool = False
    calibration: Calibration | None = None

    @property
    def limit(self) -> str:
        """The limits in words."""
        if self.answers:
            return " or ".join(word for word, good in self.answers if good)
        if self.low is not None and self.high is not None:
            return f"{self.shown(self.low)} to {self.told(self.high)}"
        if self.high is not None:
            return f"at most {self.told(self.high)}"
        return "no limit set" if self.low is None else f"at least {self.told(self.low)}"

    @property
    def sampled(self) -> str:
        """Which parts it is made on, in words."""
        return (
            self.sampling if isinstance(self.sampling, str) else f"first and every {self.sampling} after it"
        )

    def shown(self, value: float) -> str:
        """A value with the decimals that its gauge can tell."""
        return f"{value:.{self.decimals}f}"

    def told(self, value: float) -> str:
        """The same with the unit."""
        return format_with_unit(self.shown(value), self.unit)

    def parse(self, text: str) -> float:
        """A typed value in the unit of the check. Raises InputError, also below 0."""
        if self.answers:
            raise InputError(self.name, text, f"one of {', '.join(w for w, _ in self.answers)} is wanted")
        value = (_mm if self.unit == "mm" else _degrees)(text, self.name, bare=True)
        if value < 0:
            raise InputError(self.name, text, "a size of 0 or more is wanted; leave the direction out")
        return value

    def is_due(self, place: SetPlace | None) -> bool:
        """Whether the part at this place of its set is to be checked. Where nothing tells, it is."""
        if place is None or self.sampling == EVERY:
            return True
        if self.sampling == ENDS:
            return place.part == 1 or place.of is None or place.part == place.of
        return (place.part - 1) % int(self.sampling) == 0


BAR, FLANGE, DISH, RIM = "section", "bend", "rings_mm", "rim"
MARKS = (("none", True), ("dressed out", True), ("too deep", False))
# The checks that the program knows by name.
CHECKS: tuple[Check, ...] = (
    Check("section angle", "Section angle", "bevel protractor", "°", 0.1, 89.0, 91.0, 1, of=BAR),
    Check("twist", "Twist end to end", "level on both ends", "°", 0.1, None, 1.0, 1, of=BAR),
    Check("flatness", "Rise off the bench plate", "feeler leaves", "mm", 0.03, high=1.0, of=BAR, bow=True),
    Check("plate", "Rise of the plate off the bench", "feeler leaves", "mm", 0.03, high=1.0, of=FLANGE),
    Check("height", "Height of the flange, least", "steel rule", "mm", 0.15, decimals=1, of=FLANGE),
    Check(RIM, "Diameter of the rim, mean of four", "steel rule", "mm", 0.3, decimals=1, of=DISH),
    Check("round", "Rim, largest less least diameter", "steel rule", "mm", 0.3, None, 2.0, 1, of=DISH),
    Check("surface marks", "Surface marks", "eye and fingernail", answers=MARKS, required=True, photo=True),
    Check("thickness", "Thinnest place", "micrometer", "mm", 0.01),
    Check("length", "Length over all", "steel rule", "mm", 0.3, decimals=1, usual=False),
    Check("hole positions", "Hole farthest off its place", "caliper", "mm", 0.03, high=0.5, usual=False),
)
BY_NAME = {check.name: check for check in CHECKS}


def usual_checks(part: Any) -> tuple[Check, ...]:
    """The checks that make sense for this part where its job names none."""
    return tuple(check for check in CHECKS if check.usual and (not check.of or hasattr(part, check.of)))


def limited(check: Check, part: Any, tolerance_mm: float) -> Check:
    """A check of the rim's diameter without limits of its own: as wanted, a tolerance of the gaps either side
    (common practice, no source)."""
    if check.name != RIM or not hasattr(part, "rim_radius_mm") or (check.low, check.high) != (None, None):
        return check
    wanted, either = 2.0 * part.rim_radius_mm, 2.0 * tolerance_mm
    return replace(check, low=wanted - either, high=wanted + either)


def checks_from(fields: Fields, part: Any, tolerance_mm: float) -> tuple[Check, ...]:
    """The checks in "checks" of a job: names of the table, or objects. Raises InputError naming the field."""
    return tuple(limited(check, part, tolerance_mm) for check in _named(fields, part))


def _named(fields: Fields, part: Any) -> tuple[Check, ...]:
    if not fields.has("checks"):
        return usual_checks(part)
    path = fields.path("checks")
    found: list[Check] = []
    for i, entry in enumerate(listed(fields.get("checks"), path, least=0, most=MOST_CHECKS)):
        given = {"name": entry} if isinstance(entry, str) else entry
        check = _check(Fields(given, f"{path}[{i}]"))
        if check.name in {other.name for other in found} | {"gaps", "smoothing"}:
            raise InputError(f"{path}[{i}].name", check.name, "a name that no other check has is wanted")
        found.append(check)
    return tuple(found)


def _check(fields: Fields) -> Check:
    name = fields.text("name")
    known = BY_NAME.get(name)
    usual = LOOK if known and known.answers else "angle" if known and known.unit == "°" else "length"
    quantity = fields.choice("quantity", {**QUANTITIES, LOOK: None}) if fields.has("quantity") else usual
    start = known if known and quantity == usual else Check(name, name[:1].upper() + name[1:], "")
    made = replace(
        _looked(fields, start) if quantity == LOOK else _measured(fields, start, *QUANTITIES[quantity]),
        label=fields.text("label", start.label),
        required=fields.flag("required", True),
        sampling=_sampling(fields),
        photo=fields.flag("photo", start.photo),
    )
    fields.finish()
    return made


def _sampling(fields: Fields) -> str | int:
    """ "every part", "first and last", or n: of n parts one, the first among them."""
    given = fields.get("sampling", EVERY)
    if isinstance(given, str) and given.strip() in (EVERY, ENDS):
        return given.strip()
    try:
        n = fields.whole("sampling", most=MOST_PARTS)
    except InputError as error:
        wanted = f"'{EVERY}', '{ENDS}' or a whole number n, for one part in n, is wanted"
        raise InputError(fields.path("sampling"), given, wanted) from error
    return EVERY if n == 1 else n


def _looked(fields: Fields, start: Check) -> Check:
    """Words to choose from; the eye has no uncertainty that could be told."""
    answers = start.answers or (("right", True), ("wrong", False))
    for key, good in (("good", True), ("bad", False)):
        if fields.has(key):
            words = [str(word) for word in listed(fields.get(key), fields.path(key), most=10)]
            answers = (*(a for a in answers if a[1] != good), *((word, good) for word in words))
    gauge, _, calibration = _gauge(fields, replace(start, gauge=start.gauge or "eye"), "", _mm)
    return replace(start, gauge=gauge, answers=answers, calibration=calibration)


def _measured(fields: Fields, start: Check, unit: str, read: Callable[..., float], decimals: int) -> Check:
    """Limits and uncertainty in the unit."""
    low, high = (
        _size(fields, key, read) if fields.has(key) else before
        for key, before in (("at_least", start.low), ("at_most", start.high))
    )
    if low is not None and high is not None and low > high:
        raise InputError(fields.path("at_least"), fields.get("at_least"), "no more than at_most is wanted")
    gauge, sd, calibration = _gauge(fields, start, unit, read)
    decimals = start.decimals if start.unit else decimals
    return replace(
        start, gauge=gauge, unit=unit, sd=sd, low=low, high=high, decimals=decimals, calibration=calibration
    )


def _size(fields: Fields, key: str, read: Callable[..., float]) -> float:
    value = read(fields.get(key), fields.path(key))
    if value < 0.0:
        raise InputError(fields.path(key), fields.get(key), "a size of 0 or more is wanted")
    return value


def _gauge(
    fields: Fields, start: Check, unit: str, read: Callable[..., float]
) -> tuple[str, float, Calibration | None]:
    """Name, standard uncertainty and calibration of what a check is read with; start's if none is."""
    if start.gauge and not fields.has("gauge"):
        return start.gauge, start.sd, None
    given = fields.need("gauge", "what it is read with is wanted")
    if isinstance(given, str):
        return fields.text("gauge"), _known_sd(given.strip(), unit, fields, start), None
    gauge = Fields(given, fields.path("gauge"))
    found, calibration = gauge.text("name"), calibration_from(gauge)
    known = not unit or not gauge.has("uncertainty")
    sd = _known_sd(found, unit, gauge, start) if known else _size(gauge, "uncertainty", read)
    gauge.finish()
    return found, sd, calibration


def check_gauge(fields: Fields) -> None:
    """A gauge that the shop reads checks with: its name, its standard uncertainty, a length or an angle, and
    when it was calibrated. Raises InputError naming the field."""
    fields.text("name")
    given, path = fields.need("uncertainty", "its standard uncertainty is wanted"), fields.path("uncertainty")
    try:
        _size(fields, "uncertainty", _mm)
    except InputError as error:
        try:
            _degrees(given, path)
        except InputError:
            raise error from None
    calibration_from(fields)
    fields.finish()


def _known_sd(name: str, unit: str, fields: Fields, start: Check) -> float:
    """The standard uncertainty of a gauge that the program knows. Raises InputError for any other."""
    if not unit or name == start.gauge:
        return start.sd
    if unit == "mm" and name in GAUGES:
        return GAUGES[name].sd_mm()
    for check in CHECKS:
        if check.gauge == name and check.unit == unit:
            return check.sd
    wanted = 'its standard uncertainty is wanted: {"name": ..., "uncertainty": ...}'
    raise InputError(fields.path("gauge"), name, wanted)
