"""Sentences for the operator: what the shop's own tool and machine have to do with the passes to come."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.advice import WITHIN
from core.jobtypes import Job
from core.planned import Pass
from core.shopdoubts import missing_actions

Array = NDArray[np.float64]
_ING = {"shrink": "shrinking", "stretch": "stretching"}


def none_done(job: Job) -> bool:
    """Whether all the work that the part asks for wants an action that no tool does: strokes of the other
    would only spoil it."""
    most = float(np.max(np.abs(job.part.target), initial=0.0))
    able = missing_actions((), job.part.target, most)
    return bool(able) and not any(action in job.actions for action in able)


def tool_reasons(
    job: Job, work: Array, passes: tuple[Pass, ...], verdict: str, begun: bool
) -> tuple[str, ...]:
    """work : (n,) still to be done, signed; passes : planned, next first; begun : a pass has been done."""
    if verdict == WITHIN:
        return ()
    chosen = () if begun else (*job.choice, *_about_settings(job))
    arrives = bool(passes) and passes[-1].expected_gap_mm <= job.tolerance_mm
    return chosen if arrives else (*chosen, *_about_missing(job, work))


def _about_settings(job: Job) -> tuple[str, ...]:
    """Bites that no plan uses, for the machine cannot be set to them; why is said with the job's doubts."""
    out = dict.fromkeys(
        f"The {bite} bite of {job.tools[action]} is left out: {job.machine} cannot be set "
        f"to {job.tools[action].settings[bite].text}."
        for action in job.actions
        for bite in job.beyond_range(action)
    )
    return tuple(out)


def _about_missing(job: Job, work: Array) -> tuple[str, ...]:
    """Where the plan does not arrive and work is left that only the other action does."""
    missing = missing_actions(job.actions, work, float(np.max(np.abs(job.part.target), initial=0.0)))
    return tuple(
        f"Part of what is left wants {_ING[action]}, which no tool of this job does: the plan cannot end "
        "within the tolerance without one that does."
        for action in missing
    )
