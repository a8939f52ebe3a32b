"""What a refit answers: plain frozen records, the same for every kind of part."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import degrees, nan

import numpy as np
from numpy.typing import NDArray

from core.kinds.base import Part
from core.limits import LimitUse, UseOf
from core.planned import Pass, Smoothing
from core.roundness import Lobing
from core.seen import Seen, Told
from core.utmost import Reach

Array = NDArray[np.float64]
NOTICEABLE = 0.05  # a response nearer than that to what was expected is told as that
BAND = 1.96  # half-width of a 95 % band in standard deviations
DOING = {"shrink": "shrinking", "stretch": "stretching"}
WITHIN, OUTSIDE, CLOSE, UNMEASURED = "within", "outside", "too close to call", "not measured"
NOT_TOLD = "not told"  # of a field that answers questions and is no answer itself


@dataclass(frozen=True)
class Response:
    """What one action and bite does per stroke, now, against what was expected before any reading.

    mean, sd : work per stroke of so many strokes on a spot, on metal as hard as it is now, averaged over the
    sites (rad for bars); expected : the same by the first guess; ratio : mean / expected; known : False while
    no pass with this action and bite has been read; strokes : as the read passes had on average, else 1
    """

    action: str
    bite: str
    mean: float
    sd: float
    expected: float
    known: bool
    strokes: float = 1.0
    unit: str = "rad"

    @property
    def ratio(self) -> float:
        """Mean against the first guess."""
        return self.mean / self.expected

    @property
    def as_expected(self) -> bool:
        """Whether the ratio is too near to 1 to be worth telling."""
        return abs(self.ratio - 1.0) < NOTICEABLE

    @property
    def ratio_band(self) -> float:
        """Half-width of the ratio's 95 % band, like the ratio a share of the first guess."""
        return BAND * self.sd / self.expected

    def __str__(self) -> str:
        spot = "a stroke" if self.strokes < 1.05 else f"{self.strokes:.2g} strokes on a spot"
        return f"{100 * self.ratio:.0f} ± {100 * self.ratio_band:.0f} % of the first guess for {spot}"


@dataclass(frozen=True)
class Stayed:
    """What stayed of a pass when it was read, against what its strokes were to do by what was believed just
    before; spring-back and a weaker answer are both in it, no reading of metal let go tells them apart.

    number : of the pass, from 1; action, bite : of it; sites : indices from 0 that it is told of; share, sd :
    what stayed over what was to stay, in all of these sites (of angles where an edge is turned, of work
    elsewhere), with its standard deviation; before, asked, came : (n,) work left before the pass, as it was
    to be left, and as it was found; angles_rad : of an edge that is turned, its angle at these three, on
    average of the sites, () for others
    """

    number: int
    action: str
    bite: str
    sites: tuple[int, ...]
    share: float
    sd: float
    before: Array
    asked: Array
    came: Array
    angles_rad: tuple[float, ...] = ()

    def __str__(self) -> str:
        return f"{100 * self.share:.0f} ± {100 * BAND * self.sd:.0f} %"

    @property
    def told(self) -> str:
        """What was asked and what came, in angles; "" of an edge that is not turned."""
        if not self.angles_rad:
            return ""
        was, asked, came = (f"{degrees(angle):.1f}°" for angle in self.angles_rad)
        return f"{was} to {asked} asked, {came} came{' (average)' * (len(self.sites) > 1)}"


@dataclass(frozen=True)
class Suspect:
    """A reading that disagrees with everything else; it is set aside until read again or confirmed.

    station : index from 0; read_mm : what was read, the gauge's reach where it was beyond; expected_mm,
    low_mm, high_mm : what everything else says, with its 95 % band; score : disagreement in standard
    deviations; at_deg : the meridian it was read on, None for a part that is not read on meridians
    """

    station: int
    read_mm: float
    expected_mm: float
    low_mm: float
    high_mm: float
    score: float
    at_deg: float | None = None
    beyond: bool = False

    @property
    def sd_mm(self) -> float:
        """Standard deviation of what everything else says."""
        return 0.5 * (self.high_mm - self.low_mm) / BAND


@dataclass(frozen=True)
class Reseat:
    """How to move the template: outward shift at mid-length (mm), tilt (rad, > 0 lifts the far end) and slide
    along the bar (mm, > 0 towards the far end); gap_then_mm : widest gap then, which the verdict goes by;
    gap_now_mm : as it sits now"""

    shift_mm: float
    tilt_rad: float
    gap_then_mm: float
    slide_mm: float = 0.0
    gap_now_mm: float = nan


@dataclass(frozen=True)
class OutOfPlane:
    """Bow and twist that come with the work unasked, as learned from the bows read.

    bow_mm, bow_sd_mm : of the heel line at mid-length over the two ends, > 0 as ``Part.side_effects`` says,
    with its standard deviation; twist_rad, twist_sd_rad : largest difference of twist between any two places;
    side : where the middle stands out to, in words
    """

    bow_mm: float
    bow_sd_mm: float
    twist_rad: float
    twist_sd_rad: float
    side: str


