"""How a part lay to its template, before the first work and as it is now."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.advice import BAND, Advice
from core.jobtypes import Job
from core.kinds.base import Part, ReadOnMeridians, TurnedEdge
from core.readings.named import KNOWN
from core.readings.offering import offer
from core.records.readings import GAP, Reading
from core.stripmarks import DeviationMarks, deviation_marks

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Strip:
    """Along the part, one entry a site.

    what : the line shows, and which way is above 0; deviation_mm : signed, > 0 outward of the template, the
    template seated at its best; band_mm : half of its 95 % band, 0 where it is reckoned from the stock alone;
    read : (site, mm) of each reading as the template lay then, signed as a deviation; beyond : sites whose
    gap was wider than the gauge reaches
    """

    title: str
    position_mm: tuple[float, ...]
    deviation_mm: tuple[float, ...]
    band_mm: tuple[float, ...]
    tolerance_mm: float
    read: tuple[tuple[int, float], ...]
    beyond: tuple[int, ...]
    what: str = ""

    @cached_property
    def marks(self) -> DeviationMarks:
        """What is drawn of it, as on the screen."""
        places = self.position_mm, self.deviation_mm, self.band_mm
        return deviation_marks(*places, self.tolerance_mm, [mm for _, mm in self.read])


def before(job: Job, readings: Sequence[Reading]) -> Strip:
    """The untouched stock as the geometry has it, beside what was read of it, if anything was."""
    part, none = job.part, np.zeros(len(job.part.sites))
    seat = offer(part, job.template, part.target).seat
    deviation = part.linearise(part.target, seat).deviation_mm
    return _strip(job, "Before the first pass: stock as reckoned", deviation, none, readings, 0)


def after(job: Job, advice: Advice, readings: Sequence[Reading], worked: int, signed: bool) -> Strip:
    """As the part lies now, or lay when it was signed, by all readings, beside those taken since the last of
    so many works."""
    band = BAND * advice.deviation_sd_mm
    title = "As it was signed off: by all readings" if signed else "As it stands: by all readings"
    return _strip(job, title, advice.deviation_mm, band, readings, worked)


def _strip(
    job: Job, title: str, deviation: Array, band: Array, readings: Sequence[Reading], worked: int
) -> Strip:
    here = [r for r in readings if r.counts and r.quantity == GAP and r.after == worked]
    return Strip(
        title=title,
        position_mm=tuple(map(float, job.part.sites.position_mm)),
        deviation_mm=tuple(map(float, deviation)),
        band_mm=tuple(map(float, band)),
        tolerance_mm=job.tolerance_mm,
        read=tuple(_deviations(here)),
        beyond=tuple(r.site for r in here if r.site is not None and r.value_mm is None),
        what=_what(job.part),
    )


def _what(part: Part) -> str:
    if isinstance(part, TurnedEdge):
        return "gap at the tip, + turned too little"
    whole = "mean all round" if isinstance(part, ReadOnMeridians) else "deviation"
    return f"{whole}, + outward of the template, seated at its best"


def _deviations(readings: Sequence[Reading]) -> Iterator[tuple[int, float]]:
    """As the template showed them, with the sign of a deviation; a short sweep shows another quantity."""
    for reading in readings:
        template = KNOWN.get(reading.template)
        if template is not None and reading.site is not None and reading.value_mm is not None:
            yield reading.site, template.sign * reading.value_mm
