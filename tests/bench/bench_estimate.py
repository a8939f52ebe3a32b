"""What the estimate costs against the same estimate by a plain SciPy batch and by a state-space library.

Run: ``OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python tests/bench/bench_estimate.py`` (or with pytest -s).
Times are processor time of one thread, the best of several, all in the same run and by turns. Compared are
one sweep over a linear problem, everything else being given, and the whole estimate: as many linear problems
as the iteration takes, with the geometry taken anew between them, which the references need not do. What a
job keeps from refit to refit (the modes of its unevenness, the points of its target) is there beforehand;
the first refit of a job is timed apart.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
import pytest

import core
import core.estimate.fit as estimate
from core.estimate.gaussian import Belief
from core.estimate.response import _field_modes
from core.readings.rounds import steps_of
from tests.estimate.logs import apart, batch, state_space, worked
from tests.made_up import rib

pytestmark = pytest.mark.bench
LIMIT_MS, LONG_LIMIT_MS, TIMES, EQUAL = 30.0, 250.0, 5.0, 1e-8
STATIONS, PASSES, PITCH = 60, 10, 25.0


def best_ms(action: Callable[[], object], tries: int = 7) -> float:
    """Least processor time of one call in so many tries."""
    times = []
    for _ in range(tries):
        start = time.process_time()
        action()
        times.append(time.process_time() - start)
    return 1e3 * min(times)


def log_of(stations: int, passes: int) -> tuple[core.Job, list[Any]]:
    """A job of so many stations with so many passes, each with strokes everywhere and read in full."""
    length = f"{stations * PITCH} mm"
    line = {"radius": length, "length": length}
    stroke = 0.02 / passes * STATIONS / stations
    job = core.job(rib(pitch=f"{PITCH} mm", line=line, tool__strain_per_stroke=stroke))
    steps = steps_of(job, worked(job, passes))
    assert all(s.strokes.min() > 0 for s in steps[::2])
    return job, steps


def first_ms(stations: int, passes: int, tries: int = 3) -> float:
    """The same for the first refit of a job, of which nothing is known beforehand."""
    times = []
    for _ in range(tries):
        job, steps = log_of(stations, passes)
        _field_modes.cache_clear()
        times.append(best_ms(lambda job=job, steps=steps: estimate.fit(job, steps), 1))
    return min(times)


class Counted:
    """The estimator's sweeps, counted and one of them repeated alone."""

    def __init__(self, job: core.Job, steps: list[Any]) -> None:
        self.job, self.steps, self.sweeps = job, steps, 0
        once = estimate._once

        def counting(*given: Any) -> Any:
            self.sweeps += 1
            self.last = given
            return once(*given)

        estimate._once = counting
        try:
            self.answer = estimate.fit(job, steps)
        finally:
            estimate._once = once
        self._once = once

    def sweep(self) -> Any:
        """One sweep about the values that the iteration ended with."""
        return self._once(*self.last)


def library(job: core.Job, answer: estimate.Fit, *, one_by_one: bool) -> Belief:
    """The last filtered state of statsmodels; one reading after another is its more exact way."""
    model = state_space(job, answer)
    model.filter_univariate = one_by_one
    found, size = model.filter(), len(answer.belief.mean)
    return Belief(found.filtered_state[:size, -1], found.filtered_state_cov[:size, :size, -1])


def test_estimate_of_sixty_stations_and_ten_passes() -> None:
    job, steps = log_of(STATIONS, PASSES)
    counted = Counted(job, steps)
    answer = counted.answer
    assert answer.converged
    whole, sweep, plain, filtered = (
        best_ms(action, tries)
        for action, tries in (
            (lambda: estimate.fit(job, steps), 9),
            (counted.sweep, 9),
            (lambda: batch(job, answer), 3),
            (lambda: library(job, answer, one_by_one=False), 5),
        )
    )
    model = state_space(job, answer)
    smoothed = best_ms(model.smooth, 3)
    off = apart(answer.belief, batch(job, answer))
    off_library = apart(answer.belief, library(job, answer, one_by_one=True))
    print(f"\n{STATIONS} stations, {PASSES} passes, {len(answer.belief.mean)} unknowns, one thread:")
    print(
        f"  one linear problem: this project {sweep:6.1f} ms, SciPy batch {plain:6.1f} ms"
        f" ({plain / sweep:.0f} x),"
    )
    print(
        f"    statsmodels filter {filtered:6.1f} ms ({filtered / sweep:.1f} x), smoother {smoothed:6.1f} ms"
    )
    ratio = counted.sweeps * plain / whole
    print(
        f"  whole estimate, {counted.sweeps} linear problems: {whole:6.1f} ms (wanted: at most {LIMIT_MS:g}),"
        f" the first of a job {first_ms(STATIONS, PASSES):.1f} ms;"
    )
    print(
        f"    as many SciPy batches {counted.sweeps * plain:6.0f} ms: {ratio:.1f} x"
        f" (wanted: at least {TIMES:g})"
    )
    print(f"    as many statsmodels filters {counted.sweeps * filtered:6.0f} ms")
    print(f"  difference from the batch: mean {off[0]:.1e}, covariance {off[1]:.1e} of a standard deviation;")
    print(f"    from statsmodels: mean {off_library[0]:.1e}, covariance {off_library[1]:.1e}")
    assert max(*off, *off_library) < EQUAL
    assert plain >= TIMES * sweep
    assert ratio >= TIMES
    assert whole <= LIMIT_MS


def test_growth() -> None:
    print("\nwhole estimate, ms:\n  stations " + "".join(f"{p:>6d} passes" for p in (5, 10, 20)))
    for stations in (30, 60, 120, 200):
        row = []
        for passes in (5, 10, 20):
            job, steps = log_of(stations, passes)
            row.append(best_ms(lambda job=job, steps=steps: estimate.fit(job, steps), 3))
        print(f"  {stations:8d} " + "".join(f"{ms:13.0f}" for ms in row))
    print(f"  (wanted of the last: at most {LONG_LIMIT_MS:g})")
    assert row[-1] <= LONG_LIMIT_MS


def test_what_is_measured_is_the_estimate() -> None:
    """The sweep that is timed gives the answer; a changed reading changes it."""
    job, steps = log_of(20, 3)
    counted = Counted(job, steps)
    again = counted.sweep()
    assert apart(again.belief, counted.answer.belief)[0] < 0.01
    changed = replace(steps[-1], gaps_mm=steps[-1].gaps_mm + np.linspace(0.0, 1.0, 20) ** 2)
    other = estimate.fit(job, [*steps[:-1], changed])
    assert np.max(np.abs(other.belief.mean - counted.answer.belief.mean)) > 1e-4


if __name__ == "__main__":
    if os.environ.get("OMP_NUM_THREADS") != "1":
        print("set OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 for figures that can be compared")
    test_what_is_measured_is_the_estimate()
    test_estimate_of_sixty_stations_and_ten_passes()
    test_growth()
