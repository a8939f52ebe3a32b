"""Where strokes go, in words, where counts a site do not tell it: depth stops of rings, folds, angles."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians, TurnedEdge
from core.limitreasons import sites_named
from core.planned import Pass
from core.units import format_angle


def places_of(job: Job, planned: Pass) -> str:
    """Of a pass as it is planned; "" where its counts say all."""
    told = (_stops(job, planned), _folds(job, planned), _angles(job, planned))
    return "; ".join(text for text in told if text)


def _stops(job: Job, planned: Pass) -> str:
    """The outermost ring first; rows side by side share its strokes."""
    part = job.under.get(planned.action, job.part)
    if not isinstance(part, ReadOnMeridians):
        return ""
    struck = np.flatnonzero(planned.strokes)[::-1].tolist()
    each = (f"{part.sites.label} {i + 1}: {_listed(part.stops_mm(i).tolist())} mm" for i in struck)
    return f"depth stop in from the disc's edge, rows share the strokes: {', '.join(each)}"


def _folds(job: Job, planned: Pass) -> str:
    folded = job.part.sites.folded(planned.strokes)
    return f"fold with the tool at {sites_named(job.part.sites.label, folded)}" if folded else ""


def _angles(job: Job, planned: Pass) -> str:
    part = job.part
    if not isinstance(part, TurnedEdge):
        return ""
    left = planned.expected_deviation_mm[planned.strokes > 0]
    ends = sorted({format_angle(part.tip_angle_rad(float(gap)), 0) for gap in (left.max(), left.min())})
    return f"turns it to about {' to '.join(ends)}"


def _listed(values: Sequence[float]) -> str:
    return " and ".join(f"{round(value, 1):g}" for value in values)
