"""A trial on an offcut: strokes at a few spots, one rise over a chord, and what that says of the response.

The spots are far enough apart that each answers alone. What one rise tells of ln work per stroke is
blurred by the gauge, the stock's own bow, the scatter of strokes, unevenness along the offcut and the
difference from piece to piece; all are in the standard deviation of what was seen.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, exp, floor, hypot, isfinite, log, sqrt
from numbers import Real
from typing import cast

import numpy as np
from numpy.typing import NDArray

from core.advice import BAND
from core.errors import InputError
from core.estimate.response import SIGN, ResponseModel, Stroking
from core.jobfields import LONGEST_MM, chosen, in_range
from core.jobtypes import Job
from core.kinds.base import TriedOnOffcut
from core.misfit import misfits
from core.readings.gauges import Gauge
from core.seen import Seen
from core.strained import Strained
from core.units import format_length, parse_length_mm

Array = NDArray[np.float64]
SPOTS, FEWEST_SPOTS = 4, 2  # the unevenness of an offcut is alike all over: more spots tell little more
FEWEST_STROKES = 4  # on a spot: its scatter is halved, and a pass seldom has fewer
READ_TO = 0.04  # of the rise: gauge and stock together, where the strokes that this takes are allowed
MARK_MM = 5.0  # spots are marked to this
PIECE_SD = 0.05  # of ln work between an offcut and a part of the same sheet: common practice, no source
STOCK_BOW_MM = (
    0.7  # over a metre (sd): bought bar is straight to about 1 mm in a metre, common practice, no source
)
FAR = (
    6.0  # times what is expected: no tool set properly does so much more or less, common practice, no source
)
DOUBTFUL = 3.0  # times what is expected, or less than its share: three standard deviations of a first guess
LEAST_TOLD = 3.0  # standard deviations of gauge and stock that a rise has to be to tell anything
_STEPS, _CLOSE = 30, 1e-12  # of Newton's method, and where it ends


@dataclass(frozen=True)
class Trial:
    """What is done to an offcut and what is expected of it.

    job : the offcut as a job, straight and with nothing to be made, its sites the spots and a neighbour on
    either side that stays untouched; strokes : on each spot, in one pass; spots : (k,) sites that are struck;
    chord_mm : between two marks as far from the middle of the offcut, along the edge, before the strokes;
    gauge : the rise is expected to be read with
    """

    job: Job
    action: str
    bite: str
    strokes: int
    spots: tuple[int, ...]
    chord_mm: float
    gauge: Gauge

    @property
    def length_mm(self) -> float:
        """Length of the offcut."""
        return self.job.part.length_mm

    @property
    def spots_mm(self) -> tuple[float, ...]:
        """Middle of each spot along the offcut."""
        return tuple(float(at) for at in self.job.part.sites.position_mm[list(self.spots)])

    @property
    def zone_mm(self) -> float:
        """Length of edge at each spot along which its strokes follow one another, as on the part."""
        return float(self.job.part.sites.width_mm[self.spots[0]])

    @cached_property
    def misfits(self) -> tuple[str, ...]:
        """Why the offcut cannot be struck with this tool on this machine, sentences: the trial is then what
        would be done once it fits; () where it fits."""
        job = self.job
        return misfits(job.part, job.metal, job.tools, [self.action], job.machine)[self.action]

    @property
    def rise_mm(self) -> float:
        """Rise expected at mid-chord, > 0 to the side that the action bends to."""
        return self.rise_of(self._expected)[0]

    @property
    def rise_band_mm(self) -> tuple[float, float]:
        """Between these the rise is expected, 95 per cent."""
        spread = exp(BAND * hypot(self.sd, self.known_before))
        return self.rise_mm / spread, self.rise_mm * spread

    @property
    def sd(self) -> float:
        """Standard deviation of ln ratio that the trial is expected to have by itself."""
        return self.noise(self._expected, self.gauge)

    @property
    def expected_ratio(self) -> float:
        """Work expected of the strokes on a spot, against as many times the first guess of one."""
        return float(self._expected.sum() / self.guess.sum())

    @property
    def known_before(self) -> float:
        """Standard deviation of ln work of these strokes on a spot, as believed so far."""
        row = self._model.alone(self.action, self.bite, self.strokes)
        return sqrt(max(float(row @ self._model.cov @ row), 0.0))

    @property
    def known_after(self) -> float:
        """The same once the rise has been read."""
        return self.known_before * self.sd / hypot(self.known_before, self.sd)

    @cached_property
    def guess(self) -> Array:
        """(k,) work of the strokes on each spot if every one did as the first guess has it, unsigned."""
        return self.strokes * self._model.guess(self.action, self.bite)[list(self.spots)]

    def rise_of(self, work: Array) -> tuple[float, Array]:
        """Exact rise (mm) at mid-chord with this unsigned work (k,) in the spots, and its slopes (k,)."""
        sign, part = SIGN[self.action], cast(TriedOnOffcut, self.job.part)
        lacking = np.zeros(len(part.sites))
        lacking[list(self.spots)] = -sign * work
        shown, slopes = part.sagitta(lacking, np.array([0.5 * part.length_mm]), self.chord_mm)
        return -sign * float(shown[0]), slopes[0, list(self.spots)]

    def noise(self, work: Array, gauge: Gauge) -> float:
        """Standard deviation of ln ratio where the spots got this work (k,) and this gauge reads the rise."""
        model, slopes = self._model, self.rise_of(work)[1]
        grows = slopes * work  # of the rise by ln work of each spot, mm
        share = grows / grows.sum()
        uneven = share @ model.modes[list(self.spots)]
        scatter = model.scatter * sqrt(float(share @ share) / self.strokes)
        return hypot(self.blur_mm(gauge) / grows.sum(), scatter, float(np.linalg.norm(uneven)), PIECE_SD)

    def blur_mm(self, gauge: Gauge) -> float:
        """Standard deviation of the rise by the gauge and by the stock's own even bow over the chord, mm."""
        return hypot(gauge.sd_mm(), STOCK_BOW_MM * (self.chord_mm / 1000.0) ** 2)

    @cached_property
    def _model(self) -> ResponseModel:
        return ResponseModel(self.job)

    @cached_property
    def _expected(self) -> Array:
        """(k,) work expected of each spot, unsigned."""
        strokes = np.zeros(len(self.job.part.sites))
        strokes[list(self.spots)] = self.strokes
        stroking = Stroking(self.action, self.bite, strokes, np.zeros(len(strokes)))
        return self._model.work(stroking, self._model.mean)[0][list(self.spots)]


