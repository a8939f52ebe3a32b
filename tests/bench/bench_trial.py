"""What ten minutes on an offcut are worth: passes till within with and without a trial.

    python tests/bench/bench_trial.py --bars 60 --seed 1 --workers 2

Bars of one action (arcs, two radii, tables of offsets) are worked twice by this project, alike but for the
job's "seen": once nothing, once what a trial with the action and bite of the first pass told on an offcut
of the same metal, its rise read with a taper gauge.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from math import log, sqrt
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from draws import Drawn, benchmark_bars
from offcuts import offcut_of, rise_read, true_ratio
from players import MOST_PASSES, Played, ours

from core.jobdoc import job as job_from
from core.readings.gauges import GAUGES
from core.refitting import refit
from core.seen import Seen
from core.trial import Trial, trial_plan, trial_read

GAUGE = GAUGES["taper gauge"]
MOST_WORKERS = 2


@dataclass(frozen=True)
class Pair:
    """One bar worked both ways.

    known : sd of the ln work of the trial's strokes before and after it; score : error of its ln ratio in its
    own standard deviations.
    """

    plain: Played
    tried: Played
    known: tuple[float, float]
    score: float


def one_action_bars(n: int, seed: int) -> list[Drawn]:
    """The first n bars of the benchmark's draw that want one action only."""
    drawn = benchmark_bars(2 * n + 20, seed)
    return [bar for bar in drawn if bar.actions_forced == 1][:n]


def seen_on_offcut(drawn: Drawn) -> tuple[Trial, Seen]:
    """A trial with the action and bite that the first pass would have."""
    job = job_from(drawn.document)
    first = refit(job, []).next_pass
    assert first is not None
    trial = trial_plan(job, first.action, first.bite, gauge=GAUGE)
    rng = np.random.default_rng([drawn.seed, 77])
    return trial, trial_read(trial, *rise_read(trial, offcut_of(drawn.truth, rng), GAUGE, rng))


def both(drawn: Drawn) -> Pair:
    """One bar without and with a trial."""
    trial, seen = seen_on_offcut(drawn)
    told = replace(drawn, document={**drawn.document, "response": {"seen": [asdict(seen)]}})
    score = log(seen.ratio / true_ratio(trial, drawn.truth)) / seen.sd
    return Pair(ours(drawn), ours(told), (trial.known_before, trial.known_after), score)


def passes(played: Sequence[Played]) -> np.ndarray:
    """Passes until truly within; the limit where it never was."""
    return np.array([MOST_PASSES if p.within_after is None else p.within_after for p in played], dtype=float)


def signed(played: Sequence[Played]) -> np.ndarray:
    """Passes until called within; the limit where it never was."""
    return np.array([MOST_PASSES if p.signed_after is None else p.signed_after for p in played], dtype=float)


def report(pairs: Sequence[Pair]) -> None:
    """Figures of both ways, and of the trials themselves."""
    ways = {"without a trial": [p.plain for p in pairs], "with a trial": [p.tried for p in pairs]}
    print("                  bars  passes till within  till signed  within after 1, 2, 3  changes  strokes")
    for name, played in ways.items():
        early = " ".join(f"{np.mean(passes(played) <= k):5.0%}" for k in (1, 2, 3))
        print(
            f"{name:17s} {len(played):5d} {passes(played).mean():19.2f} {signed(played).mean():12.2f}"
            f" {early:>21s} {np.mean([p.changes for p in played]):8.2f}"
            f" {np.mean([p.strokes for p in played]):8.0f}"
        )
    for what, count in (("truly within", passes), ("called within", signed)):
        saved = count(ways["without a trial"]) - count(ways["with a trial"])
        error = saved.std(ddof=1) / sqrt(len(saved))
        print(f"passes saved until {what}: {saved.mean():.2f} (standard error {error:.2f})")
    before, after = np.mean([p.known for p in pairs], axis=0)
    scores = np.array([p.score for p in pairs])
    print(
        f"ln response of the first pass's strokes known to {before:.3f} before, {after:.3f} after the trial"
    )
    print(f"error of the trial over its own sd: {sqrt(np.mean(scores**2)):.2f} (1 is right)")


def main() -> int:
    """Play and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--bars", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=MOST_WORKERS)
    options = parser.parse_args()
    start = time.perf_counter()
    bars = one_action_bars(options.bars, options.seed)
    with ProcessPoolExecutor(min(options.workers, MOST_WORKERS)) as pool:
        report(list(pool.map(both, bars)))
    print(f"{time.perf_counter() - start:.0f} s")
    return 0


if __name__ == "__main__":
    sys.exit(main())
