"""Counter-work: strokes on the edge that the work leaves alone, to bring a bow or a twist back.

Reckoned by the elastic formula, with what a stroke was found to do on the worked edge and what counter-work
was found to do of its formula. The first is to be done in halves and read again: the part of it that goes
into the plane is as unsure as the bow itself was.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot, radians

import numpy as np
from numpy.typing import NDArray

from core.advice import Counter, OutOfPlane
from core.beside import LEAST_TWIST_RAD, bow_foretold, twist_foretold
from core.estimate.fit import Fit
from core.estimate.moves import COUNTER_OWN_SD
from core.estimate.response import SIGN, Stroking, share_in_plane
from core.jobtypes import Job
from core.kinds.base import OtherEdge
from core.readings.rounds import Countered, Step
from core.units import format_angle, format_band, format_length

Array = NDArray[np.float64]
NO_TWIST: Array = np.zeros(0)
COUNTS = " Log it: what it does to the curve is then no longer to be done."
FIRST = {"bow": "read it", "twist": "look at it with a level on both ends"}
AFTER = {"bow": "read the bow and the gaps", "twist": "look at the twist and read the gaps"}
ALIKE = 0.5  # of a twist all one way, that work all along the other edge can take back
MOST_A_SITE = 200  # strokes; an edge that wants more is the wrong one
SURE = 1.6  # standard deviations that the share which it does is above 0, else no more of it is named
LEAST_TO_TURN_RAD = radians(1.0)  # twist that is left alone, as the usual finish check does (common practice)
LEAST_MM_PER_M = 1.0  # bow that is left alone: bought bar is no straighter (common practice, no source)


@dataclass(frozen=True)
class Countering:
    """What is believed of counter-work.

    strain : (n,) unsigned, of the patch, that strokes (n,) of an action and bite do; bow, plane : share of
    the formula that this does out of the plane and in it, mean and standard deviation, without what each has
    of its own; known : a bow was read after counter-work; begun : there was any
    """

    strain: Callable[[str, str, NDArray[np.int64]], NDArray[np.float64]]
    bow: tuple[float, float]
    plane: tuple[float, float]
    known: bool = False
    begun: bool = False


def countering(job: Job, steps: list[Step], fitted: Fit, bow: tuple[float, float], known: bool) -> Countering:
    """As the refit has it; bow, known : by the readings of the bow."""
    model, theta = fitted.model, fitted.belief.mean[fitted.sites :]
    plane = share_in_plane(job.part.other_edge())
    begun = any(isinstance(step, Countered) for step in steps)
    if begun:
        at = fitted.sites + model.share_at
        plane = float(fitted.belief.mean[at]), float(np.sqrt(fitted.belief.cov[at, at]))

    def strain(action: str, bite: str, strokes: NDArray[np.int64]) -> NDArray[np.float64]:
        stroking = Stroking(action, bite, strokes.astype(float), fitted.worn.beyond)
        return model.strain_beyond(stroking, theta)[0]

    return Countering(strain, bow, plane, known, begun)


def counter_work(
    job: Job, now: OutOfPlane | None, end: OutOfPlane | None, by: Countering, twist_rad: Array = NO_TWIST
) -> Counter | None:
    """Strokes that bring the bow back, or the twist where the bow is small, spread evenly; None where both
    are small or cannot be foretold, where the part has no other edge that the tool takes, where no bite may
    be used there, where no sensible count would do, where it would move the curve by more than the bow
    (:func:`too_dear`), and once bows read after it leave open whether it brings them back at all.
    Against the twist it is advised but once: nobody reads that, so what is left of it then is a guess.

    end : what the plan leaves; what it brings back by itself is not countered; twist_rad : (p,) twist along
    the part by now, as of ``Part.side_effects``
    """
    edge, bow_mm = job.part.other_edge(), _lasting_mm(now, end)
    if now is None or edge is None or by.bow[0] < SURE * by.bow[1] or _unforetold(job, now, end):
        return None
    if abs(bow_mm) >= _least_mm(job):
        return None if too_dear(edge) else against_bow(job, edge, bow_mm, by, twist_rad)
    if by.begun or not len(twist_rad) or np.ptp(twist_rad) < LEAST_TO_TURN_RAD:
        return None
    alike, turn = _alike(twist_rad, edge.twist_rad.sum(axis=1)), float(np.ptp(twist_rad))
    action = "shrink" if alike < 0.0 else "stretch"
    return _strokes_against(job, "twist", action, turn, by, twist_rad) if abs(alike) > ALIKE else None


def too_dear(edge: OtherEdge) -> bool:
    """Whether strokes all along this edge move the curve by more than the bow that they take back, both at
    mid-length and by the formula: as on a channel and a Z (common practice, no source)."""
    return bool(abs(edge.closes_mm.sum()) > abs(edge.bow_mm.sum()))


def against_bow(
    job: Job, edge: OtherEdge, bow_mm: float, by: Countering, twist_rad: Array = NO_TWIST
) -> Counter | None:
    """Strokes all along the other edge that take this bow back, whatever they do to the curve."""
    action = "shrink" if bow_mm * edge.bow_mm.sum() < 0.0 else "stretch"
    return _strokes_against(job, "bow", action, abs(bow_mm), by, twist_rad)


def _least_mm(job: Job) -> float:
    """Bow from which it is countered."""
    return LEAST_MM_PER_M * job.part.length_mm / 1000.0


def _unforetold(job: Job, now: OutOfPlane, end: OutOfPlane | None) -> str:
    """What would be countered, "bow" or "twist", were its band not wider than that itself; else ""."""
    if abs(_lasting_mm(now, end)) >= _least_mm(job):
        return "" if bow_foretold(now) else "bow"
    return "" if now.twist_rad < LEAST_TO_TURN_RAD or twist_foretold(now) else "twist"


def _alike(one: Array, other: Array) -> float:
    """How alike two twists along the part are, -1 to 1; 0 where one has none."""
    one, other = one - one.mean(), other - other.mean()
    size = float(np.linalg.norm(one) * np.linalg.norm(other))
    return float(one @ other) / size if size else 0.0


def _strokes_against(
    job: Job, what: str, action: str, wanted: float, by: Countering, twist_rad: Array
) -> Counter | None:
    """Strokes on the other edge that take this much bow (mm) or twist (rad) back."""
    edge, bites, sign = job.under[action].other_edge(), job.bites(action), SIGN[action]
    if edge is None or not bites:
        return None
    bite = min(bites, key=lambda name: abs(job.tools[action].bites[name] - 1.0))

    def back(total: int) -> float:
        strain = by.bow[0] * by.strain(action, bite, _spread(total, len(edge.bow_mm)))
        return abs(float(edge.bow_mm @ strain)) if what == "bow" else float(np.ptp(edge.twist_rad @ strain))

    total = _total(back, wanted, MOST_A_SITE * len(edge.bow_mm))
    if not total:
        return None
    strokes = _spread(total, len(edge.bow_mm))
    shortened = sign * by.strain(action, bite, strokes)
    bow, closes = float(edge.bow_mm @ shortened), float(edge.closes_mm @ shortened)
    bow_sd, closes_sd = (
        abs(formula) * hypot(sd, COUNTER_OWN_SD) for formula, (_, sd) in ((bow, by.bow), (closes, by.plane))
    )
    bow, closes = by.bow[0] * bow, by.plane[0] * closes
    untwists = _untwists_rad(twist_rad, by.bow[0] * edge.twist_rad @ shortened)
    return Counter(
        edge.where, action, bite, strokes, bow, closes, bow_sd, closes_sd, by.known, untwists, what
    )


def _untwists_rad(now_rad: Array, more_rad: Array) -> float:
    """By how much the largest twist gets less when this is added; both (p,), or none by now."""
    return float(np.ptp(now_rad) - np.ptp(now_rad + more_rad)) if len(now_rad) else 0.0


def _total(back_mm: Callable[[int], float], bow_mm: float, most: int) -> int:
    """Strokes in all that take most of this bow back; 0 where even one is too much, or so many too few."""
    low, high = 0, most
    if back_mm(most) < bow_mm:
        return 0
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if back_mm(middle) < bow_mm else (low, middle)
    return low if bow_mm - (back_mm(low) if low else 0.0) < back_mm(high) - bow_mm else high


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


def counter_reasons(
    job: Job,
    counter: Counter | None,
    read: bool,
    now: OutOfPlane | None = None,
    end: OutOfPlane | None = None,
) -> tuple[str, ...]:
    """The counter-work as a sentence, or that nobody can foretell what to counter; read : whether the bow
    was read, and since the last counter-work; now, end : as of :func:`counter_work`."""
    if counter is None:
        return _why_none(job, now, end)
    against = counter.against
    first = "" if read and against == "bow" else f"The {against} is only reckoned: {FIRST[against]} first. "
    label, one = job.part.sites.label, counter.total == 1
    alone = f"1 stroke at {label} {int(np.argmax(counter.strokes)) + 1}"
    strokes = alone if one else f"{counter.total} strokes in all, evenly over the {label}s"
    basis = "By what the counter-work so far showed" if counter.known else "By the formula"
    do = "Do it" if counter.known else f"It is a first guess: do {'no more' if one else 'half of it'}"
    return (
        f"{first}Counter-work against the {against}: {counter.action} the free edge of the {counter.where}, "
        f"{counter.bite} bite, {strokes}. {basis} that {_does(counter)} {do}, then {AFTER[against]} again.",
    )


def _why_none(job: Job, now: OutOfPlane | None, end: OutOfPlane | None) -> tuple[str, ...]:
    """Why a bow or a twist that is not small has no counter-work."""
    edge, bow_mm = job.part.other_edge(), _lasting_mm(now, end)
    if now is None or edge is None:
        return ()
    what = _unforetold(job, now, end)
    if what:
        return (f"The {what} cannot be foretold: {FIRST[what]} before any counter-work.",)
    if abs(bow_mm) < _least_mm(job) or not too_dear(edge):
        return ()
    closes_mm = -bow_mm * float(edge.closes_mm.sum() / edge.bow_mm.sum())
    way = "close" if closes_mm > 0.0 else "open"
    return (
        f"No counter-work against the bow: to take {format_length(abs(bow_mm))} back, strokes on the "
        f"{edge.where} would {way} the curve by about {format_length(abs(closes_mm))}, more than it is "
        "worth. Bend the bar straight instead.",
    )


def _does(counter: Counter) -> str:
    """What it changes, as sentences after "that"."""
    bow = format_band(abs(counter.bow_mm), counter.bow_sd_mm)
    way = "closes" if counter.closes_mm > 0.0 else "opens"
    curve = f"{way} the curve by {format_band(abs(counter.closes_mm), counter.closes_sd_mm)} at mid-length."
    if counter.against == "bow":
        return f"brings back {bow} and {curve}{untwisting(counter)}"
    turned = format_angle(counter.untwists_rad)
    return f"takes about {turned} back, changes the bow by {bow} and {curve}{COUNTS}"


def untwisting(counter: Counter) -> str:
    """What counter-work does to the twist, as a sentence with a space before it; "" for next to nothing."""
    angle = format_angle(abs(counter.untwists_rad))
    if abs(counter.untwists_rad) < LEAST_TWIST_RAD:
        return ""
    back = counter.untwists_rad > 0.0
    return f" It takes about {angle} of twist back." if back else f" It adds about {angle} of twist."