def trial_plan(
    job: Job, action: str, bite: str, length_mm: float | None = None, gauge: Gauge | None = None
) -> Trial:
    """What to do to an offcut of the job's section to learn how this action and bite answer.

    length_mm : of the offcut there is (none: as long as it should be; a shorter one gets fewer spots);
    gauge : that will read the rise (none: the job's). Raises InputError for an action or a bite that is not
    the tool's, that the machine cannot be set to or that folds the edge, for an offcut too short for two
    spots, and for a kind of part whose strokes raise nothing.
    """
    chosen(action, "action", dict.fromkeys(job.actions))
    chosen(bite, "bite", job.tools[action].bites)
    if bite not in job.bites(action):
        raise InputError("bite", bite, _why_not(job, action, bite))
    if not isinstance(job.part, TriedOnOffcut):
        raise _bent_edge_wanted(job)
    length, sites, spots, chord = _laid_out(job.part, length_mm)
    under = {
        a: part.offcut(length, sites) for a, part in job.under.items() if isinstance(part, TriedOnOffcut)
    }
    straight = replace(job, part=job.part.offcut(length, sites), under=under, document={}, warnings=())
    trial = Trial(straight, action, bite, 1, spots, chord, gauge or job.gauge)
    if not trial.rise_mm > 0.0:
        raise _bent_edge_wanted(job)
    return _enough_strokes(trial)


def trial_read(trial: Trial, rise_mm: float, gauge: Gauge, source: str = "trial on an offcut") -> Seen:
    """What one rise over the chord says of the response.

    rise_mm : at mid-chord by a straight edge from mark to mark, > 0 to the side that the action bends to;
    source : where and when, for the record. Raises InputError for a rise that these strokes cannot have left.
    """
    _check_rise(trial, rise_mm, gauge)
    ratio = _ratio_of(trial, float(rise_mm))
    return Seen(
        trial.action, trial.bite, trial.strokes, ratio, trial.noise(ratio * trial.guess, gauge), source
    )


def _why_not(job: Job, action: str, bite: str) -> str:
    """Why no strip is tried with this bite, as no pass is planned with it."""
    able = job.bites(action)
    other = f"{' or '.join(able)} is wanted" if able else "another tool set is wanted"
    if bite in job.beyond_range(action):
        return f"{job.machine} cannot be set to {job.tools[action].settings[bite].text}; {other}"
    return f"the edge may fold under it; {other}"


def _bent_edge_wanted(job: Job) -> InputError:
    return InputError("kind", job.kind, "a part whose edge bends under its strokes is wanted for a trial")


