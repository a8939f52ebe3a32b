"""Out of round: what rounds on several meridians say of lobes, and the small step that takes them out.

Lobes answer to uneven work far more than any linear formula says, and to each sheet in its own way. So a
small step is proposed, then the meridians are read again, and what the steps did so far is what the next goes
by.
"""

from __future__ import annotations

from itertools import combinations
from math import atan2, degrees, hypot, nan

import numpy as np
from numpy.typing import NDArray

from core.advice import BAND, DOING, UNMEASURED, Advice
from core.estimate.fit import Fit
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.lobestep import Against, step_against
from core.lobestold import SHOWS, Angles, angles_read, last_read, told
from core.readings.lobes import components, lobe_rows, meridian_deg, waves
from core.readings.offering import layout_of, offer
from core.readings.rounds import Step
from core.roundness import Lobe, Lobing, RoundingStep
from core.units import format_band, format_length

Array = NDArray[np.float64]
EIGHTHS_DEG = (0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0)  # the first five tell two and three lobes
# apart; five or six spread evenly over the whole turn do not
ALONE = "What is even all round is within the tolerance; what is left is lobes, which no even pass takes out."
DRAWS, SEED = 256, 20260101  # fixed: the same log must say the same
EVERY_DEG = 1.0  # places of the rim where its radius is looked at


def lobing(job: Job, steps: list[Step], fitted: Fit, within: bool = False) -> Lobing | None:
    """What is known of the lobes now; None for a part that cannot have any. within : the part is within its
    tolerance, so that no step is called for"""
    part = job.part
    if not isinstance(part, ReadOnMeridians):
        return None
    now, n = angles_read(steps)[0], fitted.sites
    own = slice(n, n + components(part))
    mean, cov = fitted.lobed.mean[own], fitted.lobed.cov[own, own]
    tells = [told(part, lobes, now) for lobes in part.lobes]
    found = tuple(_lobe(part, k, mean, cov, tells[k]) for k in range(len(tells)))
    read = [round(degrees(each), 6) for each in now.rounds]  # 240 as it is said
    more = _besides(part, read, now) if read and not all(tells) else ()
    against = Against() if within else step_against(job, steps, fitted, found)
    return Lobing(
        lobes=found,
        **_out_of_round(part, mean, cov, tells),
        read_deg=tuple(read),
        more_deg=more,
        step=against.step,
        here_deg=meridian_deg(part, now.rounds[0] if read else last_read(steps)) or 0.0,
        why_no_step=against.why_not,
    )


def _besides(part: ReadOnMeridians, read_deg: list[float], now: Angles) -> tuple[float, ...]:
    """Fewest eighths of a turn from the first meridian read that with those read tell all lobes."""
    eighths = [round((read_deg[-1] + each) % 360.0, 6) for each in EIGHTHS_DEG]
    left = [each for each in eighths if each not in read_deg]
    for count in range(1, len(left) + 1):
        for more in combinations(left, count):
            together = Angles([*now.rounds, *np.radians(more)], now.rim)
            if all(told(part, lobes, together) for lobes in part.lobes):
                return tuple(sorted(more))
    return tuple(sorted(left))


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
    radial = float(part.rim_radial[k])
    at = degrees(way) / lobes % (360.0 / lobes)
    at_sd = min(degrees(turn_sd / max(size, 1e-12)) / lobes, 180.0 / lobes)
    return Lobe(lobes, size, sd, radial * size, radial * sd, at, at_sd, told)


def _out_of_round(part: ReadOnMeridians, mean: Array, cov: Array, tells: list[bool]) -> dict[str, float]:
    """Largest less smallest radius of the rim, and its standard deviation, by lobes drawn as they may be."""
    names = "out_of_round_mm", "out_of_round_sd_mm"
    if not any(tells):
        return dict.fromkeys(names, nan)
    half = np.random.default_rng(SEED).standard_normal((DRAWS // 2, len(mean)))
    values, vectors = np.linalg.eigh(cov)
    drawn = mean + np.vstack([half, -half]) @ (vectors * np.sqrt(np.maximum(values, 0.0))).T
    rows = waves(part, np.radians(np.arange(0.0, 360.0, EVERY_DEG)))
    radius = drawn @ (rows * np.repeat(part.rim_radial * np.array(tells), 2)).T
    across = np.ptp(radius, axis=1)
    return dict(zip(names, (float(across.mean()), float(across.std())), strict=True))


def lobing_reasons(
    job: Job, verdict: str, found: Lobing | None, widest_mm: float, planned: bool, alone: bool
) -> tuple[str, ...]:
    """Sentences: which meridians the verdict speaks of, how far out of round the rim is, and what to do.

    planned : a pass is; alone : lobes are all that keeps the part from its tolerance
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
        said.append(_do(found.step, planned))
    elif found.why_no_step:
        said.append(found.why_no_step)
    return tuple(said)


def _only(found: Lobing) -> str:
    read = ", ".join(f"{each:.0f}°" for each in sorted(found.read_deg))
    which = f"the meridians at {read}" if len(found.read_deg) > 1 else f"the meridian at {read}"
    more = ", ".join(f"{each:.0f}°" for each in found.more_deg)
    untold = " or ".join(f"{each.lobes}" for each in found.lobes if not each.told)
    counts = " and ".join(f"{each.lobes} lobes" for each in found.lobes if each.told)
    if counts:
        says = f"The verdict counts {counts} all round, and what {untold} lobes do on {which} alone"
    else:
        says = (
            f"The verdict speaks of {which} alone, which cannot show a rim that stands out in {untold} lobes"
        )
    return f"{says}: read {more} as well."


def _about(lobe: Lobe) -> str:
    places = " and ".join(f"{lobe.at_deg + 360.0 / lobe.lobes * k:.0f}°" for k in range(lobe.lobes))
    size = format_band(lobe.radial_mm, lobe.radial_sd_mm)
    return f"{lobe.lobes} lobes of {size} stand out at {places} (± {BAND * lobe.at_sd_deg:.0f}°)"


def _do(step: RoundingStep, planned: bool) -> str:
    arcs = " and ".join(f"from {first:.0f}° to {last:.0f}°" for first, last in step.arcs_deg)
    strokes = "1 stroke" if step.strokes == 1 else f"{step.strokes} strokes"
    basis = "By the steps so far" if step.known else "By a first guess, no more"
    takes, way = format_band(step.takes_mm, step.takes_sd_mm), "in" if step.even_mm < 0.0 else "out"
    moves = f"moves the whole rim {way} by {format_length(abs(step.even_mm))}"
    then = "then the pass, and" if planned else "then"
    return (
        f"Against the {step.lobes} lobes: {DOING[step.action]}, {step.bite} bite, {strokes} on every spot of "
        f"{step.lobes} arcs of the rim, {arcs}. {basis}, that takes {takes} off them and {moves}. Do that "
        f"little, {then} read the same meridians again."
    )
