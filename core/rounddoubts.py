"""What looks wrong in the rounds of gaps read since the last pass, each round as a whole.

A single odd reading is set aside by the refit. Here is what goes wrong for a whole round: too little read to
say anything, a template that touches nowhere, a decimal point, a log that does not belong to the gaps.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from core.advice import BAND, Suspect
from core.errors import InputError
from core.estimate.careful import careful_fit, turned_round
from core.estimate.fit import Fit, fit
from core.estimate.roundfit import RoundFit
from core.jobtypes import Job
from core.readings.lobes import lobe_rows, meridian_deg
from core.readings.reading import readings_of
from core.readings.rounds import CHANGES, Round, Step
from core.units import format_length

ENOUGH = 3  # readings more than there are free motions of the template
CLEARLY = 3.0  # standard deviations
MANY, MANY_SHARE = 4, 0.3  # readings set aside, and their share of a round
SLIPS = {"ten times too large": 0.1, "ten times too small": 10.0}

UNSETTLED = "The refit did not settle; the readings contradict one another more than they should."


def rounds_since(steps: list[Step]) -> list[int]:
    """Indices of the rounds read since the last pass, smoothing, counter-work or step against lobes, newest
    first."""
    found: list[int] = []
    for k in reversed(range(len(steps))):
        if isinstance(steps[k], CHANGES):
            break
        if isinstance(steps[k], Round):
            found.append(k)
    return found


def tells(job: Job, step: Round) -> int:
    """How many readings a round has beyond those that only say how the template sits; "beyond" counts."""
    return max(0, len(step.read) + int(step.beyond.sum()) - _motions(job, step))


def told_enough(job: Job, steps: list[Step]) -> bool:
    """Whether the rounds since the last pass say something of the shape: three readings more than the
    template has free motions, or all that can be read on a part with few stations."""
    told = 0
    for k in rounds_since(steps):
        step = steps[k]
        assert isinstance(step, Round)
        told += tells(job, step)
        if told >= max(1, min(ENOUGH, int(step.layout.readable.sum()) - _motions(job, step))):
            return True
    return False


def _motions(job: Job, step: Round) -> int:
    return 0 if step.template.chord_mm else int(np.isinf(job.part.seat_bound).sum())


def doubted(job: Job, steps: list[Step], fitted: Fit) -> tuple[Suspect, ...]:
    """Readings since the last pass that are set aside, newest round first, until they are read again."""
    found: list[Suspect] = []
    newer: list[Round] = []
    for k in rounds_since(steps):
        step = steps[k]
        assert isinstance(step, Round)
        at_deg = meridian_deg(job.part, step.meridian_rad)
        found += [
            _suspect(step, i, said, at_deg)
            for i, said in sorted(fitted.rounds[k].set_aside.items())
            if not any(_again(step, other, i) for other in newer)
        ]
        newer.append(step)
    return tuple(found)


def _suspect(step: Round, site: int, said: tuple[float, float, float], at_deg: float | None) -> Suspect:
    (mean, sd, score), read = said, float(step.told_mm[site])
    band = mean - BAND * sd, mean + BAND * sd
    return Suspect(site, read, mean, *band, score, at_deg, bool(step.beyond[site]))


def _again(step: Round, newer: Round, site: int) -> bool:
    """Whether a newer round reads the same place in the same way."""
    alike = newer.template == step.template and newer.meridian_rad == step.meridian_rad
    return bool(alike and (site in newer.read or newer.beyond[site]))


def round_cautions(job: Job, steps: list[Step], fitted: Fit) -> tuple[str, ...]:
    """Sentences for the operator on how the template was laid and on the refit, which take nothing from what
    the readings say of the shape."""
    said = [UNSETTLED * (not fitted.converged)]
    for k in rounds_since(steps):
        step = steps[k]
        assert isinstance(step, Round)
        said += [_touches_nowhere(job, step, fitted, fitted.rounds[k]), _all_beyond(step)]
    return tuple(sentence for sentence in said if sentence)


def round_doubts(job: Job, steps: list[Step], fitted: Fit, odd: str) -> tuple[str, ...]:
    """Why whole rounds are in doubt, sentences; none where all is well, nor of a round that was read again as
    fully or confirmed as a whole. odd : as of :func:`core.oddresponse.odd_round`"""
    said: list[str] = []
    newer: list[Round] = []
    for k in rounds_since(steps):
        step, found = steps[k], fitted.rounds[k]
        assert isinstance(step, Round)
        settled = step.all_confirmed or any(_as_fully(step, other) for other in newer)
        newer.append(step)
        if settled:
            continue
        count = len(found.set_aside)
        if count >= MANY and count >= MANY_SHARE * len(step.read):
            asked = _signs_of(job, step, found) or _slip_of(job, steps, k, count)
            said.append(asked or _contradicted(job, step, count))
    return tuple(said) if said or not odd else (odd,)


def _as_fully(step: Round, newer: Round) -> bool:
    """Whether a newer round reads as much with the same template in the same place."""
    alike = newer.template == step.template and newer.meridian_rad == step.meridian_rad
    return alike and len(newer.read) + int(newer.beyond.sum()) >= len(step.read) + int(step.beyond.sum())


def fit_or_explain(job: Job, steps: list[Step]) -> Fit:
    """The refit; where it refuses the log and a decimal point in the last round is why, the error says so."""
    try:
        return careful_fit(job, steps)
    except InputError as error:
        last = rounds_since(steps)[:1]
        for k in last:
            slip = _slip_of(job, steps, k, len(job.part.sites))
            if slip:
                raise InputError(error.field, error.value, slip) from error
        raise


def _touches_nowhere(job: Job, step: Round, fitted: Fit, found: RoundFit) -> str:
    """A rigid template read all along has to touch at a station, between two or at an end."""
    numbers = len(step.read)
    if not step.template.rigid or not numbers or numbers + step.beyond.sum() < step.layout.readable.sum():
        return ""
    at = step.layout.points_mm
    along = np.concatenate([[0.0], at, 0.5 * (at[1:] + at[:-1]), [job.part.length_mm]])
    here = readings_of(job.part, step.template, fitted.belief.mean[: fitted.sites], found.seat, along)
    lobes = lobe_rows(job.part, step.template, along, step.meridian_rad) @ found.lobes
    least, own = float(np.min(step.gaps_mm[step.read])), float(np.max(step.sd_mm[step.read]))
    if min(least, float(np.min(here.deviation_mm + lobes))) <= CLEARLY * own:
        return ""
    return (
        f"The template touches nowhere: the smallest gap read is {format_length(least)}. Held "
        f"{step.template.name} it has to touch the part somewhere; seat it again, and look at the zero of "
        "the gauge."
    )


def _all_beyond(step: Round) -> str:
    if len(step.read) or not step.template.rigid or step.beyond.sum() < max(2, step.layout.readable.sum()):
        return ""
    return (
        f"All gaps are beyond the gauge, and a template held {step.template.name} has to touch somewhere: "
        "seat it again, and read with a gauge that reaches further."
    )


def _signs_of(job: Job, step: Round, found: RoundFit) -> str:
    """Whether most of what is set aside would fit with the other sign, "" if not."""
    aside = found.set_aside
    turned = sum(turned_round(float(step.gaps_mm[i]), *said[:2]) for i, said in aside.items())
    if step.template.rigid or turned <= len(aside) / 2:
        return ""
    return (
        f"The signs of this round look turned round: {turned} of {len(step.read)} "
        f"{job.part.sites.label}s fit only with the other sign. Above 0 is written where the part still "
        "lacks bend, below 0 where it has too much. Correct the round, or confirm the readings if they are "
        "right."
    )


def _slip_of(job: Job, steps: list[Step], k: int, count: int) -> str:
    """What the decimal point of a whole round has to do with it, "" if nothing."""
    step = steps[k]
    assert isinstance(step, Round)
    if not np.any(step.gaps_mm[step.read]):  # nothing stays nothing wherever the point is
        return ""
    for name, factor in SLIPS.items():
        other = replace(step, gaps_mm=step.gaps_mm * factor)
        try:
            left = fit(job, [*steps[:k], other, *steps[k + 1 :]]).rounds[k].set_aside
        except InputError:
            continue
        if len(left) <= count // 4:
            return f"The gaps of this round look {name}: is the decimal point in the right place?"
    return ""


def _contradicted(job: Job, step: Round, count: int) -> str:
    label = job.part.sites.label
    return (
        f"{count} of {len(step.read)} {label}s disagree with all that was noted before: rather than the "
        "gaps, look at the passes (strokes, action, bite), at the side of the template and at the unit."
    )
