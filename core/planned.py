"""Passes as they are planned: strokes, feed, minutes, and what is expected after them."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan

import numpy as np
from numpy.typing import NDArray

from core.limits import Hardened, Held
from core.strained import Strained

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Zone:
    """Neighbouring sites with the same count, and the feed that puts the strokes there.

    first, last : indices (from 0) of the sites; strokes : count at each of them; feed_mm_per_s : how fast the
    edge moves under the tool; seconds : time in the zone; goes : how often the zone is gone over, there and
    back, each time at this feed; standing : made standing at the marks, as the machine makes no feed that
    would do; then the feed is what it comes to, and spots : side by side at each mark, a patch apart, that
    share its strokes, so that no spot is strained more than the rest
    """

    first: int
    last: int
    strokes: int
    feed_mm_per_s: float
    seconds: float
    goes: int = 1
    standing: bool = False
    spots: int = 1


@dataclass(frozen=True)
class Pass:
    """One planned pass.

    strokes : (n,) whole numbers, one a site; expected_gap_mm : widest gap expected after it, with
    expected_gap_sd_mm; expected_deviation_mm : (n,) signed, under the best seating; overshoot_risk : chance
    that it leaves work for the other action (NaN where that follows anyhow), NaN where it will be planned
    again first; feed : zones in the order of work; anneal_first : the metal has to be softened before it,
    hardened : why; minutes : it takes with the round of gaps after it and a change of tool before it, without
    an anneal, NaN where nobody reckoned it; change_minutes : those of the change of tool before it, None
    where its tool is on already; strokes_per_minute : rate that the feed counts on, NaN where nobody reckoned
    it; bow_mm, twist_rad : expected after it out of the plane (``core.advice.OutOfPlane``), NaN where work
    does not bow or twist the part or the plan is an earlier one, with their standard deviations bow_sd_mm
    and twist_sd_rad, and the side that the bow stands out to; in_all : strokes of the whole pass, more
    than the counts where each is for every spot of its site; edge : strain of the worked edge expected after
    it, None where nobody reckoned it; held : where limits of the metal leave some of the work to a later pass
    """

    action: str
    bite: str
    strokes: NDArray[np.int64]
    expected_gap_mm: float
    expected_gap_sd_mm: float
    expected_deviation_mm: Array
    overshoot_risk: float
    feed: tuple[Zone, ...] = ()
    anneal_first: bool = False
    bow_mm: float = nan
    twist_rad: float = nan
    minutes: float = nan
    change_minutes: float | None = None
    strokes_per_minute: float = nan
    in_all: int | None = None
    edge: Strained | None = None
    held: tuple[Held, ...] = ()
    hardened: Hardened | None = None
    bow_sd_mm: float = nan
    twist_sd_rad: float = nan
    side: str = ""

    @property
    def total(self) -> int:
        """Strokes in all."""
        return int(self.strokes.sum()) if self.in_all is None else self.in_all


@dataclass(frozen=True)
class Smoothing:
    """A light smoothing pass, still to be done. strokes : (n,) whole, at every site; strokes_per_minute : the
    fastest that the machine makes and feeds, where it is known; feed, minutes, change_minutes : as for a
    pass; change_face : the tool's own face leaves marks, a smooth or soft one is wanted first; due : now,
    else once the passes that are planned are done and the part is within"""

    bite: str
    strokes: NDArray[np.int64]
    strokes_per_minute: float
    feed: tuple[Zone, ...]
    minutes: float
    change_face: bool = False
    change_minutes: float | None = None
    due: bool = True
    in_all: int | None = None

    @property
    def total(self) -> int:
        """Strokes in all."""
        return int(self.strokes.sum()) if self.in_all is None else self.in_all
