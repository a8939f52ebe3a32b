"""Where a part stands, read from its log as it counts: passes done, the round of gaps that is open."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import degrees
from typing import Any

import core

Event = dict[str, Any]
Gap = float | str | None
STRUCK = ("pass_done", "smoothed", "counter_done", "rounded")
CHANGED = (*STRUCK, "annealed")
NEW_ROUND = (*CHANGED, "template_seated")
UNDOABLE = (
    *("pass_done", "gap_read", "gaps_read", "annealed", "smoothed", "template_seated"),
    *(
        "counter_done",
        "bow_read",
        "trial_taken",
        "rim_read",
        "heights_read",
        "rounded",
        "batch_begun",
        "check_read",
        "corrected",
    ),
)


@dataclass(frozen=True)
class Round:
    """Gaps read since the last pass, anneal or seating of the template.

    gaps : station (from 0) -> mm, "touching", "beyond", or None where it was skipped;
    confirmed : stations whose reading was questioned and found right; gauges : station -> gauge, None
    where it is the job's; gauge, template : of the last reading, None where they are the job's;
    ended : the operator said "that is all"; at_deg : the meridian that they are read on
    """

    gaps: dict[int, Gap]
    confirmed: frozenset[int] = frozenset()
    gauges: dict[int, Any] = field(default_factory=dict)
    gauge: Any = None
    template: Any = None
    ended: bool = False
    at_deg: float = 0.0

    def without(self, station: int | None) -> Round:
        """The round as if this station had not been read."""
        return replace(self, gaps={i: gap for i, gap in self.gaps.items() if i != station})

    @property
    def read(self) -> int:
        """How many stations hold a reading (skipped ones do not count)."""
        return sum(gap is not None for gap in self.gaps.values())


def open_round(live: Sequence[Event], at_deg: float | None = None) -> Round:
    """The round that the next reading belongs to. live : events as :func:`core.effective` gives them;
    at_deg : of the readings on this meridian, None: on the one read last."""
    since = live[_start(live) :]
    if at_deg is None:
        at_deg = next((meridian_of(e) for e in reversed(since) if e["event"] == "gaps_read"), 0.0)
    gaps: dict[int, Gap] = {}
    confirmed: set[int] = set()
    gauges: dict[int, Any] = {}
    gauge = template = None
    ended = False
    for event in since:
        ended = ended and event["event"] != "gaps_read"
        if event["event"] == "gaps_read" and meridian_of(event) == at_deg:
            read = _by_station(event)
            gaps.update(read)
            confirmed -= set(read)
            confirmed |= {int(i) for i in event.get("confirmed", ())}
            used = _gauges(event, read)
            gauges.update(used)
            gauge = next(reversed(used.values()), None)
            template = event.get("template")
        elif event.get("round") == "ended":
            ended = True
    return Round(gaps, frozenset(confirmed), gauges, gauge, template, ended, at_deg)


def meridian_of(event: Event) -> float:
    """The meridian of a round, degrees from the mark; at the mark where it is not said."""
    given = event.get("at_deg") or 0.0
    return round(degrees(core.parse_angle_rad(given, "at_deg", bare_unit="deg")), 6) % 360.0


def since_struck(live: Sequence[Event]) -> int:
    """How many events come before the first one after the last strokes or anneal."""
    return next((i + 1 for i in reversed(range(len(live))) if live[i]["event"] in CHANGED), 0)


def seated_anew(live: Sequence[Event]) -> bool:
    """Whether the template was seated anew since the last strokes or anneal."""
    return any(event["event"] == "template_seated" for event in live[since_struck(live) :])


def passes(live: Sequence[Event]) -> list[Event]:
    """The passes that were run, in order."""
    return [event for event in live if event["event"] == "pass_done"]


def plans(live: Sequence[Event]) -> list[dict[str, Any]]:
    """What was planned for each of :func:`passes`: as_shown, gap_mm, gap_sd_mm; {} where it is not known.

    It stands in the note that the pass card writes just before the pass.
    """
    found: list[dict[str, Any]] = []
    planned: dict[str, Any] = {}
    for event in live:
        if event["event"] == "pass_done":
            found.append(planned)
        planned = event.get("planned", {}) if event["event"] == "note" else {}
    return found


def read_after_steps(live: Sequence[Event]) -> frozenset[int]:
    """Numbers, from 0, of the passes whose gaps were last read after a step against lobes that followed."""
    found: set[int] = set()
    done, stepped = -1, False
    for event in live:
        if event["event"] in STRUCK:
            done += event["event"] == "pass_done"
            stepped = event["event"] == "rounded"
        elif stepped and done >= 0 and event["event"] in ("gaps_read", "gap_read"):
            found.add(done)
    return frozenset(found)


def unread_pass(live: Sequence[Event]) -> bool:
    """True when the last pass, smoothing or counter-work has no gap read after it."""
    for event in reversed(live):
        if event["event"] in STRUCK:
            return True
        if event["event"] == "gaps_read" and any(gap is not None for gap in _by_station(event).values()):
            return False
    return False


def last_struck(live: Sequence[Event]) -> str:
    """The last event that put strokes in, by name; "" where none did."""
    return next((event["event"] for event in reversed(live) if event["event"] in STRUCK), "")


def smoothed(live: Sequence[Event]) -> bool:
    """True when the faces were smoothed after the last strokes, and where none has marked them."""
    return last_struck(live) in ("", "smoothed")


def last_entry(events: Sequence[Event]) -> Event | None:
    """The last entry of the raw log that still counts and can be undone; nothing from before a sign-off."""
    dead: set[str] = set()
    for event in reversed(events):
        if event.get("id") in dead:
            continue
        if event["event"] == "signed_off":
            return None
        if event["event"] == "withdrawn":
            dead.add(event["of"])
        elif event["event"] in UNDOABLE:
            return event
    return None


def round_start(events: Sequence[Event], since: tuple[str, ...] = NEW_ROUND) -> int:
    """How many raw events come before the first reading of the round that is open, or since these events."""
    dead = {event["of"] for event in events if event["event"] == "withdrawn"}
    for i in reversed(range(len(events))):
        if events[i]["event"] in since and events[i].get("id") not in dead:
            return i + 1
    return 0


def _start(live: Sequence[Event]) -> int:
    places = [i for i, event in enumerate(live) if event["event"] in NEW_ROUND]
    return places[-1] + 1 if places else 0


def _gauges(event: Event, read: dict[int, Gap]) -> dict[int, Any]:
    """Gauge of each station read: one for all, a list, or a mapping with one a station."""
    given = event.get("gauge")
    if isinstance(given, list):
        return {station: given[station] for station in read}
    if isinstance(given, dict) and all(isinstance(station, int) for station in given):
        return {station: given.get(station) for station in read}
    return dict.fromkeys(read, given)


def _by_station(event: Event) -> dict[int, Gap]:
    if "by_station" in event:
        return dict(event["by_station"])
    return {i: gap for i, gap in enumerate(event["gaps_mm"]) if gap is not None}
