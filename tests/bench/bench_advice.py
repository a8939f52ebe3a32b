"""What the whole advice costs: estimate, all remaining passes, verdict; and how that grows.

Run: ``OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 python tests/bench/bench_advice.py`` (or with pytest -s).
Processor time of one thread, the best of several, and the share of each part of it. The reference in the
same run is a product of two 300 x 300 matrices, so that figures of different machines can be compared.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
import pytest

import core
from core.estimate.fit import fit
from core.readings.rounds import steps_of
from core.verdict import fitness
from tests.estimate.logs import worked
from tests.made_up import rib

pytestmark = pytest.mark.bench
PITCH = 25.0


def best_ms(action: Callable[[], object], tries: int = 3) -> float:
    """Least processor time of one call in so many tries."""
    times = []
    for _ in range(tries):
        start = time.process_time()
        action()
        times.append(time.process_time() - start)
    return 1e3 * min(times)


def told(stations: int, passes: int) -> tuple[core.Job, list[core.Event]]:
    """A job with so many passes of the first guess, which leaves something to be done."""
    length = f"{stations * PITCH} mm"
    line = {"radius": length, "length": length}
    job = core.job(rib(pitch=f"{PITCH} mm", line=line, tool__strain_per_stroke=0.02 / passes))
    return job, worked(job, passes)


def row(stations: int, passes: int) -> float:
    """Print one line of the table; the whole advice in ms."""
    job, events = told(stations, passes)
    steps = steps_of(job, events)
    believed = fit(job, steps).belief
    whole = best_ms(lambda: core.refit(job, events))
    parts = [best_ms(lambda: fit(job, steps)), best_ms(lambda: fitness(job, believed))]
    advice = core.refit(job, events)
    rest = whole - sum(parts)
    print(
        f"  {stations:8d} {passes:6d} {whole:8.0f} {parts[0]:9.0f} {parts[1]:8.0f} {rest:10.0f}"
        f"   {advice.verdict}, {len(advice.remaining)} passes planned"
    )
    return whole


def reference() -> str:
    """What this machine takes for what the figures of others are compared by."""
    matrix = np.random.default_rng(1).normal(size=(300, 300))
    unit = best_ms(lambda: [matrix @ matrix for _ in range(20)], 5) / 20.0
    return f"here 300 x 300 times 300 x 300 takes {unit:.2f} ms"


def head() -> None:
    print(f"\nwhole advice, ms of one thread ({reference()}):")
    print("  stations passes    whole  estimate  verdict  plan, rest")


def test_sixty_stations_and_ten_passes() -> None:
    head()
    assert row(60, 10) <= 200.0


def test_two_hundred_stations_and_twenty_passes() -> None:
    head()
    assert row(200, 20) <= 1500.0


def test_growth() -> None:
    head()
    for stations, passes in ((30, 10), (60, 5), (60, 10), (60, 20), (120, 10), (200, 10)):
        assert row(stations, passes) <= 1500.0


if __name__ == "__main__":
    head()
    for stations, passes in ((30, 10), (60, 5), (60, 10), (60, 20), (120, 10), (200, 10), (200, 20)):
        row(stations, passes)
