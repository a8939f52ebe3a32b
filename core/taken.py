"""What a part starts from, changed after it was begun by events in its log.

The job's document stays as it was. A trial is believed as if the job had started from it: in place of what it
started from with the same action and bite, else besides. Another batch of metal (``batch_begun``) takes away
all that the job started from, and the trials before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace

from core.events import FORMS, Event, checked
from core.jobtypes import Job
from core.nearest import known_to
from core.seen import Seen
from core.units import format_share_band

NAME, BATCH = "trial_taken", "batch_begun"
_ANEW = (
    "Another coil, batch or tool is begun with this part: what others told of the response no longer counts, "
    "it starts from the first guess."
)


@dataclass(frozen=True)
class Taken:
    """What a trial said, taken up after so many passes; None: another batch is begun."""

    passes: int
    seen: Seen | None


def trial_taken(seen: Seen) -> Event:
    """A trial taken up. seen : as :func:`core.nearest.nearer` gives it for the part's job."""
    return checked({"event": NAME, **asdict(seen)})


def taken_in(live: Iterable[Event]) -> tuple[Taken, ...]:
    """Those of a log, and where another batch is begun. live : events in force, their fields already held
    against the job."""
    found, passes = [], 0
    for event in live:
        passes += event["event"] == "pass_done"
        if event["event"] == NAME:
            found.append(Taken(passes, Seen(**{name: event[name] for name in FORMS[NAME]})))
        if event["event"] == BATCH:
            found.append(Taken(passes, None))
    return tuple(found)


def with_taken(job: Job, taken: Sequence[Taken]) -> Job:
    """The job as if it had started from these; its document is not changed. The last of a kind counts."""
    if not taken:
        return job
    seen, shared = job.response.seen, job.response.shared
    for one in taken:
        shared = None if one.seen is None else shared
        seen = () if one.seen is None else (*_but(seen, one.seen), one.seen)
    return replace(job, response=replace(job.response, seen=seen, shared=shared))


def job_with_trials(job: Job, live: Iterable[Event]) -> Job:
    """The job as if it had started from the trials of its log. live : events in force."""
    return with_taken(job, taken_in(live))


def taken_reasons(job: Job, begun: Job, taken: Sequence[Taken]) -> tuple[str, ...]:
    """A sentence for another batch, and for each trial taken up. job : with them; begun : as it was begun"""
    new = [seen for seen in job.response.seen if seen not in begun.response.seen]
    anew = any(one.seen is None for one in taken)
    return (*((_ANEW,) if anew else ()), *(_sentence(job, begun, seen) for seen in new))


def _sentence(job: Job, begun: Job, seen: Seen) -> str:
    was, now = (format_share_band(known_to(one, seen)[1]) for one in (begun, job))
    instead = [one.source for one in begun.response.seen if _kind(one) == _kind(seen)]
    place = f", in place of: {'; '.join(instead)}" if instead else ""
    return (
        f"A trial was taken up after the part was begun: {seen.source}{place}. Before any gap is read, "
        f"strokes with this bite are known to {now} instead of {was}."
    )


def _but(seen: Sequence[Seen], other: Seen) -> tuple[Seen, ...]:
    """What was seen of other actions and bites."""
    return tuple(one for one in seen if _kind(one) != _kind(other))


def _kind(seen: Seen) -> tuple[str, str]:
    return seen.action, seen.bite
