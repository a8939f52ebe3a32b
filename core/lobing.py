"""Out of round: what rounds on several meridians say of lobes, and the small step that takes them out.

Lobes answer to uneven work far more than any linear formula says, and to each sheet in its own way. So a
small step is proposed, then the meridians are read again, and what the steps did so far is what the next goes
by.
"""

from __future__ import annotations

from math import atan2, degrees, hypot, nan, pi

import numpy as np
from numpy.typing import NDArray

from core.advice import BAND, DOING, UNMEASURED, Advice
from core.estimate.fit import Fit
from core.estimate.gaussian import Belief
from core.estimate.uneven import Uneven, even_mm
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.lobes import components, lobe_rows, meridian_deg, waves
from core.readings.offering import layout_of, offer
from core.readings.rounds import CHANGES, RimRead, Round, Rounded, Step
from core.rounddoubts import rounds_since
from core.roundness import Lobe, Lobing, RoundingStep
from core.units import format_band
from core.verdict import even_within

Array = NDArray[np.float64]
ALL_ROUND = 24  # meridians that the gap counts on once all lobes are told
# Least singular value of the waves of the meridians that were read, over the square root of their number,
# from which they tell lobes apart: at less, lobes are several times as unsure as a reading.
APART = 0.15
EIGHTHS_DEG = (0.0, 45.0, 90.0, 135.0, 180.0)  # five that tell two and three lobes apart; five or six
# spread evenly over the whole turn do not
SHOWS = 2.0  # standard deviations that lobes are above nothing before they are worked on
MATTERS = 0.25  # of the tolerance: less is left alone
STEP, FIRST_STEP = 0.8, 0.5  # share of the lobes that a step shall take out, and that the first one shall
MOST = 10  # strokes on a spot in one step: it shall be little
ALONE = "What is even all round is within the tolerance; what is left is lobes, which no even pass takes out."
LEAST_ANSWER = 0.1  # of what even work does: a step that does less is none


def meridians(job: Job, steps: list[Step]) -> list[float]:
    """Those that the widest gap counts on, rad, the one read last first: those read since the last pass, and
    all round once they tell all lobes apart. Nobody knows of others what lobes do there."""
    if not isinstance(job.part, ReadOnMeridians):
        return [0.0]
    read = _read_since(steps) or [_last_read(steps)]
    if not _all_told(job.part, read):
        return read
    return [*read, *(read[0] + 2.0 * pi / ALL_ROUND * np.arange(1, ALL_ROUND))]


def planned_from(job: Job, steps: list[Step], fitted: Fit) -> Belief | None:
    """The belief over work and response that a pass is planned from; None where no even pass is of use.

    Where the meridians read do not tell lobes from what is even, a pass goes by what they show in their mean,
    as the widest gap does: else it would be held back for ever by lobes that may not be there.
    """
    lobed, uneven = fitted.lobed, Uneven(job, fitted.sites)
    if isinstance(job.part, ReadOnMeridians):
        read = _read_since(steps) or [_last_read(steps)]
        if not _all_told(job.part, read):
            lobed = uneven.taken_for_even(lobed, read)
        if even_within(job, lobed):
            return None
    return uneven.without(lobed)


def _all_told(part: ReadOnMeridians, read: list[float]) -> bool:
    return all(_told(part, lobes, read, []) for lobes in part.lobes)


def _read_since(steps: list[Step]) -> list[float]:
    found = (steps[k] for k in rounds_since(steps))
    return list(dict.fromkeys(step.meridian_rad for step in found if isinstance(step, Round) and _says(step)))


def _last_read(steps: list[Step]) -> float:
    return next((s.meridian_rad for s in reversed(steps) if isinstance(s, Round)), 0.0)


def _says(step: Round) -> bool:
    return bool(len(step.read))


def _rim_since(steps: list[Step]) -> list[float]:
    """Angles of the diameters read since the last pass."""
    found: list[float] = []
    for step in reversed(steps):
        if isinstance(step, CHANGES):
            break
        found += list(step.at_rad) if isinstance(step, RimRead) else []
    return found


def _told(part: ReadOnMeridians, lobes: int, read: list[float], rim: list[float]) -> bool:
    """Whether these meridians tell so many lobes from what is even and from fewer lobes; diameters of the rim
    tell an even number by themselves."""
    fewer = [n for n in part.lobes if n <= lobes]
    return _apart(read, fewer) or (lobes % 2 == 0 and _apart(rim, [n for n in fewer if n % 2 == 0]))


