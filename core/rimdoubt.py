"""Whether the rim, read across, stands against gaps that are within: they end inside it."""

from __future__ import annotations

import numpy as np

from core.advice import BAND
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.rounds import CHANGES, RimRead, Step
from core.units import format_length

EDGE_SD = 0.5  # of the thickness: either edge of the rim may have been read (common practice, no source)


def rim_doubt(job: Job, steps: list[Step]) -> str:
    """A sentence where the mean diameter read since the last strokes is off the wanted one by more than twice
    the tolerance and what the reading may be off, "" where it is not or none was read."""
    part, read = job.part, _last(steps)
    if not isinstance(part, ReadOnMeridians) or read is None:
        return ""
    wanted, mean = 2.0 * part.rim_radius_mm, float(np.mean(read.diameters_mm))
    thickness = float(np.max(part.thickness_mm(np.zeros(len(part.sites)))))
    sd = np.hypot(read.sd_mm / np.sqrt(len(read.diameters_mm)), 2.0 * EDGE_SD * thickness)
    if abs(mean - wanted) <= 2.0 * job.tolerance_mm + BAND * sd:
        return ""
    off, small = format_length(abs(mean - wanted)), mean < wanted
    inside = format_length(part.length_mm - float(part.sites.position_mm[-1]))
    return (
        f"The rim reads {format_length(mean)} across in the mean, {off} {'less' if small else 'more'} than "
        f"the {format_length(wanted)} that are wanted, which the gaps do not show: the last of them is read "
        f"{inside} inside the rim. Read the rim again, on the face that the template is held to; if it "
        f"stands, {'stretch' if small else 'shrink'} its edge lightly, all round, and read gaps and rim "
        "again."
    )


def _last(steps: list[Step]) -> RimRead | None:
    for step in reversed(steps):
        if isinstance(step, CHANGES):
            return None
        if isinstance(step, RimRead):
            return step
    return None
