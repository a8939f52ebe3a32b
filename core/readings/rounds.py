"""A part's log as the estimator takes it: passes, anneals and rounds of gaps, checked against the job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.events import Event, effective
from core.joblog import checked_log
from core.jobtypes import Job
from core.readings.named import RIM_GAUGE, gauge_from, gauges_of, meridian_rad, template_from
from core.readings.templates import Layout, Template

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
class Smoothed:
    """Light strokes over faces that stay in sight. strokes : (n,) whole numbers"""

    bite: str
    strokes: Array


@dataclass(frozen=True)
class Countered:
    """Counter-work: strokes on the edge that the work leaves alone. strokes : (n,) whole numbers"""

    action: str
    bite: str
    strokes: Array


@dataclass(frozen=True)
class Round:
    """One round of gaps with the template seated once.

    gaps_mm : (n,) NaN where not read; beyond : (n,) wider than the gauge reaches;
    sd_mm : (n,) standard uncertainty of each reading; reach_mm : (n,) of the gauge used there;
    confirmed : stations whose reading was questioned and stands; meridian_rad : that the template lay on
    """

    gaps_mm: Array
    beyond: NDArray[np.bool_]
    sd_mm: Array
    reach_mm: Array
    template: Template
    layout: Layout
    confirmed: frozenset[int]
    meridian_rad: float = 0.0

    @property
    def read(self) -> NDArray[np.intp]:
        """Indices of the stations with a number."""
        return np.flatnonzero(np.isfinite(self.gaps_mm))

    @property
    def all_confirmed(self) -> bool:
        """Whether every reading, those beyond the gauge with them, was found right."""
        told = {*self.read.tolist(), *np.flatnonzero(self.beyond).tolist()}
        return bool(told) and told <= self.confirmed

    @property
    def told_mm(self) -> Array:
        """(n,) readings, what the gauge reaches where it did not reach far enough; NaN where not read."""
        return np.where(self.beyond, self.reach_mm, self.gaps_mm)


@dataclass(frozen=True)
class RimRead:
    """Diameters of the rim (r,), mm, across at angles (r,), rad; sd_mm : of each."""

    at_rad: Array
    diameters_mm: Array
    sd_mm: float


@dataclass(frozen=True)
class HeightsRead:
    """Heights of the rim over the middle (r,), mm, straight across at angles (r,), rad; sd_mm : of each."""

    at_rad: Array
    heights_mm: Array
    sd_mm: float


@dataclass(frozen=True)
class Rounded:
    """A step against lobes: strokes on every spot of as many arcs of the rim as there are lobes, half of it
    in all; at_rad : the middle of one"""

    action: str
    bite: str
    lobes: int
    at_rad: float
    strokes: float

    def evenly(self, n: int) -> PassDone:
        """What it is to the even part of n sites: half of the strokes on every spot of the outermost."""
        strokes = np.zeros(n)
        strokes[-1] = 0.5 * self.strokes
        return PassDone(self.action, self.bite, strokes)


@dataclass(frozen=True)
class BowRead:
    """The bow out of the plane, read after so many passes and so much counter-work; it says nothing of the
    shape in the plane, so it is no step. countered : work that is not in the log changed it since it was last
    read."""

    passes: int
    bow_mm: float
    countered: bool
    counters: int = 0


CHANGES = (PassDone, Smoothed, Countered, Rounded)  # steps after which gaps are others
Step = PassDone | Annealed | Smoothed | Countered | Rounded | Round | RimRead | HeightsRead


def steps_of(job: Job, events: Iterable[Any]) -> list[Step]:
    """Events in force, as steps. Raises InputError naming the event and what would be right."""
    return log_of(job, events)[0]


def log_of(job: Job, events: Iterable[Any]) -> tuple[list[Step], list[BowRead]]:
    """Events in force, as steps in the plane and as readings of the bow out of it; errors as
    :func:`steps_of`."""
    return laid_out(job, in_force(job, events))


def in_force(job: Job, events: Iterable[Any]) -> list[Event]:
    """Events as they count, held against the job; errors as :func:`steps_of`."""
    return effective(checked_log(job, events))


def laid_out(job: Job, live: Iterable[Event]) -> tuple[list[Step], list[BowRead]]:
    """As :func:`log_of`, of events in force."""
    steps: list[Step] = []
    bows: list[BowRead] = []
    for event in live:
        if event["event"] == "pass_done":
            strokes = np.array(event["strokes"], dtype=float)
            steps.append(PassDone(event["action"], event["bite"], strokes))
        elif event["event"] == "gaps_read":
            steps.append(_round(job, event))
        elif event["event"] == "annealed":
            steps.append(Annealed())
        elif event["event"] == "smoothed":
            steps.append(Smoothed(event["bite"], np.array(event["strokes"], dtype=float)))
        elif event["event"] == "counter_done":
            strokes = np.array(event["strokes"], dtype=float)
            steps.append(Countered(event["action"], event["bite"], strokes))
        elif event["event"] == "rounded":
            what = event["action"], event["bite"], event["lobes"]
            steps.append(Rounded(*what, meridian_rad(event["at_deg"], "at_deg"), float(event["strokes"])))
        elif event["event"] == "rim_read":
            steps.append(RimRead(*_across(event, "diameters_mm")))
        elif event["event"] == "heights_read":
            steps.append(HeightsRead(*_across(event, "heights_mm")))
        elif event["event"] == "bow_read":
            done, also = (sum(isinstance(step, kind) for step in steps) for kind in (PassDone, Countered))
            bows.append(BowRead(done, float(event["bow_mm"]), event.get("countered", False), also))
    return steps, bows


def _across(event: Event, key: str) -> tuple[Array, Array, float]:
    at = [meridian_rad(angle, "at_deg") for angle in event["at_deg"]]
    sd = gauge_from(event.get("gauge") or RIM_GAUGE).sd_mm()
    return np.array(at), np.array(event[key], dtype=float), sd


def _round(job: Job, event: Event) -> Round:
    n, length = len(job.part.sites), job.part.length_mm
    template = template_from(event.get("template") or job.template, length_mm=length)
    gauges = gauges_of(event.get("gauge"), job.gauge, n)
    gaps, beyond = np.full(n, np.nan), np.zeros(n, dtype=bool)
    entries = event.get("by_station", None) or dict(enumerate(event.get("gaps_mm", [])))
    for station, gap in entries.items():
        if gap == "beyond":
            beyond[station] = True
        elif gap is not None:
            gaps[station] = 0.0 if gap == "touching" else float(gap)
    return Round(
        gaps_mm=gaps,
        beyond=beyond,
        sd_mm=np.array([g.sd_mm(template.sd_mm) for g in gauges]),
        reach_mm=np.array([g.largest_mm for g in gauges]),
        template=template,
        layout=template.layout(job.part.sites.position_mm, length),
        confirmed=frozenset(event.get("confirmed", ())),
        meridian_rad=meridian_rad(event.get("at_deg") or 0.0, "at_deg"),
    )