def _apart(at_rad: list[float], lobes: list[int]) -> bool:
    turns = np.multiply.outer(np.array(at_rad), np.array(lobes, dtype=float))
    told = np.hstack([np.ones((len(at_rad), 1)), np.cos(turns), np.sin(turns)])
    if len(at_rad) < told.shape[1]:
        return False
    least = float(np.linalg.svd(told, compute_uv=False)[-1])
    return least > APART * float(np.sqrt(len(at_rad)))


def lobing(job: Job, steps: list[Step], fitted: Fit) -> Lobing | None:
    """What is known of the lobes now; None for a part that cannot have any."""
    part = job.part
    if not isinstance(part, ReadOnMeridians):
        return None
    read, rim, n = _read_since(steps), _rim_since(steps), fitted.sites
    own = slice(n, n + components(part))
    mean, cov = fitted.lobed.mean[own], fitted.lobed.cov[own, own]
    told = [_told(part, lobes, read, rim) for lobes in part.lobes]
    found = tuple(_lobe(part, k, mean, cov, told[k]) for k in range(len(told)))
    more = sorted((degrees(read[0]) + each) % 360.0 for each in EIGHTHS_DEG) if read and not all(told) else []
    out = _out_of_round(part, mean, cov, told)
    step = _step(job, steps, fitted, found)
    here = meridian_deg(part, read[0] if read else _last_read(steps)) or 0.0
    return Lobing(found, *out, tuple(degrees(each) for each in read), tuple(more), step, here)


def expected_on(job: Job, advice: Advice, at_deg: float) -> tuple[Array, Array]:
    """(n,) what the job's gauge should show on another meridian, and (n,) its standard deviation, mm; NaN as
    in the advice. The template is seated at its best there; what is not known of the lobes is reckoned as if
    it had nothing to do with what is not known of the rest."""
    mean, sd = np.asarray(advice.expected_reading_mm), np.asarray(advice.expected_reading_sd_mm)
    part, found = job.part, advice.lobing
    if found is None or not isinstance(part, ReadOnMeridians) or at_deg == found.here_deg:
        return mean, sd
    layout, n = layout_of(part, job.template), len(part.sites)
    places, readable = layout.points_mm[layout.readable], layout.readable[:n]
    here, there = (lobe_rows(part, job.template, places, np.radians(a)) for a in (found.here_deg, at_deg))
    turns = [each.lobes * np.radians(each.at_deg) for each in found.lobes]
    size = [each.amplitude_mm for each in found.lobes]
    lobes = np.array([f(turn) * a for turn, a in zip(turns, size, strict=True) for f in (np.cos, np.sin)])
    laid = offer(part, job.template, advice.remaining_work, lobes=there @ lobes)
    own_sd = np.repeat([each.amplitude_sd_mm for each in found.lobes], 2)
    read = int(readable.sum())
    mean, sd = mean.copy(), sd.copy()
    mean[readable] = laid.readings_mm[:read]
    sd[readable] = np.hypot(sd[readable], np.sqrt((there - here)[:read] ** 2 @ own_sd**2))
    return mean, sd


def _lobe(part: ReadOnMeridians, k: int, mean: Array, cov: Array, told: bool) -> Lobe:
    """Linear propagation; where the amplitude is nothing, its direction is unknown."""
    (a, b), own, lobes = mean[2 * k : 2 * k + 2], cov[2 * k : 2 * k + 2, 2 * k : 2 * k + 2], part.lobes[k]
    size, way = hypot(a, b), atan2(b, a)
    along, across = np.array([np.cos(way), np.sin(way)]), np.array([-np.sin(way), np.cos(way)])
    sd, turn_sd = (float(np.sqrt(each @ own @ each)) for each in (along, across))
    radial = float(part.rim_moves[0, k])
    at = degrees(way) / lobes % (360.0 / lobes)
    at_sd = min(degrees(turn_sd / max(size, 1e-12)) / lobes, 180.0 / lobes)
    return Lobe(lobes, size, sd, radial * size, radial * sd, at, at_sd, told)


def _out_of_round(part: ReadOnMeridians, mean: Array, cov: Array, told: list[bool]) -> tuple[float, float]:
    """Largest less smallest radius of the rim, and its standard deviation about the places where they are."""
    if not any(told):
        return nan, nan
    round_the_rim = waves(part, np.radians(np.arange(360.0)))
    rows = round_the_rim * np.repeat(part.rim_moves[0] * np.array(told), 2)
    radius = rows @ mean
    across = rows[int(np.argmax(radius))] - rows[int(np.argmin(radius))]
    return float(across @ mean), float(np.sqrt(across @ cov @ across))


