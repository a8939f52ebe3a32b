"""What a part itself told of the response, apart from all that was believed before it was read.

The refit gives prior and posterior of ln work of a stroke on soft metal. Their difference in the
information form (1 / variance, mean / variance) is the reading that leads from the one to the other:
handed on, it counts neither the first guess nor an earlier trial twice.
"""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from core.answers import strokes_of, struck
from core.estimate.fit import Fit
from core.jobtypes import Job
from core.readings.rounds import Step
from core.seen import Seen, Told

Array = NDArray[np.float64]
TELLS = 0.05  # least share of the prior information that a part has to add
LEAST_SD, LOOSEST_SD, LARGEST_RATIO = 0.01, 1.0, 20.0  # else it is nothing to hand on


def learned(job: Job, steps: list[Step], fitted: Fit, known: set[tuple[str, str]]) -> tuple[Seen, ...]:
    """One entry for each of these (action, bite) that told something, with its strokes on average.

    known : those that were struck and then read; sd is of the reading on this part alone.
    """
    found = []
    for action, bite in fitted.model.pairs:
        if (action, bite) in known:
            told = _told(fitted, action, bite, strokes_of(struck(steps, action, bite)))
            found += [] if told is None else [told]
    return tuple(Seen(*entry, f"part {job.name}") for entry in found)


def _told(fitted: Fit, action: str, bite: str, strokes: float) -> tuple[str, str, float, float, float] | None:
    model, n = fitted.model, fitted.sites
    row = model.alone(action, bite, strokes)
    mean, variance = _moments(row, fitted.belief.mean[n:], fitted.belief.cov[n:, n:])
    first_mean, first_variance = _moments(row, model.mean, model.cov)
    if not 0.0 < variance <= first_variance / (1.0 + TELLS):
        return None
    more = 1.0 / variance - 1.0 / first_variance
    ratio = exp((mean / variance - first_mean / first_variance) / more) / strokes
    sd = sqrt(1.0 / more)
    if sd > LOOSEST_SD or ratio > LARGEST_RATIO:
        return None
    return action, bite, strokes, ratio, max(sd, LEAST_SD)


def _moments(row: Array, mean: Array, cov: Array) -> tuple[float, float]:
    """Mean and variance of the ln work of these strokes, against the first guess of one."""
    return float(row @ mean), float(row @ cov @ row)


def told_by(fitted: Fit) -> Told | None:
    """All that a part itself told of what parts alike have in common, taken apart into independent readings;
    None where it told nothing. Its unevenness, and the shape that is not known, are accounted for."""
    model, n = fitted.model, fitted.sites
    at = np.array(list(model.shared.values()))
    after, before = fitted.belief.cov[np.ix_(n + at, n + at)], model.cov[np.ix_(at, at)]
    wide = np.sqrt(np.diag(before))  # of very unlike size: scaled, so that no reading is lost in another
    if not wide.all():  # what is taken as known learns nothing
        return None
    first, then = (np.linalg.inv(cov / np.outer(wide, wide)) for cov in (before, after))
    more, turned = np.linalg.eigh(then - first)
    told = then @ (fitted.belief.mean[n + at] / wide) - first @ (model.mean[at] / wide)
    keep = more > TELLS
    if not keep.any():
        return None
    values = (turned.T @ told)[keep] / more[keep]
    rows = (turned.T / wide)[keep]
    return Told(
        tuple(model.shared),
        tuple(tuple(map(float, row)) for row in rows),
        tuple(map(float, values)),
        tuple(1.0 / float(one) for one in more[keep]),
    )
