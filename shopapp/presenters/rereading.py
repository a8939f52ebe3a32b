"""A reading as it goes into the log: a new one, or the correction of one in a round that is left already.

Readings in a row on one meridian make one round. Once another round has begun, a reading that is taken
again would be a round of its own, and the one in doubt would stay: it is corrected in its place.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import core
from shopapp.presenters import rounds

Event = dict[str, Any]
WHOLE_ROUND = "round"
"""what ``confirmed`` of a single reading is where it confirms all of its round, see :func:`core.gap_read`"""
FIELDS = ("event", "station", "gap_mm", "gaps_mm", "gauge", "template", "at_deg", "note")
"""of an entry of readings, what its correction keeps"""


def entry_for(events: Sequence[Event], live: Sequence[Event], reading: Event) -> Event:
    """What to log. events, live : the raw log and as it counts; reading : a "gap_read" event"""
    if _goes_on(live, reading):
        return reading
    earlier = _earlier(events, reading)
    return reading if earlier is None else core.corrected(earlier["id"], _with(earlier, reading))


def confirming(events: Sequence[Event], live: Sequence[Event]) -> Event | None:
    """What to log where all of the round read last was right: its last entry once more, confirmed for the
    whole round. None where there is no round, or it is confirmed already."""
    read = next((e for e in reversed(live[rounds.since_struck(live) :]) if e["event"] == "gaps_read"), None)
    if read is None:
        return None
    gaps = read["by_station"] if "by_station" in read else dict(enumerate(read["gaps_mm"]))
    told = {station for station, gap in gaps.items() if gap is not None}
    earlier = next(_counting(events, read, rounds.CHANGED), None)
    if earlier is None or told <= {*read.get("confirmed", ())}:
        return None
    whole = WHOLE_ROUND if earlier["event"] == "gap_read" else sorted(told)
    event = {name: value for name, value in earlier.items() if name in FIELDS}
    return core.corrected(earlier["id"], {**event, "confirmed": whole})


def confirms_round(event: Event) -> bool:
    """Whether an entry is one of :func:`confirming`."""
    return "confirmed" in event.get("with", {}) and not isinstance(event["with"]["confirmed"], bool)


def _goes_on(live: Sequence[Event], reading: Event) -> bool:
    """Whether the reading joins the round read last."""
    for event in reversed(live):
        if event["event"] == "gaps_read":
            return "by_station" in event and _laid(event) == _laid(reading)
        if event["event"] in rounds.NEW_ROUND:
            return False
    return False


def _earlier(events: Sequence[Event], reading: Event) -> Event | None:
    """The entry since the template was last seated that holds a reading of this station, as it counts."""
    return next(
        (e for e in _counting(events, reading, rounds.NEW_ROUND) if _holds(e, reading["station"])), None
    )


def _counting(events: Sequence[Event], laid: Event, since: tuple[str, ...]) -> Iterator[Event]:
    """Entries of readings since the last event of these, laid as this event, as they count, newest first."""
    dead = {event["of"] for event in events if event["event"] == "withdrawn"}
    newest = {e["of"]: e["with"] for e in events if e["event"] == "corrected" and e.get("id") not in dead}
    for event in reversed(events[rounds.round_start(events, since) :]):
        if event.get("id") in dead or "id" not in event or event["event"] not in ("gap_read", "gaps_read"):
            continue
        counts = {**newest.get(event["id"], event), "id": event["id"]}
        if _laid(counts) == _laid(laid):
            yield counts


def _laid(event: Event) -> tuple[Any, float]:
    return event.get("template"), rounds.meridian_of(event)


def _holds(event: Event, station: int) -> bool:
    if event["event"] == "gap_read":
        return bool(event["station"] == station)
    return event["gaps_mm"][station] is not None


def _with(earlier: Event, reading: Event) -> Event:
    """The earlier entry with this reading in its place."""
    if earlier["event"] == "gap_read":
        return reading
    station, gaps = reading["station"], list(earlier["gaps_mm"])
    gaps[station] = reading["gap_mm"]
    given = earlier.get("gauge")
    gauges = list(given) if isinstance(given, list) else [given] * len(gaps)
    gauges[station] = reading.get("gauge")
    sure = {*earlier.get("confirmed", ())} - {station} | ({station} if reading.get("confirmed") else set())
    named = gauges if any(gauge is not None for gauge in gauges) else None
    return core.gaps_read(gaps, named, earlier.get("template"), sorted(sure), earlier.get("at_deg"))
