"""A finished part of a set, as those after it see it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from core.events import Event, effective
from core.jobtypes import Job
from core.seen import Seen, Told

NAME = "batch_begun"


@dataclass(frozen=True)
class SetPart:
    """name : of the part; told : what it told itself of the response, against the first guess that all jobs
    of the set have in common; batch_begun : with it another batch of metal, or another tool, was begun;
    together : all that it told, where that is known, which then counts in place of ``told``"""

    name: str
    told: tuple[Seen, ...]
    batch_begun: bool = False
    together: Told | None = None


def bare(job: Job) -> Job:
    """The job as if nothing had been seen before it."""
    return replace(job, response=replace(job.response, seen=(), shared=None))


def batch_begun() -> Event:
    """With this part another coil or batch of the metal is begun, or the tool is another (new, reground):
    what the parts before it told of the response no longer counts."""
    return {"event": NAME}


def set_part(job: Job, events: Iterable[Any], told: Iterable[Seen], together: Told | None = None) -> SetPart:
    """A part from its job and its log. told, together : ``Advice.learned`` and ``Advice.told`` of the same
    log. Raises InputError as :func:`core.events.effective`."""
    begun = any(event["event"] == NAME for event in effective(events))
    return SetPart(job.name, tuple(told), begun, together)
