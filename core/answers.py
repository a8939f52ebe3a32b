"""What each action and bite was found to do, told of as many strokes as it was seen to do.

How the work of one stroke goes over into that of many (the exponent) stays open long after the work of a
pass is known well. Told of a single stroke, a pass that was read would seem to have taught nothing.
"""

from __future__ import annotations

from math import exp

import numpy as np

from core.advice import Response
from core.estimate.fit import Fit
from core.estimate.response import ResponseModel, Stroking
from core.readings.rounds import PassDone, Step
from core.seen import Seen


def answers(steps: list[Step], fitted: Fit, last_read: int) -> dict[tuple[str, str], Response]:
    """By (action, bite), on metal as it is now, averaged over the sites.

    steps : the log; last_read : index of the last round that told something, -1 for none. Of a bite that no
    read pass was made with, what a first stroke does.
    """
    model, n = fitted.model, fitted.sites
    theta, cov = fitted.belief.mean[n:], fitted.belief.cov[n:, n:]
    found = {}
    for action, bite in model.pairs:
        passes = struck(steps[: last_read + 1], action, bite)
        strokes = strokes_of(passes)
        many = Stroking(action, bite, np.full(n, strokes), fitted.strain)
        work, slopes, _ = model.work(many, theta)
        across = slopes.mean(axis=0)
        found[action, bite] = Response(
            action,
            bite,
            float(work.mean()) / strokes,
            float(np.sqrt(across @ cov @ across)) / strokes,
            float(model.work(many, model.mean)[0].mean()) / strokes,
            bool(passes),
            strokes,
        )
    return found


def against_as_many(model: ResponseModel, seen: Seen) -> float:
    """What was seen against what this model expected of as many strokes on a spot, 1 alike."""
    row = model.alone(seen.action, seen.bite, seen.strokes)
    return seen.ratio * seen.strokes / exp(float(row @ model.mean))


def struck(steps: list[Step], action: str, bite: str) -> list[PassDone]:
    """The passes of this action and bite that have strokes."""
    return [
        s
        for s in steps
        if isinstance(s, PassDone) and (s.action, s.bite) == (action, bite) and s.strokes.any()
    ]


def strokes_of(passes: list[PassDone]) -> float:
    """Strokes on a spot that was struck, on average over these passes; 1 for none."""
    if not passes:
        return 1.0
    counts = np.concatenate([done.strokes for done in passes])
    return float(counts[counts > 0].mean())
