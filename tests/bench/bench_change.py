"""A change of coil that nobody announced: how often it is noticed, how soon, and how often there is none.

    python tests/bench/bench_change.py --sets 200 --bars 3 --seed 1

Whole sets would take hours, so what a part tells of its response is drawn, not worked out: a few bars of the
benchmark are worked to their end, and what each told (which mixtures of the parameters, how well) is what
every part of its sets tells. The parameters are drawn as the response is believed beforehand, each part is
off by its own and by its reading. After five parts all strokes do more or less by the step that is named.
Only the detection is tried so, not how a planner goes on after it.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, sqrt
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parent))

from bench_sets import set_bars
from draws import Drawn, benchmark_bars
from players import worked

from core.estimate.gaussian import Belief
from core.estimate.response import ResponseModel
from core.sets.following import NOTICED, Followed, followed
from core.sets.level import Reading
from core.simulate.of_job import PIECE_SD

Array = NDArray[np.float64]
PARTS, CHANGE_AT = 10, 5
STEPS = (0.3, 0.4, 0.5)
JUDGED = 0.4  # of ln work: half as much again, or a third less
MOST_FALSE, LEAST_NOTICED = 0.05, 0.90


@dataclass(frozen=True)
class Telling:
    """What one kind of part tells. prior : of the parameters that parts alike share; rows : (r, k) mixtures
    of them; sd : (r,) how well each is read"""

    form: str
    prior: Belief
    rows: Array
    sd: Array

    @property
    def step_sd(self) -> float:
        """How well one part alone tells a step of all strokes alike, were all else known."""
        return 1.0 / sqrt(float(np.sum((self.rows[:, 0] / self.sd) ** 2)))


def telling(drawn: Drawn) -> Telling:
    """A bar worked to its end, and what it told."""
    bench, advice = worked(next(set_bars(drawn, 1)))
    assert advice.told is not None
    model = ResponseModel(bench.job)
    at = [model.shared[name] for name in advice.told.names]
    prior = Belief(model.mean[at], model.cov[np.ix_(at, at)])
    return Telling(drawn.form, prior, np.array(advice.told.rows), np.sqrt(np.array(advice.told.variance)))


def drawn_set(told: Telling, rng: np.random.Generator, step: float) -> list[tuple[Reading, bool]]:
    """The parts of one set; from the sixth on all strokes do exp(step) of what they did."""
    alike = rng.multivariate_normal(told.prior.mean, told.prior.cov)
    parts = []
    for place in range(PARTS):
        here = alike.copy()
        here[0] += rng.normal(0.0, PIECE_SD) + (step if place >= CHANGE_AT else 0.0)
        parts.append((Reading(told.rows, rng.normal(told.rows @ here, told.sd), told.sd**2), False))
    return parts


def noticed_in_time(course: Followed) -> bool:
    """By the second part after the change, whichever of the two it is laid to."""
    return any(one.change == NOTICED and one.noticed_at in (CHANGE_AT, CHANGE_AT + 1) for one in course.steps)


def share(told: Sequence[Telling], sets: int, seed: int, step: float) -> tuple[float, float]:
    """(noticed in time, sets in which a change was noticed before there was one); of all sets, half of them
    with the step upwards."""
    in_time = early = 0
    for i in range(sets):
        rng = np.random.default_rng([seed, i])
        kind = told[i % len(told)]
        course = followed(kind.prior, kind.prior, drawn_set(kind, rng, step if i % 2 else -step))
        in_time += noticed_in_time(course)
        early += any(s.change == NOTICED and (step == 0.0 or s.noticed_at < CHANGE_AT) for s in course.steps)
    return in_time / sets, early / sets


def main() -> int:
    """Draw and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sets", type=int, default=300)
    parser.add_argument("--bars", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    start = time.perf_counter()
    told = [telling(drawn) for drawn in benchmark_bars(options.bars, options.seed)]
    for one in told:
        print(f"{one.form}: one part alone tells a step to {100 * one.step_sd:.0f} % (standard deviation)")
    _, false = share(told, options.sets, options.seed, 0.0)
    rows = [("sets of ten in which one is noticed that is not there", false, "<= 0.05", false <= MOST_FALSE)]
    for step in STEPS:
        found, _ = share(told, options.sets, options.seed, step)
        words = f"noticed by the second part: strokes that do {exp(step):.2f} or {exp(-step):.2f} of it"
        judged = step == JUDGED
        rows.append((words, found, ">= 0.90" if judged else "", not judged or found >= LEAST_NOTICED))
    for words, figure, goal, reached in rows:
        judged = ("reached" if reached else "NOT reached") if goal else ""
        print(f"{words:62s} {figure:6.2f}  {goal:8s} {judged}")
    print(f"{options.sets} sets a row, {time.perf_counter() - start:.0f} s")
    return 0 if all(row[3] for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
