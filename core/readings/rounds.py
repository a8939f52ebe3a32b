"""A part's log as the estimator takes it: passes, anneals and rounds of gaps, checked against the job."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.events import Event, effective
from core.job import Job
from core.readings.gauges import Gauge, gauge_named
from core.readings.templates import TEMPLATES, Layout, Template, sweep

Array = NDArray[np.float64]


@dataclass(frozen=True)
class PassDone:
    """strokes : (n,) whole numbers"""

    action: str
    bite: str
    strokes: Array


@dataclass(frozen=True)
class Annealed:
    """Hardening so far is gone."""


@dataclass(frozen=True)
class Round:
    """One round of gaps with the template seated once.

    gaps_mm : (n,) NaN where not read; beyond : (n,) wider than the gauge reaches;
    sd_mm : (n,) standard uncertainty of each reading; reach_mm : (n,) of the gauge used there;
    confirmed : stations whose reading was questioned and stands
    """

    gaps_mm: Array
    beyond: NDArray[np.bool_]
    sd_mm: Array
    reach_mm: Array
    template: Template
    layout: Layout
    confirmed: frozenset[int]

    @property
    def read(self) -> NDArray[np.intp]:
        """Indices of the stations with a number."""
        return np.flatnonzero(np.isfinite(self.gaps_mm))


Step = PassDone | Annealed | Round


def steps_of(job: Job, events: Iterable[Any]) -> list[Step]:
    """Events in force, as steps. Raises InputError naming the event and what would be right."""
    steps: list[Step] = []
    for i, event in enumerate(effective(events)):
        field = f"events[{i}]"
        if event["event"] == "pass_done":
            steps.append(_pass(job, event, field))
        elif event["event"] == "gaps_read":
            steps.append(_round(job, event, field))
        elif event["event"] == "annealed":
            steps.append(Annealed())
    return steps


def _pass(job: Job, event: Event, field: str) -> PassDone:
    n = len(job.part.sites)
    if event["bite"] not in job.tool.bites:
        raise InputError(f"{field}.bite", event["bite"], "one of " + ", ".join(job.tool.bites) + " is wanted")
    if len(event["strokes"]) != n:
        raise InputError(
            f"{field}.strokes", len(event["strokes"]), f"one count for each of the {n} stations is wanted"
        )
    return PassDone(event["action"], event["bite"], np.array(event["strokes"], dtype=float))


def _round(job: Job, event: Event, field: str) -> Round:
    template = template_named(event["template"], f"{field}.template") if "template" in event else job.template
    layout = template.layout(job.part.sites.position_mm, job.part.length_mm)
    gaps, beyond = _values(job, event, field)
    gauges = _gauges(job, event, field)
    for i in np.flatnonzero(np.isfinite(gaps) | beyond):
        _check(gaps[i], bool(beyond[i]), int(i), gauges[i], template, layout, field)
    sd = np.array([g.sd_mm(template.sd_mm) for g in gauges])
    reach = np.array([g.largest_mm for g in gauges])
    return Round(gaps, beyond, sd, reach, template, layout, frozenset(event.get("confirmed", ())))


def _gauges(job: Job, event: Event, field: str) -> list[Gauge]:
    """The gauge used at each station: the job's, one for the round, or one an entry."""
    n, given = len(job.part.sites), event.get("gauge")
    if isinstance(given, Mapping):
        return [gauge_named(given[i], f"{field}.gauge") if given.get(i) else job.gauge for i in range(n)]
    if isinstance(given, list):
        if len(given) != n:
            raise InputError(f"{field}.gauge", given, f"one name, or one for each of the {n} stations, is wanted")
        return [job.gauge if g is None else gauge_named(g, f"{field}.gauge[{i}]") for i, g in enumerate(given)]
    return [job.gauge if given is None else gauge_named(given, f"{field}.gauge")] * n


def _values(job: Job, event: Event, field: str) -> tuple[Array, NDArray[np.bool_]]:
    """(n,) numbers with NaN where not read, and (n,) beyond, from either form of a round."""
    n = len(job.part.sites)
    by_station = event.get("by_station")
    if by_station is None:
        if len(event["gaps_mm"]) != n:
            raise InputError(
                f"{field}.gaps_mm",
                f"{len(event['gaps_mm'])} entries",
                f"one entry for each of the {n} stations is wanted, null where not read",
            )
        by_station = dict(enumerate(event["gaps_mm"]))
    gaps, beyond = np.full(n, np.nan), np.zeros(n, dtype=bool)
    for station, gap in by_station.items():
        if station >= n:
            raise InputError(f"{field}.station", station, f"stations run from 0 to {n - 1}")
        if gap == "beyond":
            beyond[station] = True
        elif gap is not None:
            gaps[station] = 0.0 if gap == "touching" else float(gap)
    return gaps, beyond


def _check(
    gap: float, beyond: bool, i: int, gauge: Gauge, template: Template, layout: Layout, field: str
) -> None:
    where = f"{field}.gaps_mm[{i}]"
    if not layout.readable[i]:
        raise InputError(where, float(gap), "this template overhangs the end here; leave the station out")
    if beyond:
        return
    if template.rigid and gap < 0.0:
        raise InputError(
            where,
            float(gap),
            f"a gap under the {template.name} template is zero or more: it cannot overlap the part",
        )
    if abs(gap) > gauge.largest_mm:
        reach = f"the gauge '{gauge.name}' reads up to {gauge.largest_mm:g} mm"
        raise InputError(where, float(gap), f"{reach}; write 'beyond', or name another gauge")


def template_named(given: Any, field: str = "template") -> Template:
    """A template by name, or ``{"sweep_mm": chord}``. Raises InputError listing what there is."""
    if isinstance(given, Template):
        return given
    if isinstance(given, str) and given in TEMPLATES:
        return TEMPLATES[given]
    if isinstance(given, Mapping) and set(given) == {"sweep_mm"}:
        chord = given["sweep_mm"]
        if not isinstance(chord, bool) and isinstance(chord, int | float) and 0 < chord < float("inf"):
            return sweep(float(chord))
        raise InputError(f"{field}.sweep_mm", chord, "the chord of the sweep in mm, above zero, is wanted")
    raise InputError(field, given, "one of " + ", ".join(TEMPLATES) + ' or {"sweep_mm": chord} is wanted')
