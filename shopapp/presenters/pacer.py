"""The feed pacer: where the marker is along the edge, so many seconds after the start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import core
from shopapp.presenters import wording
from shopapp.presenters.views import PacerView

READY_S = core.HOLD_S
"""time to take hold of the work before the marker starts, and to move on to a zone further along"""


@dataclass(frozen=True)
class Leg:
    """One stretch of the marker's way between two moments. zone : index, None while no strokes are due"""

    start_s: float
    end_s: float
    start_mm: float
    end_mm: float
    zone: int | None


def timeline(sites: core.Sites, zones: Sequence[core.Zone]) -> tuple[Leg, ...]:
    """The marker's way through the zones that get strokes, in the order of work.

    Each zone is entered from the end that is nearer to where the marker stands; the first one from the
    end that lies away from the second.
    """
    spans = [_span(sites, zone) for zone in zones if zone.strokes]
    worked = [zone for zone in zones if zone.strokes]
    if not spans:
        return ()
    at_mm = _first_end(spans)
    legs = [Leg(0.0, READY_S, at_mm, at_mm, None)]
    for index, ((low, high), zone) in enumerate(zip(spans, worked, strict=True)):
        near, far = (low, high) if abs(at_mm - low) <= abs(at_mm - high) else (high, low)
        if abs(at_mm - near) > 1e-6:
            legs.append(Leg(legs[-1].end_s, legs[-1].end_s + READY_S, at_mm, near, None))
        for _ in range(zone.goes):  # there and back
            legs.append(Leg(legs[-1].end_s, legs[-1].end_s + zone.seconds / zone.goes, near, far, index))
            near, far = far, near
        at_mm = near
    return tuple(legs)


def duration_s(legs: Sequence[Leg]) -> float:
    """The whole time, getting ready and moving included."""
    return legs[-1].end_s if legs else 0.0


def working_s(legs: Sequence[Leg]) -> float:
    """The time of the strokes alone: the sum of the zones."""
    return sum(leg.end_s - leg.start_s for leg in legs if leg.zone is not None)


def at(legs: Sequence[Leg], seconds: float) -> PacerView:
    """The marker at this moment. seconds : since the start; before 0 it waits, after the end it stands."""
    if not legs:
        return PacerView(0.0, None, "no strokes", finished=True)
    if seconds >= legs[-1].end_s:
        return PacerView(legs[-1].end_mm, None, "pass done", finished=True)
    now = max(seconds, 0.0)
    leg = next(leg for leg in legs if now < leg.end_s)
    share = (now - leg.start_s) / (leg.end_s - leg.start_s)
    position = leg.start_mm + share * (leg.end_mm - leg.start_mm)
    return PacerView(position, leg.zone, _text(legs, leg, now), finished=False)


def _text(legs: Sequence[Leg], leg: Leg, now: float) -> str:
    left = leg.end_s - now
    if leg.zone is None:
        return f"{'get ready' if leg is legs[0] else 'move on'}, {left:.0f} s"
    zones = 1 + max(other.zone for other in legs if other.zone is not None)
    feed = abs(leg.end_mm - leg.start_mm) / (leg.end_s - leg.start_s)
    return f"zone {leg.zone + 1} of {zones}, {wording.feed(feed)}, {left:.0f} s left"


def _span(sites: core.Sites, zone: core.Zone) -> tuple[float, float]:
    low = sites.position_mm[zone.first] - 0.5 * sites.width_mm[zone.first]
    high = sites.position_mm[zone.last] + 0.5 * sites.width_mm[zone.last]
    return float(low), float(high)


def _first_end(spans: Sequence[tuple[float, float]]) -> float:
    for (low, high), (next_low, _) in pairwise(spans):
        return high if next_low < low else low
    return spans[0][0]