def _step(job: Job, steps: list[Step], fitted: Fit, found: tuple[Lobe, ...]) -> RoundingStep | None:
    """Against the lobes that stand out most of those that matter. Shrinking brings the rim in, as it does
    when it is even, so it goes where the rim stands out; stretching goes between."""
    worth = [
        each
        for each in found
        if each.told
        and each.amplitude_mm > SHOWS * each.amplitude_sd_mm
        and each.amplitude_mm > MATTERS * job.tolerance_mm
    ]
    able = [action for action in ("shrink", "stretch") if job.bites(action)]
    action = next((action for action in able if not job.misfits.get(action)), able[0] if able else None)
    if not worth or action is None:
        return None
    most = max(worth, key=lambda each: each.amplitude_mm)
    known = any(isinstance(step, Rounded) and step.lobes == most.lobes for step in steps[:-1])
    bite = job.bites(action)[0]
    at = fitted.sites + components(job.part) + [each.lobes for each in found].index(most.lobes)
    answer, sd = fitted.lobed.mean[at], float(np.sqrt(fitted.lobed.cov[at, at]))
    one = abs(even_mm(job, action, bite))
    wanted = (STEP if known else FIRST_STEP) * most.amplitude_mm / (max(answer, LEAST_ANSWER) * one)
    strokes = int(np.clip(np.rint(wanted), 1, MOST))
    turn = 360.0 / most.lobes
    middle = most.at_deg if action == "shrink" else (most.at_deg + 0.5 * turn) % turn
    arcs = tuple(
        ((middle + k * turn - 0.25 * turn) % 360.0, (middle + k * turn + 0.25 * turn) % 360.0)
        for k in range(most.lobes)
    )
    at_rim = most.radial_mm / most.amplitude_mm  # as the lobes are told: of the rim's radius
    takes = at_rim * one * strokes * float(answer), at_rim * one * strokes * sd
    return RoundingStep(action, bite, most.lobes, middle, strokes, arcs, *takes, known)


def lobing_reasons(
    job: Job, verdict: str, found: Lobing | None, widest_mm: float, alone: bool
) -> tuple[str, ...]:
    """Sentences: which meridians the verdict speaks of, how far out of round the rim is, and what to do.

    alone : lobes are all that keeps the part from its tolerance
    """
    if found is None or verdict == UNMEASURED or not found.read_deg:
        return ()
    said = [ALONE] if alone else []
    if found.more_deg and widest_mm < 4.0 * job.tolerance_mm:
        said.append(_only(found))
    shown = [each for each in found.lobes if each.told and each.amplitude_mm > SHOWS * each.amplitude_sd_mm]
    if shown:
        parts = ", and ".join(_about(each) for each in shown)
        out = format_band(found.out_of_round_mm, found.out_of_round_sd_mm)
        said.append(f"The rim is out of round by {out}, largest less smallest radius: {parts}.")
    if found.step is not None:
        said.append(_do(found.step))
    return tuple(said)


def _only(found: Lobing) -> str:
    read = ", ".join(f"{each:.0f}°" for each in sorted(found.read_deg))
    which = f"the meridians at {read}" if len(found.read_deg) > 1 else f"the meridian at {read}"
    more = ", ".join(f"{each:.0f}°" for each in found.more_deg)
    untold = " nor ".join(f"{each.lobes} lobes" for each in found.lobes if not each.told)
    return (
        f"The verdict speaks of {which} alone, which does not tell {untold} from what is even; "
        f"five meridians do, such as {more}."
    )


def _about(lobe: Lobe) -> str:
    places = " and ".join(f"{lobe.at_deg + 360.0 / lobe.lobes * k:.0f}°" for k in range(lobe.lobes))
    size = format_band(lobe.radial_mm, lobe.radial_sd_mm)
    return f"{lobe.lobes} lobes of {size} stand out at {places} (± {BAND * lobe.at_sd_deg:.0f}°)"


def _do(step: RoundingStep) -> str:
    arcs = " and ".join(f"from {first:.0f}° to {last:.0f}°" for first, last in step.arcs_deg)
    strokes = "1 stroke" if step.strokes == 1 else f"{step.strokes} strokes"
    basis = "By the steps so far" if step.known else "By a first guess, no more"
    takes = format_band(step.takes_mm, step.takes_sd_mm)
    return (
        f"Against the {step.lobes} lobes: {DOING[step.action]}, {step.bite} bite, {strokes} on every spot of "
        f"{step.lobes} arcs of the rim, {arcs}. {basis}, that takes {takes} off them. Do that little, "
        "then read the same meridians again."
    )
