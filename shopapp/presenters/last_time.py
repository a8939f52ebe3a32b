"""Doing a part as the one before it was done: what that took, and how this plan is corrected against it."""

from __future__ import annotations

from collections.abc import Iterable

import core
from shopapp.presenters import sets
from shopapp.presenters.session import Session
from shopapp.presenters.sets import Member

AS_LAST_TIME = "Do it as last time"
ALIKE = 0.005
"""share of the work in all that two plans may differ by and be called alike"""


def told(session: Session) -> tuple[str, ...]:
    """Of a part of a set before its first pass: what worked on the part before, and what is other now."""
    job, advice = session.job, session.advice
    if job.place is None or advice is None or session.stale or not advice.remaining:
        return ()
    begun = any(event["event"] in ("pass_done", "batch_begun") for event in session.live)
    before = None if begun else _before(session, job.place)
    if before is None or before.done is None:
        return ()
    took = [(run.action, run.bite, run.strokes) for run in before.done.passes]
    planned = [(p.action, p.bite, job.strokes_in_all(p.action, p.strokes)) for p in advice.remaining]
    listed = "; ".join(f"{action}, {bite} bite, {n} strokes" for action, bite, n in took)
    corrected = _corrected(_amount(job, took), _amount(job, planned))
    return (f"As last time: {before.name} took {listed}. {corrected}",)


def _before(session: Session, place: core.SetPlace) -> Member | None:
    """The last finished part before this one that was worked."""
    of = sets.part_set(session, place.id)
    found = [
        one
        for one in (of.members if of else ())
        if one.part < place.part and one.finished and one.done is not None and one.done.passes
    ]
    return found[-1] if found else None


def _amount(job: core.Job, passes: Iterable[tuple[str, str, int]]) -> float:
    """Strain that passes put into the edge by the first guess of a stroke, on all spots together."""
    sign = {"shrink": 1.0, "stretch": -1.0}
    return sum(sign[action] * job.tools[action].strain(bite) * n for action, bite, n in passes)


def _corrected(took: float, planned: float) -> str:
    if took * planned <= 0.0:
        return "This part is planned otherwise."
    more = planned / took - 1.0
    if abs(more) < ALIKE:
        return "This part is planned with as much in all, spread as is known better now."
    than = "more" if more > 0.0 else "less"
    return f"Corrected, this part is planned with {100 * abs(more):.0f} % {than} in all."
