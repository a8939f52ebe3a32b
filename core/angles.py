"""Angles read with a protractor, as the gaps that a square would show: the log knows gaps alone."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi
from typing import Any

import numpy as np

from core.errors import InputError
from core.events import Event, gap_read, gaps_read
from core.jobfields import in_range
from core.jobtypes import Job
from core.kinds.base import TurnedEdge
from core.units import format_angle, parse_angle_rad

PROTRACTOR = "protractor"  # name of the gauge that angles are read with
MOST_RAD = 0.75 * pi
REPEATS = 0.5  # of a step, when one person reads one angle again (common practice, no source)
FINEST_MM = 0.001  # that a step is told as: near the flat plate it moves the tip by nothing


def angles_read(job: Job, angles: Sequence[Any], step: Any = "0.5 deg") -> Event:
    """One round of angles from the plate, one entry a sector, as a "gaps_read" event.

    angles : with their unit, "88.5 deg"; None where not read. step : of the protractor. The gap is height
    times the sine of what lacks, its gauge as fine as a step of the protractor is there; the note keeps the
    angles. Raises InputError for a part that is not turned to an angle, and for an angle that is none.
    """
    part = _turned(job)
    if len(angles) != len(part.sites):
        wanted = f"{len(part.sites)} angles, one a {part.sites.label}, null where not read, are wanted"
        raise InputError("angles", f"{len(angles)} entries", wanted)
    fine = _step(step)
    read = [None if a is None else _angle(a, f"angles[{i}]") for i, a in enumerate(angles)]
    gaps = [None if a is None else part.tip_gap_mm(a) for a in read]
    gauges = [None if a is None else _gauge(part, a, fine) for a in read]
    event = gaps_read(gaps, gauges, template="square")
    shown = ", ".join("not read" if a is None else format_angle(a, 2) for a in read)
    return {**event, "note": f"by protractor: {shown}"}


def angle_read(
    job: Job, station: int, angle: Any, step: Any = "0.5 deg", confirmed: bool | str = False
) -> Event:
    """One angle as it is taken, as a "gap_read" event; station : index from 0, the rest and errors as for
    :func:`angles_read`. A bare number is in degrees."""
    part = _turned(job)
    read = _angle(angle, "angle", "deg")
    gauge = _gauge(part, read, _step(step))
    event = gap_read(station, part.tip_gap_mm(read), gauge, template="square", confirmed=confirmed)
    return {**event, "note": f"by protractor: {format_angle(read, 2)}"}


def _turned(job: Job) -> TurnedEdge:
    if not isinstance(job.part, TurnedEdge):
        raise InputError("kind", job.kind, "a part whose edge is turned to an angle is wanted")
    return job.part


def _step(step: Any) -> float:
    return in_range(parse_angle_rad(step, "step"), "step", step, above=0.0, most=pi / 18, unit="rad")


def _angle(value: Any, field: str, bare_unit: str | None = None) -> float:
    angle = parse_angle_rad(value, field, bare_unit)
    return in_range(angle, field, value, above=-1e-9, most=MOST_RAD, unit="rad")


def _gauge(part: TurnedEdge, angle_rad: float, step_rad: float) -> dict[str, Any]:
    """What a step of the protractor is at the tip of the flange there."""
    around = angle_rad + 0.5 * step_rad * np.array([-1.0, 1.0])
    widest = part.tip_gap_mm(0.0) - part.tip_gap_mm(MOST_RAD)
    step = max(part.tip_gap_mm(around[0]) - part.tip_gap_mm(around[1]), FINEST_MM)
    return {"name": PROTRACTOR, "step_mm": step, "repeatability_mm": REPEATS * step, "largest_mm": widest}
