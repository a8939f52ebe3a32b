"""How large lobes are in a log, so far as differences between meridians and between diameters show it.

Lobes are a fraction of a millimetre on one sheet and ten on another, and which it is no tool and no metal
says. Believed small beforehand they would be read too small where they are large; believed large, they would
hide what one meridian says of even work. So their size is taken from the log: what the rounds since one pass
show against one another, no even work and no response explains. Where nothing tells, lobes stay what they are
in good work.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.estimate.moves import Worn, moved
from core.estimate.response import ResponseModel
from core.jobtypes import Job
from core.kinds.base import ReadOnMeridians
from core.readings.lobes import lobe_rows, waves
from core.readings.reading import readings_of
from core.readings.rounds import CHANGES, HeightsRead, RimRead, Round, Step

Array = NDArray[np.float64]
BY_NOISE = 3.0  # times what noise alone makes of a square, that it has to be above
TELLS = 0.3  # of the two numbers of a lobed part: what readings say less of than that, they do not tell
APART = 0.15  # least singular value that tells, of the largest
TRIES = 8  # of a fit that takes its readings by how little they are off


@dataclass(frozen=True)
class LobeSize:
    """scale : (m,) at least 1, standard deviations of lobes over those of good work; seen_mm : (m,) standard
    deviation of each number by what was seen, mm at the rim, 0 where that is no more than good work leaves"""

    scale: Array
    seen_mm: Array

    @classmethod
    def good(cls, lobed: int) -> LobeSize:
        """Of so many lobed parts, as good work leaves them."""
        return cls(np.ones(lobed), np.zeros(lobed))


def lobe_size(job: Job, steps: list[Step], model: ResponseModel) -> LobeSize:
    """By the rounds and diameters between each two changes of the part, the largest that any shows."""
    part = job.part
    if not isinstance(part, ReadOnMeridians):
        return LobeSize.good(0)
    variance, worn, seen = part.lobe_sd_mm**2, Worn.none(model.sites), np.zeros(len(part.lobes))
    scale, since = np.ones(len(part.lobes)), list[Step]()
    for step in [*steps, None]:
        if step is None or isinstance(step, CHANGES):
            found = np.max([np.zeros(len(seen)), *_shown(job, part, since, variance)], axis=0)
            scale, since = np.maximum(scale, found), []
            seen = np.maximum(seen, np.where(found > 1.0, found * variance, 0.0))
        if isinstance(step, Round | RimRead | HeightsRead):
            since.append(step)
        elif step is not None:
            move, worn = moved(job, model, step, worn, model.mean)
            if move is not None:
                strain = part.edge_strain(move.work(model.mean))
                variance = variance + part.lobes_added_mm(strain) ** 2
    return LobeSize(np.sqrt(scale), np.sqrt(seen))


def _shown(job: Job, part: ReadOnMeridians, since: list[Step], variance: Array) -> Iterator[Array]:
    """(m,) squares of the lobes over this variance (m,), by each set of readings that goes together."""
    for own in (_of_rounds(job, part, since), _of_diameters(part, since)):
        if own is not None:
            wave, high, noise = own
            yield _squares(wave * np.repeat(np.sqrt(variance), 2), high, noise)


def _squares(wave: Array, high: Array, noise: float) -> Array:
    """(m,) mean squares of pairs of standard normal numbers of which waves (k, c) show high (k,), but for
    what is alike in all; noise : variance of each."""
    wave, high = wave - wave.mean(axis=0), high - high.mean()
    back = np.linalg.pinv(wave, rcond=APART)
    told = np.sum((back @ wave).diagonal().reshape(-1, 2), axis=1)
    own = np.sum((back @ high).reshape(-1, 2) ** 2, axis=1)
    least = BY_NOISE * noise * np.sum(np.sum(back**2, axis=1).reshape(-1, 2), axis=1)
    return np.where(told > TELLS, np.maximum(own - least, 0.0) / np.maximum(told, TELLS), 0.0)


def _of_diameters(part: ReadOnMeridians, since: list[Step]) -> tuple[Array, Array, float] | None:
    """Waves (k, c), what is high there (k,), its variance; of diameters, half of each, as long as they say
    what an even number of lobes is."""
    read = [step for step in since if isinstance(step, RimRead)]
    if not read:
        return None
    across = [radial * (n % 2 == 0) for n, radial in zip(part.lobes, part.rim_radial, strict=True)]
    own = [0.5 * (step.diameters_mm - np.median(step.diameters_mm)) for step in read]
    rows = [waves(part, step.at_rad) - waves(part, step.at_rad).mean(axis=0) for step in read]
    noise = 0.25 * max(step.sd_mm for step in read) ** 2
    return np.vstack(rows) * np.repeat(across, 2), np.concatenate([each - each.mean() for each in own]), noise


def _of_rounds(job: Job, part: ReadOnMeridians, since: list[Step]) -> tuple[Array, Array, float] | None:
    """The same of rounds on several meridians under one template."""
    rounds = [step for step in since if isinstance(step, Round) and len(step.read)]
    rounds = [step for step in rounds if step.template == rounds[-1].template]
    if len({step.meridian_rad for step in rounds}) < 2:
        return None
    n, gaps = len(part.sites), np.array([step.gaps_mm for step in rounds])
    places, template = rounds[0].layout.points_mm[:n], rounds[0].template
    shape = lobe_rows(job.part, template, places, 0.0)[:, ::2].mean(axis=1)
    lies = readings_of(job.part, template, np.zeros(n), np.zeros(len(part.seat_sd)), places).seating
    twice = np.sum(np.isfinite(gaps), axis=0) > 1
    own = gaps[:, twice] - np.nanmedian(gaps[:, twice], axis=0)
    columns, sd = np.column_stack([shape, lies])[twice], rounds[0].sd_mm[twice]
    if len(columns) <= columns.shape[1]:
        return None
    free = np.linalg.pinv(columns / sd[:, None])
    at = np.array([step.meridian_rad for step in rounds])
    return waves(part, at), _closest(columns, own, sd), float(np.sum(free[0] ** 2))


def _closest(columns: Array, values: Array, sd: Array) -> Array:
    """(k,) first number of a fit of each row of values (k, r), where read, whose deviations, not their
    squares, are the least in sum: a slip in one reading hardly moves it."""
    read = np.isfinite(values)
    values, off = np.where(read, values, 0.0), np.zeros(values.shape)
    for _ in range(TRIES):
        weight = read / np.sqrt(sd * np.maximum(off, sd))
        back = np.linalg.pinv(columns * weight[:, :, None], rcond=1e-9)
        found = (back @ (values * weight)[:, :, None])[:, :, 0]
        off = np.abs(values - found @ columns.T)
    return np.asarray(found[:, 0])
