"""Counter-work on the Bow screen: what is done, at which stations, and what it should change."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians
from typing import Any

import core
from shopapp.presenters import bow_facts, strips, wording
from shopapp.presenters.pieces import Fact, Key, Strip

Event = dict[str, Any]
LEAST_RAD = radians(0.1)
"""twist that a level would not show (common practice, no source)"""


def strokes(counter: core.Counter, whole: bool) -> tuple[int, ...]:
    """(n,) strokes of all of it, or of half of it."""
    return tuple(int(m) for m in (counter.strokes if whole else counter.half))


def strip(job: core.Job, counter: core.Counter, whole: bool) -> Strip:
    """The strokes by station."""
    return strips.for_strokes(job, counter.action, strokes(counter, whole), ())


def question(counter: core.Counter, whole: bool) -> str:
    """What is shown, in a line."""
    return f"{'All' if whole else 'Half'} of it: {counter.action} the {counter.where}"


def facts(job: core.Job, counter: core.Counter, whole: bool) -> tuple[Fact, ...]:
    """What to strike and set, and what is expected of it."""
    total = sum(strokes(counter, whole))
    share = total / counter.total
    setting = job.tools[counter.action].settings.get(counter.bite)
    bow = wording.band(abs(share * counter.bow_mm), share * counter.bow_sd_mm)
    curve = wording.band(abs(share * counter.closes_mm), share * counter.closes_sd_mm)
    twist = _twist(share * counter.untwists_rad)
    bowed = Fact("Brings the bow back by" if counter.against == "bow" else "Changes the bow by", bow)
    return (
        Fact("Strokes in all", str(total), big=True),
        Fact("Where", f"free edge of the {counter.where}"),
        Fact("How", f"{wording.ACTIONS[counter.action].lower()}, {counter.bite} bite"),
        *((Fact("Ram setting", setting.text),) if setting else ()),
        *((bowed,) if counter.against == "bow" else (*twist, bowed)),
        Fact("Closes the curve by" if counter.closes_mm > 0.0 else "Opens the curve by", curve),
        *(twist if counter.against == "bow" else ()),
    )


def _twist(rad: float) -> tuple[Fact, ...]:
    if abs(rad) < LEAST_RAD:
        return ()
    return (Fact("Takes twist back" if rad > 0.0 else "Adds twist", f"about {core.format_angle(abs(rad))}"),)


def sentences(live: Sequence[Event], counter: core.Counter) -> tuple[str, ...]:
    """What comes first and after it."""
    unread = bow_facts.last_reading(live) is None
    first = ("The bow is only reckoned: read it first.",) if unread else ()
    if counter.against == "twist":
        first = ("The twist is only reckoned: look at it with a level on both ends first.",)
    halves = "half of it" if counter.total > 1 else "no more"
    guess = "" if counter.known else f"A first guess: do {halves}. "
    return (*first, f"{guess}Afterwards read the bow and the gaps again.")


def keys(counter: core.Counter, whole: bool) -> tuple[Key, ...]:
    """To log it as shown, to show the other share of it, and to go back to the bow."""
    done = wording.count(sum(strokes(counter, whole)), "stroke")
    other = () if counter.total < 2 else (Key("share", "Half of it" if whole else "All of it"),)
    return (
        Key("counter_done", "Counter-work done", main=True, why=f"logs {done} as shown"),
        *other,
        Key("reading", "Read bow", why="without counter-work"),
    )


def since_reading(live: Sequence[Event]) -> int:
    """Strokes of counter-work logged since the bow was last read."""
    total = 0
    for event in live:
        if event["event"] == "counter_done":
            total += sum(event["strokes"])
        elif event["event"] == "bow_read":
            total = 0
    return total
