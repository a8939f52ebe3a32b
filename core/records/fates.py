"""What became of every entry of a log: it counts, or was withdrawn or put right, by whom and when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import Any

from core.events import Event

COUNTS, WITHDRAWN, REPLACED, AGAIN = "counts", "withdrawn", "replaced", "read again"
CHANGES = ("withdrawn", "corrected")


@dataclass(frozen=True)
class Stamp:
    """Who made an entry and when, in the shop's own time, "2026-03-14 15:09:30 +01:00"; "" if not known."""

    when: str = ""
    who: str = ""

    def __str__(self) -> str:
        when = self.when[: len("2026-03-14 15:09")].replace(" ", "\u00a0")  # stays on one line
        return ", ".join(word for word in (self.who, when) if word) or "by whom and when is not known"


NOBODY = Stamp()


@dataclass(frozen=True)
class Entry:
    """One entry of a log as it was made.

    event : without what puts it right; place : index in the log; status : COUNTS, WITHDRAWN or REPLACED;
    by : who withdrew or replaced it; instead : the event that stands in its place, None where none does;
    of : index of the entry that this one puts right, None where it puts none right
    """

    event: Event
    place: int
    stamp: Stamp
    status: str = COUNTS
    by: Stamp = NOBODY
    instead: Event | None = None
    of: int | None = None

    @property
    def counts(self) -> bool:
        """Whether it is in force."""
        return self.status == COUNTS


def stamp_of(event: Event) -> Stamp:
    """Who and when, as the store wrote it down."""
    at = moment_of(event)
    when = "" if at is None else f"{at:%Y-%m-%d %H:%M:%S} {_offset(at)}"
    return Stamp(when, str(event.get("who") or ""))


def moment_of(event: Event) -> datetime | None:
    """When an entry was made, in the time of the shop; None where the log does not say it in a known form."""
    try:
        utc = datetime.fromisoformat(str(event.get("at", "")).replace("Z", "+00:00"))
        offset = datetime.strptime(str(event.get("offset", "+00:00")).replace(":", ""), "%z").tzinfo
    except ValueError:
        return None
    return (utc if utc.tzinfo else utc.replace(tzinfo=UTC)).astimezone(offset)


def _offset(at: datetime) -> str:
    minutes = (at.utcoffset() or timedelta()) // timedelta(minutes=1)
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def entries_of(log: Sequence[Event]) -> list[Entry]:
    """Every entry of a checked log that tells of the part, in its order; corrections as what they say.

    Which of them count is what :func:`core.events.effective` lets stand. A correction of a correction has no
    effect there, and is told as withdrawn by itself.
    """
    place = {event["id"]: i for i, event in enumerate(log) if "id" in event}
    ends, undone = _ends(log, place)
    found = []
    for i, event in enumerate(log):
        if event["event"] == "withdrawn":
            continue
        told, of = (event["with"], place[event["of"]]) if event["event"] == "corrected" else (event, None)
        by = _end_of(i, log, of, ends, undone)
        entry = Entry(told, i, stamp_of(event), of=of)
        found.append(entry if by is None else _ended(entry, log[by]))
    return found


def _ended(entry: Entry, last: Event) -> Entry:
    status = REPLACED if last["event"] == "corrected" and last["with"] is not entry.event else WITHDRAWN
    instead = last["with"] if status == REPLACED else None
    return replace(entry, status=status, by=stamp_of(last), instead=instead)


def _ends(log: Sequence[Event], place: Mapping[str, int]) -> tuple[dict[int, list[int]], dict[int, int]]:
    """Of each entry the changes in force that point at it, in their order; of each change its own undo."""
    ends: dict[int, list[int]] = {}
    undone: dict[int, int] = {}
    for i in reversed(range(len(log))):
        if log[i]["event"] not in CHANGES or i in undone:
            continue
        target = place[log[i]["of"]]
        if log[target]["event"] not in CHANGES:
            ends.setdefault(target, []).insert(0, i)
        elif log[i]["event"] == "withdrawn":
            undone[target] = i
    return ends, undone


def _end_of(
    i: int, log: Sequence[Event], of: int | None, ends: Mapping[int, list[int]], undone: Mapping[int, int]
) -> int | None:
    """Index of the change that took an entry out of force: the first after it of those that point at what it
    is or puts right, or a withdrawal before; its own undo; itself, where it puts a correction right."""
    if i in undone:
        return undone[i]
    if of is not None and log[of]["event"] in CHANGES:
        return i
    changes = ends.get(i if of is None else of, [])
    gone = [k for k in changes if log[k]["event"] == "withdrawn"]
    return next((k for k in changes if k > i), gone[0] if gone else None)


def described(event: Event, label: str) -> str:
    """What an entry says, in a few words. label : what a site is called"""
    name = event["event"]
    if name in ("pass_done", "counter_done"):
        what = "pass" if name == "pass_done" else "counter-work"
        return f"{event['action']} {what}, {event['bite']} bite, {sum(event['strokes'])} strokes"
    if name == "gap_read":
        return f"{gap_text(event['gap_mm'])} at {label} {event['station'] + 1}"
    if name == "check_read":
        return f"{event['check']}: {event['value']}"
    if name == "bow_read":
        return f"bow of {event['bow_mm']} mm"
    return str(name).replace("_", " ")


def gap_text(gap: Any) -> str:
    """A reading as logged, in words: "0.35 mm", "touching", "beyond the gauge", "not read"."""
    if gap is None:
        return "not read"
    if isinstance(gap, str):
        return {"beyond": "beyond the gauge"}.get(gap, gap)
    return f"{gap:g} mm"
