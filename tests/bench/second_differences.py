"""The method to beat: smoothed second differences of the gaps, 70 per cent of what they ask for.

A kink at a station bends the line of deviations there, so that its second difference over the pitch is
the kink (string lining, double summation read backwards). Smoothing: a parabola fitted to neighbouring
stations (Savitzky and Golay, Anal. Chem. 36 (1964) 1627). The first guess of the response is believed.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.advice import Pass
from core.jobtypes import Job

Array = NDArray[np.float64]
SHARE = 0.7


def asked_by_gaps(
    gaps: list[float | str | None], sign: float, at_mm: Array, width_mm: Array, window: int
) -> Array:
    """(n,) remaining work in rad from one round of gaps: their bend along the bar times each zone's width.

    Stations that were not read are left out.
    """
    known = [i for i, g in enumerate(gaps) if g is not None and g != "beyond"]
    read = {i: 0.0 if gaps[i] == "touching" else float(gaps[i]) for i in known}  # type: ignore[arg-type]
    half = window // 2
    bend = np.zeros(len(at_mm))
    for i in range(len(at_mm)):
        near = sorted(known, key=lambda k: abs(k - i))[: 2 * half + 1]
        if len(near) < 3:
            continue
        x = at_mm[near] - at_mm[i]
        bend[i] = 2.0 * np.polyfit(x, [read[k] for k in near], 2)[0]
    return sign * bend * width_mm


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
    most = job.part.limits.strain_per_pass / (
        job.tool.strain(bite) * job.tool.patch_length_mm / job.part.sites.width_mm
    )
    counts = np.minimum(strokes, np.floor(most)).astype(np.int64)
    if not counts.any():
        return None
    nan = np.full(len(counts), np.nan)
    return Pass(action, bite, counts, np.nan, np.nan, nan, np.nan)
