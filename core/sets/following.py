"""The response followed from part to part: what was foretold, what came, and where it begins anew."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from core.estimate.gaussian import Belief
from core.sets.level import NONE, Filters, Reading, Surprise, after, anew, filters, surprise

# Scores of the forecast beyond which a change is taken to be there, of one part and of two together. One odd
# part is seldom another coil, and two tell it better: so in tests/bench/bench_change.py, where these two give
# the most changes noticed for as many that are not there.
SURPRISING = {1: 3.0, 2: 2.45}
ANNOUNCED, NOTICED = "announced", "noticed"


@dataclass(frozen=True)
class SetStep:
    """One part of a set against what those before it foretold.

    error : of the forecast, by this part by itself; ``NONE`` where nothing was foretold or nothing was told;
    change : "" or, where the response begins anew with this part, "announced" or "noticed"; noticed_at :
    index of the part by which it was noticed, this one or the next; step : of ln work, that was noticed then
    """

    error: Surprise
    change: str = ""
    noticed_at: int | None = None
    step: float = 0.0


@dataclass(frozen=True)
class Followed:
    """steps : one a part; begun : index of the part since which the response is followed; now : the filters
    after the last part"""

    steps: tuple[SetStep, ...]
    begun: int
    now: Filters


def followed(start: Belief, anew_from: Belief, told: list[tuple[Reading, bool]]) -> Followed:
    """The parts one after another.

    start : of the parameters before the first part; anew_from : where another batch begins; told : of each
    part, with whether another batch was begun with it
    """
    steps: list[SetStep] = []
    before = [filters(start)]  # before[j] : as it was before part j was read
    begun = 0
    readings = [reading for reading, _ in told]
    for j, (reading, announced) in enumerate(told):
        announced = announced and j > 0
        error = NONE if j == begun or announced else surprise(before[j], [reading])
        steps.append(SetStep(error, ANNOUNCED if announced else ""))
        noticed = None if announced else _noticed(before, readings[: j + 1], begun)
        if noticed is not None:
            begun, step = noticed
            steps[begun] = replace(steps[begun], change=NOTICED, noticed_at=j, step=step)
        begun = j if announced else begun
        if announced or noticed:
            before[begun] = anew(before[begun], anew_from)
            for k in range(begun, j):
                before[k + 1] = after(before[k], readings[k], first=k == begun)
        before.append(after(before[j], reading, first=j == begun))
    return Followed(tuple(steps), begun, before[-1])


def _noticed(before: list[Filters], readings: list[Reading], begun: int) -> tuple[int, float] | None:
    """The part since which all is different, the last one or the one before it, and by how much."""
    last = len(readings) - 1
    found = [
        (surprise(before[start], readings[start:]), start, most)
        for start, most in ((last + 1 - many, most) for many, most in SURPRISING.items())
        if start > begun
    ]
    worst, start, most = max(found, key=lambda one: abs(one[0].score) / one[2], default=(NONE, last, inf))
    return (start, worst.step) if abs(worst.score) > most else None
