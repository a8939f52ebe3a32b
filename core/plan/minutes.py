"""How long passes take at the machine. Times of the hand are common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from core.jobtypes import Job
from core.plan.feed import HOLD_S
from core.planned import Pass, Smoothing, Zone

SEAT_S, READ_S = 60.0, 10.0  # to offer the part to its template, and to read and log one gap


def pass_minutes(feed: Sequence[Zone], readings: int, change_s: float) -> float:
    """Minutes of one pass with the round of gaps after it; an anneal is not in it.

    feed : its zones in the order of work; readings : gaps in a round; change_s : to change the tool before
    it, 0 where it is on.
    """
    strokes = sum(zone.seconds for zone in feed)
    moves = sum(there.first != here.last + 1 for here, there in pairwise(feed))
    return (change_s + HOLD_S * (1 + moves) + strokes + SEAT_S + READ_S * readings) / 60.0


def change_before(job: Job, mounted: str | None, action: str) -> float | None:
    """Time to change the tool before work of this action, s; None where its set is on already.

    mounted : action of the tool that is on, None where nobody knows. From one action to the other of one
    holder is a change where the set says that it takes time.
    """
    if mounted in (None, action):
        return None
    tool = job.tools[action]
    other = job.tools[mounted] != tool
    seconds = tool.changing_s(other)
    return seconds if other or seconds > 0.0 else None


def minutes_left(planned: Iterable[Pass | Smoothing]) -> float:
    """Minutes of all that is still planned."""
    return float(sum(one.minutes for one in planned))


def changes_left(planned: Iterable[Pass | Smoothing]) -> tuple[int, float]:
    """How many changes of tool are in that, and their minutes."""
    found = [one.change_minutes for one in planned if one.change_minutes is not None]
    return len(found), float(sum(found))
