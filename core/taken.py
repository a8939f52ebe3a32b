"""Trials that a part took up after it was begun, as events in its log.

The job's document stays as it was. What an event holds is believed as if the job had started from it:
in place of what it started from with the same action and bite, else besides.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace

from core.events import FORMS, Event, checked
from core.jobtypes import Job
from core.nearest import known_to
from core.seen import Seen

NAME = "trial_taken"


@dataclass(frozen=True)
class Taken:
    """What a trial said, taken up after so many passes."""

    passes: int
    seen: Seen


def trial_taken(seen: Seen) -> Event:
    """A trial taken up. seen : as :func:`core.nearest.nearer` gives it for the part's job."""
    return checked({"event": NAME, **asdict(seen)})


def taken_in(live: Iterable[Event]) -> tuple[Taken, ...]:
    """Those of a log. live : events in force, their fields already held against the job."""
    found, passes = [], 0
    for event in live:
        passes += event["event"] == "pass_done"
        if event["event"] == NAME:
            found.append(Taken(passes, Seen(**{name: event[name] for name in FORMS[NAME]})))
    return tuple(found)


def with_taken(job: Job, taken: Sequence[Taken]) -> Job:
    """The job as if it had started from these; its document is not changed. The last of a kind counts."""
    if not taken:
        return job
    seen = job.response.seen
    for one in taken:
        seen = (*(other for other in seen if _kind(other) != _kind(one.seen)), one.seen)
    return replace(job, response=replace(job.response, seen=seen))


def job_with_trials(job: Job, live: Iterable[Event]) -> Job:
    """The job as if it had started from the trials of its log. live : events in force."""
    return with_taken(job, taken_in(live))


def taken_reasons(job: Job, begun: Job) -> tuple[str, ...]:
    """A sentence for each trial taken up. job : with them; begun : as it was begun."""
    new = [seen for seen in job.response.seen if seen not in begun.response.seen]
    return tuple(_sentence(job, begun, seen) for seen in new)


def _sentence(job: Job, begun: Job, seen: Seen) -> str:
    was, now = (f"{100 * known_to(one, seen)[1]:.0f} %" for one in (begun, job))
    instead = [one.source for one in begun.response.seen if _kind(one) == _kind(seen)]
    place = f", in place of: {'; '.join(instead)}" if instead else ""
    return (
        f"A trial was taken up after the part was begun: {seen.source}{place}. Before any gap is read, "
        f"strokes with this bite are known to about {now} instead of {was} (standard deviation)."
    )


def _kind(seen: Seen) -> tuple[str, str]:
    return seen.action, seen.bite