def trial_doubt(trial: Trial, seen: Seen) -> str:
    """What to look at once more before this is believed; "" where it is about what was expected."""
    times = seen.ratio / trial.expected_ratio
    if 1.0 / DOUBTFUL < times < DOUBTFUL:
        return ""
    return (
        f"These strokes did {times:.2g} times what was expected of them. Check gauge, unit, chord, bite and "
        "the count of strokes, and read the rise again; it may still be kept."
    )


def _laid_out(part: TriedOnOffcut, length_mm: float | None) -> tuple[float, Array, tuple[int, ...], float]:
    """Length of the offcut, where its sites are, which of them are spots, and the chord."""
    zone = min(float(part.sites.width_mm.mean()), part.clear_mm)
    first, apart = (_marked(share * zone + part.clear_mm) for share in (0.5, 1.0))
    lengths = {n: 2.0 * first + (n - 1) * apart for n in range(FEWEST_SPOTS, SPOTS + 1)}
    given = lengths[SPOTS] if length_mm is None else parse_length_mm(length_mm, "length_mm", "mm")
    length = in_range(given, "length_mm", length_mm, above=0.0, most=LONGEST_MM, unit="mm")
    fitting = [n for n, wanted in lengths.items() if wanted <= length + 1e-9]
    if not fitting:
        least = format_length(lengths[FEWEST_SPOTS])
        raise InputError("length_mm", format_length(length), f"an offcut of at least {least} is wanted")
    count = fitting[-1]
    spots = 0.5 * length + apart * (np.arange(count) - 0.5 * (count - 1))
    sites = (spots[:, None] + zone * np.array([-1.0, 0.0, 1.0])).ravel()
    chord = MARK_MM * floor((lengths[count] - part.clear_mm) / MARK_MM)
    return length, sites, tuple(range(1, 3 * count, 3)), chord


def _marked(mm: float) -> float:
    return MARK_MM * ceil(mm / MARK_MM - 1e-9)


def _enough_strokes(trial: Trial) -> Trial:
    """As few strokes as raise the offcut well above what blurs the reading; metal and gauge allow so many."""
    for strokes in range(2, _strokes_allowed(trial) + 1):
        told = trial.blur_mm(trial.gauge) <= READ_TO * trial.rise_mm
        more = replace(trial, strokes=strokes)
        if (told and strokes > FEWEST_STROKES) or more.rise_band_mm[1] > trial.gauge.largest_mm:
            break
        trial = more
    return trial


def _strokes_allowed(trial: Trial) -> int:
    """Strokes on a spot that keep to the edge strain allowed in one pass; one at least."""
    spot, sites = trial.spots[0], len(trial.job.part.sites)
    one = ResponseModel(trial.job).strain(trial.action, trial.bite, np.ones(sites))[spot]
    soft = trial.job.limits.room(trial.action, Strained.none(sites))[spot]
    return max(1, floor(float(soft / one) + 1e-9))


def _check_rise(trial: Trial, rise_mm: float, gauge: Gauge) -> None:
    """Raises InputError for a rise that cannot be read, or that no response could give."""
    if isinstance(rise_mm, bool) or not isinstance(rise_mm, Real) or not isfinite(rise_mm):
        raise InputError("rise_mm", rise_mm, "a number in mm is wanted")
    shown = format_length(rise_mm)
    if rise_mm < 0.0:
        other = "it is bent to the other side; the rise that this action makes, above 0, is wanted"
        raise InputError("rise_mm", shown, other)
    least, (low, high) = LEAST_TOLD * trial.blur_mm(gauge), (trial.rise_mm / FAR, trial.rise_mm * FAR)
    if rise_mm < least:
        wanted = f"at least {format_length(least)}, well above what {gauge.name} and stock are off by"
        raise InputError("rise_mm", shown, f"{wanted}, is wanted: more strokes, or a finer gauge")
    if rise_mm > gauge.largest_mm:
        reach = format_length(gauge.largest_mm)
        raise InputError("rise_mm", shown, f"{gauge.name} reads to {reach}; the gauge that read it is wanted")
    if not low <= rise_mm <= high:
        between = f"{format_length(low)} to {format_length(high)}"
        wanted = f"{between} is all that these strokes can do; check strokes, bite, chord and unit"
        raise InputError("rise_mm", shown, wanted)


def _ratio_of(trial: Trial, rise_mm: float) -> float:
    """Work against the first guess that raises the offcut by this much (Newton's method on ln ratio)."""
    at = 0.0
    for _ in range(_STEPS):
        work = exp(at) * trial.guess
        rise, slopes = trial.rise_of(work)
        step = log(rise_mm / rise) * rise / float(slopes @ work)
        at += step
        if abs(step) < _CLOSE:
            break
    return exp(at)
