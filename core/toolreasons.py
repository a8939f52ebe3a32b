"""Sentences for the operator: what the shop's own tool and machine have to do with the passes to come."""

from __future__ import annotations

from math import isfinite

import numpy as np
from numpy.typing import NDArray

from core.advice import WITHIN, Pass
from core.jobtypes import Job
from core.limits import COMMON
from core.shopdoubts import missing_actions

Array = NDArray[np.float64]
_ING = {"shrink": "shrinking", "stretch": "stretching"}


def tool_reasons(job: Job, work: Array, passes: tuple[Pass, ...], verdict: str) -> tuple[str, ...]:
    """work : (n,) still to be done, signed; passes : planned, next first."""
    if verdict == WITHIN:
        return _about_smoothing(job)
    arrives = bool(passes) and passes[-1].expected_gap_mm <= job.tolerance_mm
    return () if arrives else _about_missing(job, work)


def _about_missing(job: Job, work: Array) -> tuple[str, ...]:
    """Where the plan does not arrive and work is left that only the other action does."""
    missing = missing_actions(job.tool, work, float(np.max(np.abs(job.part.target), initial=0.0)))
    return tuple(
        f"Part of what is left wants {_ING[action]}, which this tool does not do: the plan cannot end within "
        "the tolerance by this tool alone."
        for action in missing
    )


def _about_smoothing(job: Job) -> tuple[str, ...]:
    """Faces that stay in sight get a last pass that moves next to nothing."""
    if job.finish != "visible":
        return ()
    fastest = job.machine.stroke_rates[1] if job.machine is not None else float("inf")
    rate = f", {fastest:g} strokes a minute" if isfinite(fastest) else ""
    lightest = next(iter(job.tool.bites))
    return (
        f"The faces stay in sight: a light smoothing pass ({lightest} bite, at the fastest stroke rate of "
        f"the machine{rate}) takes down what marks there are; then read the gaps again ({COMMON}).",
    )
