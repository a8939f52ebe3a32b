"""The method to beat: second differences of the gaps, 70 per cent of what they ask for.

A kink at a station bends the line of deviations there, so that its second difference over the pitch is
the kink (string lining, double summation read backwards). Smoothed in one of two ways before: weights
1-2-1 on neighbouring gaps (Hanning), or a parabola fitted to more stations (Savitzky and Golay, Anal.
Chem. 36 (1964) 1627). The first guess of the response is believed; the part is finished when every gap,
as the template happens to sit, reads within tolerance.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Job
from core.planned import Pass

Array = NDArray[np.float64]
SHARE = 0.7


def asked_by_gaps(
    gaps: list[float | str | None], sign: float, at_mm: Array, width_mm: Array, window: int
) -> Array:
    """(n,) remaining work in rad from one round of gaps: their bend along the bar times each zone's width.

    window : how many stations each parabola is fitted to. Stations that were not read are left out.
    """
    known = known_gaps(gaps)
    bend = np.zeros(len(at_mm))
    for i in range(len(at_mm)):
        near = sorted(known, key=lambda k: abs(k - i))[:window]
        if len(near) >= 3:
            bend[i] = 2.0 * np.polyfit(at_mm[near] - at_mm[i], [known[k] for k in near], 2)[0]
    return sign * bend * width_mm


def known_gaps(gaps: list[float | str | None]) -> dict[int, float]:
    """Gaps in mm by station, those that were read."""
    read = {i: g for i, g in enumerate(gaps) if g is not None and g != "beyond"}
    return {i: 0.0 if g == "touching" else float(g) for i, g in read.items()}


def averaged(gaps: list[float | str | None]) -> list[float | str | None]:
    """Gaps smoothed with weights 1-2-1 where both neighbours were read."""
    known = known_gaps(gaps)
    smooth: list[float | str | None] = [known.get(i) for i in range(len(gaps))]
    for i in known:
        if i - 1 in known and i + 1 in known:
            smooth[i] = 0.25 * known[i - 1] + 0.5 * known[i] + 0.25 * known[i + 1]
    return smooth


def next_pass(job: Job, remaining: Array) -> Pass | None:
    """70 per cent of the work asked for, by the action that has more to do, at the first guess."""
    wanted = SHARE * remaining
    action = "shrink" if np.maximum(wanted, 0.0).sum() >= np.maximum(-wanted, 0.0).sum() else "stretch"
    work = np.maximum(wanted if action == "shrink" else -wanted, 0.0)
    for bite in sorted(job.tool.bites, key=lambda b: -job.tool.bites[b]):
        one = job.part.work_per_strain() * job.tool.strain(bite)
        # Rounded on the running sum, so that less than half a stroke a station is not lost.
        strokes = np.diff(np.round(np.cumsum(work / one)), prepend=0.0)
        if strokes.sum() >= len(strokes):
            break
    most = job.limits.per_pass.strain / (
        job.tool.strain(bite) * job.tool.patch_length_mm / job.part.sites.width_mm
    )
    counts = np.minimum(strokes, np.floor(most)).astype(np.int64)
    if not counts.any():
        return None
    nan = np.full(len(counts), np.nan)
    return Pass(action, bite, counts, np.nan, np.nan, nan, np.nan)
