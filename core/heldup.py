"""A plan that cannot be run as it stands, for the part does not fit the shop's tool or machine.

What is planned is then what would be run once it fits: no pass is to be taken for one to run, unless the
operator knows better and has logged that (a limit that was entered wrongly).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from core.advice import WITHIN, Advice
from core.events import Event, note
from core.jobtypes import Job
from core.planned import Pass, Smoothing
from core.roundness import RoundingStep

Ahead = Sequence[Pass | Smoothing | RoundingStep]
RUN = "run all the same"  # of the field "misfit" of a note


def all_ahead(advice: Advice) -> Ahead:
    """Whatever is advised and strikes the part: passes, smoothing, the step against lobes."""
    step = None if advice.lobing is None or advice.verdict == WITHIN else advice.lobing.step
    return [*advice.remaining, *(one for one in (advice.smoothing, step) if one is not None)]


def run_all_the_same(misfits: Sequence[str]) -> Event:
    """The operator works the part although it does not fit by what was entered; misfits : as they were
    shown."""
    return note(f"Run all the same, although as entered: {' '.join(misfits)}", misfit=RUN)


def misfits_of(job: Job, live: Iterable[Mapping[str, Any]], ahead: Ahead) -> tuple[str, ...]:
    """Why what is still planned cannot be run, a sentence each; none where all fits, or where it was logged
    that the part is worked all the same. live : the log as it counts"""
    if any(event.get("misfit") == RUN for event in live):
        return ()
    actions = dict.fromkeys(job.smoother if isinstance(one, Smoothing) else one.action for one in ahead)
    return tuple(dict.fromkeys(said for action in actions for said in job.misfits.get(action, ())))


def misfit_reasons(misfits: Sequence[str], ahead: Ahead) -> tuple[str, ...]:
    """What does not fit, and what the plan is good for then."""
    if not misfits:
        return ()
    one = "The step against lobes" if isinstance(ahead[0], RoundingStep) else "The pass planned"
    these = f"{one} is what" if len(ahead) == 1 else "The passes planned are what"
    return (
        *misfits,
        f"So no pass can be run as it stands. {these} would be run once it fits. All that is logged is kept; "
        "if a limit was entered wrongly, log that the part is run all the same.",
    )
