"""Parts alike, one after another: passes of the first, the second and the later ones of a set.

    python tests/bench/bench_sets.py --sets 12 --parts 10 --seed 1 --workers 1

Every bar of a set is of one batch of metal, which nobody knows; what differs from piece to piece is drawn for
each. The first part starts from the first guess, each later one from what the set told so far. Beside it the
same bars by the same planner that starts each from the first guess, and by one who knows everything. With
--bounds, of every third part, what learning from part to part can bring at most (told_sets.py).
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from math import sqrt
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from draws import BITES, Drawn, benchmark_bars
from players import MOST_PASSES, Played, knowing, worked
from told_sets import told_all_after_one, told_of_the_set

from core.jobdoc import job as job_from
from core.sets.outlook import SetOutlook, set_outlook, starting_from_set
from core.sets.parts import SetPart, set_part
from core.simulate import draw_truth
from core.simulate.of_job import of_batch

FEWER, MORE = 0.25, 0.4
MOST_WORKERS = 2
BOUNDED = 3  # every so manieth part is played by those who are told


@dataclass(frozen=True)
class Part:
    """One bar of a set: by the set's knowledge, from the first guess alone, by one who knows everything.

    seen : how many entries it started from; score : of the forecast of its response; told : by those who are
    told what the set has in common, and all after a pass; empty where not asked for
    """

    place: int
    ours: Played
    alone: Played
    knowing: Played
    seen: int
    score: float = np.nan
    told: tuple[Played, ...] = ()


@dataclass(frozen=True)
class Made:
    """A set. noticed : how many changes were taken to be there; there are none."""

    form: str
    parts: tuple[Part, ...]
    own_sd: float
    noticed: int


def set_bars(drawn: Drawn, parts: int) -> Iterator[Drawn]:
    """Bars of one job from one batch, the first to the last."""
    for place in range(1, parts + 1):
        seed = 100 * drawn.seed + place
        truth = of_batch(draw_truth(np.random.default_rng([seed, 1]), BITES), drawn.seed, seed, BITES)
        document = {**drawn.document, "name": f"{drawn.document['name']}, part {place}"}
        yield replace(drawn, document=document, truth=truth, seed=seed)


def made(drawn: Drawn, parts: int, risk: float, bounds: bool = False) -> Made:
    """One set by this project, each bar also from the first guess and by one who knows everything.

    risk : of overshoot that is accepted from the second part on; bounds : whether those
    who are told play, too
    """
    job = job_from(drawn.document)
    done: list[SetPart] = []
    played: list[Part] = []
    outlook: SetOutlook = set_outlook(job, done)
    for place, bar in enumerate(set_bars(drawn, parts), 1):
        accepted = {} if place == 1 else {"overshoot_risk": risk}
        told = replace(bar, document={**starting_from_set(bar.document, outlook), **accepted})
        bench, advice = worked(told)
        ours = bench.played(len(bench.passes) if advice.verdict == "within" else None)
        alone = ours if place == 1 else _alone(bar)
        least = _bounds(bar, drawn.seed) if bounds and place % BOUNDED == 0 else ()
        played.append(Part(place, ours, alone, knowing(bar), len(outlook.seen), told=least))
        done.append(set_part(bench.job, bench.events, advice.learned, advice.told))
        outlook = set_outlook(job, done)
    scored = tuple(replace(p, score=s.error.score) for p, s in zip(played, outlook.steps, strict=True))
    return Made(drawn.form, scored, outlook.own_sd, sum(bool(s.change) for s in outlook.steps))


def _alone(bar: Drawn) -> Played:
    bench, advice = worked(bar)
    return bench.played(len(bench.passes) if advice.verdict == "within" else None)


def _bounds(bar: Drawn, batch: int) -> tuple[Played, ...]:
    return told_of_the_set(bar, batch), told_all_after_one(bar, batch)


def passes(played: Sequence[Played], which: str) -> np.ndarray:
    """Passes until truly within ("within_after") or called so ("signed_after"); the limit where never."""
    counts = [getattr(p, which) for p in played]
    return np.array([MOST_PASSES if c is None else c for c in counts], dtype=float)


def report(sets: Sequence[Made]) -> list[tuple[str, float, str, bool]]:
    """Print the figures; returns the targets: words, figure, target, reached."""
    groups = {"part 1": (1, 1), "part 2": (2, 2), "parts 3 on": (3, 10**6)}
    print(
        "            bars  till truly within: set  alone  knowing   till signed: set  alone   strokes"
        "  started from  changes of tool"
    )
    for name, (first, last) in groups.items():
        parts = [p for s in sets for p in s.parts if first <= p.place <= last]
        true = [
            passes([getattr(p, who) for p in parts], "within_after") for who in ("ours", "alone", "knowing")
        ]
        signed = [passes([getattr(p, who) for p in parts], "signed_after") for who in ("ours", "alone")]
        print(
            f"{name:10s} {len(parts):5d} {true[0].mean():22.2f} {true[1].mean():6.2f} {true[2].mean():8.2f}"
            f" {signed[0].mean():18.2f} {signed[1].mean():6.2f}"
            f" {np.mean([p.ours.strokes for p in parts]):9.0f} {np.mean([p.seen for p in parts]):9.1f}"
            f" {np.mean([p.ours.changes for p in parts]):16.2f}"
        )
    scores = np.array([p.score for s in sets for p in s.parts if p.place > 1])
    print(f"error of the forecasts over its own sd: {sqrt(np.mean(scores**2)):.2f} (1 is right)")
    print(f"changes noticed where there was none: {sum(s.noticed for s in sets)} in {len(sets)} sets")
    _report_bounds([p for s in sets for p in s.parts if p.told])
    return targets(sets)


def _report_bounds(parts: Sequence[Part]) -> None:
    """Passes more than one who knows everything takes, of the same bars."""
    if not parts:
        return
    least = passes([p.knowing for p in parts], "within_after")
    who = ("told what the set has in common", "told everything after the first gaps")
    played = [("by what the set told", [p.ours for p in parts])]
    played += [(name, [p.told[k] for p in parts]) for k, name in enumerate(who)]
    for name, found in played:
        more = passes(found, "within_after") - least
        print(f"more than one who knows everything, {name}: {more.mean():.2f} (se {_error(more):.2f})")


def targets(sets: Sequence[Made]) -> list[tuple[str, float, str, bool]]:
    """What was wanted and what was reached, by passes until truly within and until signed."""
    rows = []
    for which, how in (("within_after", "truly within"), ("signed_after", "called within")):
        first = passes([p.alone for s in sets for p in s.parts], which).mean()
        began = passes([p.ours for s in sets for p in s.parts if p.place == 1], which).mean()
        late = [p for s in sets for p in s.parts if p.place >= 3]
        then, best = passes([p.ours for p in late], which), passes([p.knowing for p in late], which)
        for words, against in (("part 1", began), ("all bars from the first guess", first)):
            share = 1.0 - then.mean() / against
            rows.append((f"{how}: share fewer from part 3 on than {words}", share, ">= 0.25", share >= FEWER))
        more = then.mean() - best.mean()
        rows.append((f"{how}: passes more than one who knows everything", more, "<= 0.4", more <= MORE))
        paired = np.array([passes([p.alone], which)[0] - passes([p.ours], which)[0] for p in late])
        print(f"{how}: passes saved by the set, same bars: {paired.mean():.2f} (se {_error(paired):.2f})")
    return rows


def _error(values: np.ndarray) -> float:
    return float(values.std(ddof=1) / sqrt(len(values)))


def main() -> int:
    """Play and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sets", type=int, default=12)
    parser.add_argument("--parts", type=int, default=10)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--risk", type=float, default=0.05, help="of overshoot, accepted from part 2 on")
    parser.add_argument("--bounds", action="store_true", help="what could be learned at most, too")
    options = parser.parse_args()
    start = time.perf_counter()
    drawn = benchmark_bars(options.sets, options.seed)
    sets = []
    with ProcessPoolExecutor(min(options.workers, MOST_WORKERS)) as pool:
        each = ([value] * len(drawn) for value in (options.parts, options.risk, options.bounds))
        for one in pool.map(made, drawn, *each):
            sets.append(one)
            counts = " ".join(
                f"{p.ours.within_after}/{p.alone.within_after}/{p.knowing.within_after}" for p in one.parts
            )
            print(
                f"{one.form:10s} {counts}  own {one.own_sd:.3f}  {time.perf_counter() - start:.0f} s",
                flush=True,
            )
    rows = report(sets)
    for words, figure, goal, reached in rows:
        print(f"{words:62s} {figure:6.2f}  {goal:8s} {'reached' if reached else 'NOT reached'}")
    return 0 if all(row[3] for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
