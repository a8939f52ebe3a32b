"""Counter-work: strokes on the edge that the work leaves alone, to bring a bow out of the plane back.

A first guess by the elastic formula, with what a stroke was found to do on the worked edge. It is to be done
in halves and read again: the part of it that goes into the plane is as unsure as the bow itself was.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.advice import Counter, OutOfPlane, Response
from core.jobtypes import Job
from core.units import format_length

DEAR = " That moves the curve more than the bow: reckon with it, or bend the bar straight instead."
MOST_A_SITE = 200.0  # strokes; an edge that wants more is the wrong one
LEAST_MM_PER_M = 1.0  # bow that is left alone: bought bar is no straighter (common practice, no source)


def counter_work(
    job: Job, now: OutOfPlane | None, end: OutOfPlane | None, response: dict[tuple[str, str], Response]
) -> Counter | None:
    """Strokes that bring the bow back, spread evenly; None where it is small, where the part has no other
    edge that the tool takes, where no bite may be used there, or where no sensible count would do.

    end : what the plan leaves; what it brings back by itself is not countered
    """
    edge, bow_mm = job.part.other_edge(), _lasting_mm(now, end)
    if edge is None or abs(bow_mm) < LEAST_MM_PER_M * job.part.length_mm / 1000.0:
        return None
    action = "shrink" if bow_mm * edge.bow_mm.sum() < 0.0 else "stretch"
    bites = job.bites(action)
    if not bites:
        return None
    bite = min(bites, key=lambda name: abs(job.tools[action].bites[name] - 1.0))
    strain = job.tools[action].strain(bite) * response[action, bite].ratio
    sites, back = len(job.part.sites), strain * abs(edge.bow_mm.sum())  # mm, by one stroke at every site
    if not 0.5 / sites < abs(bow_mm) / max(back, 1e-300) < MOST_A_SITE:
        return None
    strokes = _spread(round(sites * abs(bow_mm) / back), sites)
    shortened = (strain if action == "shrink" else -strain) * strokes
    return Counter(
        edge.where, action, bite, strokes, float(edge.bow_mm @ shortened), float(edge.closes_mm @ shortened)
    )


def _lasting_mm(now: OutOfPlane | None, end: OutOfPlane | None) -> float:
    """The part of the bow now that is still there at the end of the plan, signed; 0 where it turns over."""
    if now is None or end is None or now.bow_mm * end.bow_mm <= 0.0:
        return 0.0
    return min(now.bow_mm, end.bow_mm, key=abs)


def _spread(total: int, sites: int) -> NDArray[np.int64]:
    """(n,) so many strokes, as even as whole ones can be."""
    strokes = np.full(sites, total // sites, dtype=np.int64)
    rest = total % sites
    strokes[((np.arange(rest) + 0.5) * sites / max(rest, 1)).astype(int)] += 1
    return strokes


def counter_reasons(job: Job, counter: Counter | None, read: bool) -> tuple[str, ...]:
    """The counter-work as a sentence; read : whether anybody has read the bow yet."""
    if counter is None:
        return ()
    first = "" if read else "The bow has not been read yet: read it first. "
    strokes = "1 stroke" if counter.total == 1 else f"{counter.total} strokes"
    way = "closes" if counter.closes_mm > 0.0 else "opens"
    dear = abs(counter.closes_mm) > abs(counter.bow_mm)
    return (
        f"{first}Counter-work against the bow: {counter.action} the free edge of the {counter.where}, "
        f"{counter.bite} bite, {strokes} in all, evenly over the {job.part.sites.label}s. By the formula "
        f"that brings back {format_length(abs(counter.bow_mm))} and {way} the curve by "
        f"{format_length(abs(counter.closes_mm))} at mid-length.{DEAR if dear else ''} It is a first guess: "
        "do half of it, then read the bow and the gaps again.",
    )
