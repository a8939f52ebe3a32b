"""The passes that are planned from what is believed after these steps."""

from __future__ import annotations

from core.estimate.fit import Fit
from core.estimate.standing import ahead, of
from core.jobtypes import Job
from core.lobestold import planned_from
from core.plan.outlook import Goal, Outlook
from core.plan.passes import planned_passes
from core.planned import Pass
from core.readings.rounds import Countered, PassDone, Rounded, Step
from core.toolreasons import none_done


def planned_now(job: Job, steps: list[Step], fitted: Fit) -> tuple[Pass, ...]:
    """The plan as it is once these steps are done and read; none where lobes are all that is left, nor where
    no tool does any of the work that the part was to have."""
    job = of(job, fitted.part)
    belief = planned_from(job, steps, fitted)
    if belief is None or none_done(job):
        return ()
    goal = Goal(ahead(job, fitted.belief.mean[: fitted.sites]))
    outlook = Outlook(goal, fitted.model, belief, fitted.strain, fitted.edge)
    return planned_passes(outlook, mounted(steps))


def mounted(steps: list[Step]) -> str | None:
    """Action of the tool that is on, None before the first strokes."""
    return next((s.action for s in reversed(steps) if isinstance(s, PassDone | Countered | Rounded)), None)
