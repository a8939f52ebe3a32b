"""The passes that are planned from what is believed after these steps."""

from __future__ import annotations

from core.estimate.fit import Fit
from core.estimate.gaussian import Belief
from core.jobtypes import Job
from core.lobestold import beside_lobes, planned_from
from core.plan.outlook import Goal, Outlook
from core.plan.passes import planned_passes
from core.planned import Pass
from core.readings.rounds import Countered, PassDone, Rounded, Step
from core.toolreasons import none_done


def planned_now(job: Job, steps: list[Step], fitted: Fit) -> tuple[Pass, ...]:
    """The plan as it is once these steps are done and read; none where lobes are all that is left and what is
    even makes no room for them, nor where no tool does any of the work that the part was to have."""
    if none_done(job):
        return ()
    belief = planned_from(job, steps, fitted)
    if belief is not None:
        return _passes(job, fitted, belief, mounted(steps))
    closer = beside_lobes(job, steps, fitted)
    if closer is None:
        return ()
    planned = _passes(closer, fitted, fitted.belief, mounted(steps))
    return planned if planned and planned[-1].expected_gap_mm <= closer.tolerance_mm else ()


def _passes(job: Job, fitted: Fit, belief: Belief, mounted: str | None) -> tuple[Pass, ...]:
    outlook = Outlook(Goal(job), fitted.model, belief, fitted.strain, fitted.edge)
    return planned_passes(outlook, mounted)


def mounted(steps: list[Step]) -> str | None:
    """Action of the tool that is on, None before the first strokes."""
    return next((s.action for s in reversed(steps) if isinstance(s, PassDone | Countered | Rounded)), None)
