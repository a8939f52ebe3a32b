"""What was entered after a part was signed off: it stands beside the signed result and changes none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from core.events import Event
from core.jobtypes import Job
from core.records.fates import Stamp, described, gap_text, stamp_of
from core.signoff import AGAIN, SignOff
from core.units import format_with_unit


@dataclass(frozen=True)
class Later:
    """One entry made after the sign-off. text : what it says, in words; entry : as it stands in the log"""

    text: str
    stamp: Stamp
    entry: Mapping[str, Any]


def later_of(job: Job, closing: SignOff) -> tuple[Later, ...]:
    """In the order of the log; notes stand elsewhere."""
    label = job.part.sites.label
    log = {str(event.get("id")): event for event in (*closing.signed, *closing.later)}
    return tuple(Later(_told(event, log, label), stamp_of(event), event) for event in closing.later)


def _told(event: Event, log: Mapping[str, Event], label: str) -> str:
    name = event["event"]
    if name == "withdrawn":
        return f"withdrawn: {_entry(log.get(str(event['of'])), label)}"
    if name == "corrected":
        before = _entry(log.get(str(event["of"])), label)
        return f"put right: {before}; now {_told(event['with'], log, label)}"
    if name == AGAIN:
        why = event.get("why")
        return f"the part was taken up again{f': {why}' if why else ''}"
    return f"{_entry(event, label)}{_values(event, label)}"


def _entry(event: Event | None, label: str) -> str:
    if event is None:
        return "an entry that is not there"
    if event["event"] == "check_read":
        told = format_with_unit(f"{event['value']}", str(event.get("unit") or ""))
        limit = f" ({event['limit']})" if event.get("limit") else ""
        return f"{event['check']}: {told}{limit}"
    return described(event, label)


def _values(event: Event, label: str) -> str:
    """Every count or reading, by its site."""
    values: Sequence[Any] = event.get("gaps_mm") or event.get("diameters_mm") or ()
    told = [gap_text(value) for value in values]
    if not told and isinstance(event.get("strokes"), list | tuple):
        told = [str(count) for count in event["strokes"]]
    return f"; by {label} from 1: {', '.join(told)}" if told else ""
