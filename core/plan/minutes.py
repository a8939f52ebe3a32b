"""How long passes take at the machine. Times of the hand are common practice, no source."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from core.advice import Pass, Zone

HOLD_S = 3.0  # to take hold of the part, and to move on to a zone further along
SEAT_S, READ_S = 60.0, 10.0  # to offer the part to its template, and to read and log one gap


def pass_minutes(feed: Sequence[Zone], readings: int, change_s: float) -> float:
    """Minutes of one pass with the round of gaps after it; an anneal is not in it.

    feed : its zones in the order of work; readings : gaps in a round; change_s : to change the tool before
    it, 0 where it is on.
    """
    strokes = sum(zone.seconds for zone in feed)
    moves = sum(there.first != here.last + 1 for here, there in pairwise(feed))
    return (change_s + HOLD_S * (1 + moves) + strokes + SEAT_S + READ_S * readings) / 60.0


def minutes_left(passes: Iterable[Pass]) -> float:
    """Minutes of all passes still planned."""
    return float(sum(planned.minutes for planned in passes))
