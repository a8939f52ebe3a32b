"""The checks of a finished part besides its gaps: what is read, with what, within which limits.

The limits here stand where the drawing says nothing else; they and the uncertainties of the gauges
are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import degrees
from typing import Any

import core
from shopapp.presenters import rounds, wording
from shopapp.presenters.pieces import OK, OVER, PLAIN, TODO

NOT_NEEDED = "does not apply"


def _degrees(text: str, field: str) -> float:
    return degrees(core.parse_angle_rad(text, field, "deg"))


def _mm(text: str, field: str) -> float:
    return core.parse_length_mm(text, field, "mm")


@dataclass(frozen=True)
class Check:
    """One check. sd : standard uncertainty of a reading, in its unit; low, high : limits, None where there
    is none; answers : words to choose from, with whether each is good, for what has no number;
    required : may not be left out as "does not apply"; of : name of what a part has to have for it to make
    sense, "" for any"""

    name: str
    label: str
    gauge: str
    unit: str = ""
    read: Callable[[str, str], float] | None = None
    sd: float = 0.0
    low: float | None = None
    high: float | None = None
    decimals: int = 2
    answers: tuple[tuple[str, bool], ...] = ()
    required: bool = False
    of: str = ""

    @property
    def limit(self) -> str:
        """The limits in words."""
        if self.answers:
            return " or ".join(word for word, good in self.answers if good)
        if self.low is not None and self.high is not None:
            return f"{self.shown(self.low)} to {self.shown(self.high)} {self.unit}"
        if self.high is not None:
            return f"at most {self.shown(self.high)} {self.unit}"
        return "no limit set" if self.low is None else f"at least {self.shown(self.low)} {self.unit}"

    def shown(self, value: float) -> str:
        """A value with the decimals that its gauge can tell."""
        return f"{value:.{self.decimals}f}"

    def parse(self, text: str) -> float:
        """A typed value in the unit of the check. Raises core.InputError, also below 0."""
        if self.read is None:
            raise core.InputError(
                self.name, text, f"one of {', '.join(w for w, _ in self.answers)} is wanted"
            )
        value = self.read(text, self.name)
        if value < 0:
            raise core.InputError(self.name, text, "a size of 0 or more is wanted; leave the direction out")
        return value

    def verdict(self, value: Any, confidence: float) -> tuple[str, str]:
        """(words, state) for a value as logged, its uncertainty taken into account."""
        if value == NOT_NEEDED:
            return NOT_NEEDED, PLAIN
        if self.answers:
            good = dict(self.answers).get(value, False)
            return ("within", OK) if good else ("outside", OVER)
        if self.low is None and self.high is None:
            return "noted", PLAIN
        word = core.conforms(float(value), self.sd, self.low, self.high, confidence)
        return word, {"within": OK, "outside": OVER}.get(word, TODO)


BAR, FLANGE, DISH = "section", "bend", "rings_mm"
CHECKS: tuple[Check, ...] = (
    Check("section angle", "Section angle", "bevel protractor", "°", _degrees, 0.1, 89.0, 91.0, 1, of=BAR),
    Check("twist", "Twist end to end", "level on both ends", "°", _degrees, 0.1, None, 1.0, 1, of=BAR),
    Check("flatness", "Rise off the bench plate", "feeler leaves", "mm", _mm, 0.03, high=1.0, of=BAR),
    Check("plate", "Rise of the plate off the bench", "feeler leaves", "mm", _mm, 0.03, high=1.0, of=FLANGE),
    Check("height", "Height of the flange, least", "steel rule", "mm", _mm, 0.15, decimals=1, of=FLANGE),
    Check("rim", "Diameter of the rim, mean of four", "steel rule", "mm", _mm, 0.3, decimals=1, of=DISH),
    Check(
        "round", "Rim out of round, largest less least", "steel rule", "mm", _mm, 0.3, None, 2.0, 1, of=DISH
    ),
    Check(
        "surface marks",
        "Surface marks",
        "eye and fingernail",
        answers=(("none", True), ("dressed out", True), ("too deep", False)),
        required=True,
    ),
    Check("thickness", "Thinnest place", "micrometer", "mm", _mm, 0.01),
)


def checks_of(job: core.Job) -> tuple[Check, ...]:
    """The checks that make sense for this part."""
    return tuple(check for check in CHECKS if not check.of or hasattr(job.part, check.of))


def readings(live: Sequence[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """The last reading of each check since the last strokes or anneal; earlier ones tell of another shape."""
    found: dict[str, dict[str, Any]] = {}
    for event in live:
        if event["event"] in (*rounds.STRUCK, "annealed"):
            found = {}
        elif event["event"] == "check_read":
            found[event["check"]] = event
    return found


def value_text(check: Check, value: Any) -> str:
    """A logged value with the uncertainty of its gauge, "0.6 ± 0.2"; words as they are."""
    if isinstance(value, str):
        return value
    return f"{check.shown(float(value))} ± {check.shown(wording.Z95 * check.sd)}"