@dataclass(frozen=True)
class Counter:
    """Strokes on another edge that bring the bow or the twist back, by the elastic formula and what was seen
    of it so far.

    where : the flange whose free edge is worked; strokes : (n,) whole numbers, one a site; bow_mm, bow_sd_mm
    : what they change the bow by; closes_mm, closes_sd_mm : what they change the curve by in its plane, the
    ends against the middle, > 0 closes it; untwists_rad : by how much they lessen the twist, < 0 where they
    add to it; known : counter-work was done and the bow read after it: else it is a first guess; against :
    "bow" or "twist"
    """

    where: str
    action: str
    bite: str
    strokes: NDArray[np.int64]
    bow_mm: float
    closes_mm: float
    bow_sd_mm: float = 0.0
    closes_sd_mm: float = 0.0
    known: bool = False
    untwists_rad: float = 0.0
    against: str = "bow"

    @property
    def total(self) -> int:
        """Strokes in all."""
        return int(self.strokes.sum())

    @property
    def half(self) -> NDArray[np.int64]:
        """(n,) half of the strokes, as evenly spread, one more where they are odd."""
        return np.diff((np.cumsum(self.strokes) + 1) // 2, prepend=0)


@dataclass(frozen=True)
class Advice:
    """Everything the refit has to say about a part.

    verdict : "within" (never beside suspects), "outside", "too close to call", "not measured" (too few gaps)
    chance_within : probability that the widest gap is within the tolerance, suspects left out; NaN while a
        whole round is in doubt, of which the widest gap is as it was read
    widest_gap_mm, widest_gap_sd_mm, widest_at : under the best seating; at which station (from 0)
    deviation_mm, deviation_sd_mm : (n,) signed, rigid motion of the template taken out
    expected_reading_mm, expected_reading_sd_mm : (n,) what the gauge should show now at each station
        with the template seated as last time (or best), NaN where the template cannot be read
    remaining_work, remaining_work_sd : (n,) unit of work; > 0 wants shrinking
    next_pass : None when done; remaining : passes still planned, next first; before : the same before the
        last round of gaps was read; response : what was learned, by (action, bite)
    suspects, reseat, reasons, warnings : see their types; sentences for the operator
    doubts : why whole rounds read since the last pass are in doubt, until read again or confirmed; never
        beside "within"
    misfits : why no pass can be run on this machine as it stands, sentences: the plan is then what would be
        run once it fits; () where it fits, or where it was logged that the part is run all the same
    side_effects : out of the plane by now, None for a part that does not bow; side_effects_then,
        side_effects_end : once the next pass, and once the whole plan is done (as now where there is none)
    counter : work on another edge against bow or twist by now; None where both are small or there is no such
        edge; counter_then : the same once the next pass is done
    edge_strain : (n,) put in so far; limit_use : how much of the limits is used once the next pass is done
    thickness_mm, thickness_then_mm : (n,) of the worked edge by constant volume, now and on target
    passes_done : how many; gap_history_mm : one each, widest by the last shape read after it, NaN: none, or
        one in doubt
    minutes_left : of all still planned, smoothing with it, see Pass; tool_changes, change_minutes : in that,
        how many and how long; smoothing : what faces in sight want once the part is within, None for nothing
    learned : what this part itself told of the response, for other parts; nothing that was believed before
    reach : how far the part could go in this metal, by action; use_of : how much of the limits other strokes
        than those planned would use now, None where nobody knows; part : as its passes have left it, by which
        the remaining work shows
    stayed : what stayed of each pass that was read, oldest first; allowed_for : how many times the work that
        is to stay of the next pass its strokes would do by the first guess, NaN without one
    told : what it told of all that parts alike have in common, None for nothing; lobing : how far out of
        round a part read on meridians is, None for others. The widest gap counts on the meridians read since
        the last pass, all round once they tell its lobes; deviation_mm is the even part
    """

    verdict: str
    chance_within: float
    widest_gap_mm: float
    widest_gap_sd_mm: float
    widest_at: int
    deviation_mm: Array
    deviation_sd_mm: Array
    expected_reading_mm: Array
    expected_reading_sd_mm: Array
    remaining_work: Array
    remaining_work_sd: Array
    next_pass: Pass | None
    remaining: tuple[Pass, ...]
    before: tuple[Pass, ...]
    response: dict[tuple[str, str], Response]
    suspects: tuple[Suspect, ...]
    reseat: Reseat | None
    reasons: tuple[str, ...]
    warnings: tuple[str, ...]
    side_effects: OutOfPlane | None
    side_effects_then: OutOfPlane | None
    side_effects_end: OutOfPlane | None
    counter: Counter | None
    edge_strain: Array
    limit_use: LimitUse
    thickness_mm: Array
    thickness_then_mm: Array
    passes_done: int
    gap_history_mm: tuple[float, ...]
    minutes_left: float = nan
    tool_changes: int = 0
    change_minutes: float = 0.0
    smoothing: Smoothing | None = None
    learned: tuple[Seen, ...] = ()
    lobing: Lobing | None = None
    told: Told | None = None
    counter_then: Counter | None = None
    reach: tuple[Reach, ...] = ()
    misfits: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    stayed: tuple[Stayed, ...] = ()
    allowed_for: float = nan
    use_of: UseOf | None = field(default=None, repr=False, metadata={NOT_TOLD: True})
    part: Part | None = field(default=None, repr=False, metadata={NOT_TOLD: True})

    @property
    def smooth_now(self) -> Smoothing | None:
        """The smoothing, once it is due."""
        return self.smoothing if self.smoothing is not None and self.smoothing.due else None
