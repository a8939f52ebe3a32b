"""A reading as it is typed: understood, refused, or taken and questioned at once."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, isnan

import core
from shopapp.presenters import wording

AGAIN = "Read this one again, please."
DOUBT = 4.0
"""a reading this many standard deviations off is asked for again; the refit sets such readings aside too"""


def typed(text: str, gauge: core.Gauge, template: core.Template, field: str, unit: str = "mm") -> float:
    """A typed reading in mm. unit : of a number without one. Raises InputError for what cannot be read,
    is below 0 where the template touches, or is more than the gauge reaches."""
    mm = core.parse_reading_mm(text, field, unit)
    if template.rigid and mm < 0:
        raise core.InputError(
            field, text, f"a gap to the {template.name} template is 0 or more; where it touches, “Touching”"
        )
    if abs(mm) > gauge.largest_mm:
        reach = wording.length(gauge.largest_mm)
        raise core.InputError(
            field,
            text,
            f"this gauge, {gauge.name}, reads up to {reach}; touch “Beyond”, or take another gauge",
        )
    return mm


def in_mm(gap: float | str, gauge: core.Gauge) -> float:
    """What a logged reading stands for: touching is 0, beyond is at least the gauge's reach."""
    if gap == "touching":
        return 0.0
    return gauge.largest_mm if gap == "beyond" else float(gap)


def doubt(
    gap: float | str,
    expected_mm: float,
    sd_mm: float,
    gauge: core.Gauge,
    others: Sequence[float] = (),
    rigid: bool = False,
) -> str:
    """Why this reading should be taken again, or "".

    expected_mm, sd_mm : what everything else says, NaN where it says nothing; others : further values
    that would be no surprise, mm; rigid : the template shows no gap below 0.
    """
    if isnan(expected_mm) or isnan(sd_mm):
        return ""
    mm = in_mm(gap, gauge)
    spread = hypot(sd_mm, gauge.sd_mm())
    fits = [abs(mm - e) <= DOUBT * spread or (gap == "beyond" and e >= mm) for e in (expected_mm, *others)]
    if any(fits):
        return ""
    expected = wording.band(expected_mm, sd_mm, rigid)
    return f"{was_read(gap)}, {expected} is expected. {_slip(gap, mm, expected_mm, spread, gauge)}"


def was_read(gap: float | str) -> str:
    """A reading at the beginning of a sentence, a word as it stands on its key: "“Touching” was read"."""
    told = wording.length(gap) if isinstance(gap, float | int) else f"“{wording.capital(gap)}”"
    return f"{told} was read"


def _slip(gap: float | str, mm: float, expected_mm: float, spread: float, gauge: core.Gauge) -> str:
    """A moved decimal point is the commonest slip: offer it when that would fit and the gauge can show it."""
    if not isinstance(gap, str):
        for factor in (0.1, 10.0, 0.01, 100.0):
            meant = mm * factor
            if abs(meant - expected_mm) <= wording.Z95 * spread and _shows(gauge, meant):
                return f"{wording.length(meant)} would fit: is the point in the right place?"
    return AGAIN


def _shows(gauge: core.Gauge, mm: float) -> bool:
    """Whether this gauge can give this reading: a whole number of its steps within its reach, not nothing."""
    steps = round(mm / gauge.step_mm)
    return steps != 0 and abs(mm) <= gauge.largest_mm and abs(mm - steps * gauge.step_mm) < 1e-6
