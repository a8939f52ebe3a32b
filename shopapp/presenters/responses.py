"""What the shop knows of how its metals answer: kept in its settings, and what a new job starts from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import core
from shopapp.presenters import steps
from shopapp.presenters.session import Session

STORED = "responses"
"""name of the library among the shop's settings"""


@dataclass(frozen=True)
class Start:
    """A new job with what it starts from. can : something is known that it could start from; on : it does;
    sentences : what, how well, and what was left out"""

    document: Mapping[str, Any]
    job: core.Job
    can: bool
    on: bool
    sentences: tuple[str, ...]


def library(session: Session) -> core.Library:
    """All that the shop knows."""
    return core.library_from(session.shop.settings.get(STORED))


def keep(session: Session, entries: Iterable[core.Known], instead_of: core.Known | None = None) -> None:
    """Add to what the shop knows, in place of an earlier entry if one is named; on disk when this returns.

    Raises core.StoreError.
    """
    session.shop.settings.set(STORED, list(library(session).adding(entries, instead_of).stored))


def forget(session: Session, entry: core.Known) -> None:
    """Keep this entry no longer; parts that started from it do not change. Raises core.StoreError."""
    session.shop.settings.set(STORED, list(library(session).without(entry).stored))


def keep_learned(session: Session) -> None:
    """Keep what the open part taught; a part that is kept already is kept anew. Raises core.StoreError."""
    advice, job = session.advice, session.job
    told = () if advice is None else advice.learned
    day, source = session.now().date(), f"finished part {job.name}"
    entries = [core.known_from_seen(seen, job, day, source, part=session.part_id) for seen in told]
    if entries:
        keep(session, entries)


def start(session: Session, document: Mapping[str, Any], job: core.Job, wanted: bool) -> Start:
    """The job of a document, begun from what the shop knows of its metal if that is wanted. What it left open
    is stated from now on.

    What an earlier part like it started from is handed on where the shop itself knows nothing.
    """
    known = library(session)
    seen = core.nearest(known.entries, job) or job.response.seen
    settled = {**document, **job.settled}
    begun = core.starting_from(settled, seen if wanted else ())
    told = core.job(core.starting_from(settled, seen))
    left_out = tuple(f"Left out of what the shop knows: {sentence}" for sentence in known.left_out)
    said = _sentences(told, wanted) if seen else ()
    return Start(begun, core.job(begun), bool(seen), bool(seen) and wanted, (*said, *left_out))


def sources(job: core.Job, live: Iterable[dict[str, Any]] = ()) -> tuple[str, ...]:
    """Where each thing that a part starts from is from, with its action and bite in it; live : its log as it
    counts."""
    response = core.job_with_trials(job, live).response
    shared = () if response.shared is None else (response.shared.source,)
    return (*shared, *(seen.source for seen in response.seen))


def nearer(session: Session) -> tuple[core.Seen, ...]:
    """Trials that the open part could start from, nearer than what it has, that for its next pass first.

    None for what the part's own gaps have told, and none while its log is not worked out.
    """
    advice, standing = session.advice, session.standing
    if advice is None or session.stale or session.problem or standing.closed:
        return ()
    told = {pair for pair, response in advice.response.items() if response.known}
    found = core.nearer(library(session).entries, core.job_with_trials(session.job, session.live))
    planned = advice.next_pass
    wanted = ("", "") if planned is None else (planned.action, planned.bite)
    left = [seen for seen in found if (seen.action, seen.bite) not in told]
    return tuple(sorted(left, key=lambda seen: (seen.action != wanted[0], seen.bite != wanted[1])))


def offered(session: Session) -> tuple[str, ...]:
    """A sentence that names the first of these and says what it would do; none where there is none."""
    job = core.job_with_trials(session.job, session.live)
    return tuple(_offer(job, seen) for seen in nearer(session)[:1])


def _offer(job: core.Job, seen: core.Seen) -> str:
    there = core.job_with_trials(job, [core.trial_taken(seen)])
    was, then = (core.format_share_band(core.known_to(one, seen)[1]) for one in (job, there))
    return (
        f"A trial tells more than what this part started from: {seen.source}. “Use the trial” takes it up: a "
        f"first pass with this bite is then known to {then} instead of {was}."
    )


def _sentences(job: core.Job, wanted: bool) -> tuple[str, ...]:
    """What of the known is said on the plan; first the one of the action that the part mostly asks for."""
    mostly = steps.mostly(job)
    ordered = sorted(job.response.seen, key=lambda seen: seen.action != mostly)
    first = ordered[0]
    without, with_it = (core.format_share_band(sd) for sd in core.known_to(job, first))
    if not wanted:
        return (f"Starts from the first guess alone, known to {without}. Left aside: {first.source}.",)
    also = tuple(f"And from: {seen.source}." for seen in ordered[1:])
    known = f"known to {with_it} instead of {without}"
    return (f"Starts from: {first.source}. A first pass with this bite is then {known}.", *also)
