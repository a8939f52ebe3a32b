"""How many passes a bar takes, against one who knows everything and against second differences.

    python tests/bench/bench_passes.py --bars 200 --seed 1 --workers 2

All three work the same bars, whose metal, seating and readings are drawn anew but alike for each. A pass
count of a method that never got there is put at its limit.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from draws import Drawn, benchmark_bars
from players import Played, differences, knowing, ours

SMOOTHED_NAME = "second differences, smoothed"


def play_ours(drawn: Drawn) -> Played:
    """See :func:`players.ours`."""
    return ours(drawn)


def play_knowing(drawn: Drawn) -> Played:
    """See :func:`players.knowing`."""
    return knowing(drawn)


def play_told_after_one(drawn: Drawn) -> Played:
    """One who plans a pass from what is believed beforehand, and knows everything once its gaps are read."""
    return knowing(drawn, by_readings=1)


def play_told_after_two(drawn: Drawn) -> Played:
    """The same after two passes."""
    return knowing(drawn, by_readings=2)


def play_plain(drawn: Drawn) -> Played:
    """Second differences of the gaps as read."""
    return differences(drawn, 3, average=False)


def play_smoothed(drawn: Drawn) -> Played:
    """Second differences of gaps smoothed 1-2-1."""
    return differences(drawn, 3, average=True)


def play_parabola(drawn: Drawn) -> Played:
    """Bend of a parabola through seven stations."""
    return differences(drawn, 7, average=False)


PLAYERS: dict[str, tuple[Callable[[Drawn], Played], int]] = {
    "this project": (play_ours, 15),
    "knows everything": (play_knowing, 15),
    "knows everything after one pass": (play_told_after_one, 15),
    "knows everything after two passes": (play_told_after_two, 15),
    SMOOTHED_NAME: (play_smoothed, 30),
    "second differences, plain": (play_plain, 30),
    "parabola over seven stations": (play_parabola, 30),
}


def run(name: str, bars: Sequence[Drawn], workers: int) -> list[Played]:
    """All bars by one player."""
    play = PLAYERS[name][0]
    if workers < 2:
        return [play(bar) for bar in bars]
    with ProcessPoolExecutor(workers) as pool:
        return list(pool.map(play, bars))


def report(
    name: str, played: Sequence[Played], tolerance_mm: float = 0.5, out: Callable[[str], None] = print
) -> None:
    """Print what a player did, in all and by form of the target line."""
    most = PLAYERS[name][1]
    out(f"{name}: {len(played)} bars")
    out(
        "  form        bars  within  passes till within  till signed  <= 8 and truly within  strokes  changes"
    )
    for form in ["all", *sorted({p.form for p in played})]:
        group = [p for p in played if form in ("all", p.form)]
        within = [p.within_after for p in group if p.within_after is not None]
        signed = [most if p.signed_after is None else p.signed_after for p in group]
        good = [
            p.signed_after is not None and p.signed_after <= 8 and p.true_mm <= tolerance_mm for p in group
        ]
        passes = np.mean([most if p.within_after is None else p.within_after for p in group])
        out(
            f"  {form:10s} {len(group):5d} {len(within) / len(group):7.1%} {passes:19.2f}"
            f" {np.mean(signed):12.2f} {np.mean(good):22.1%}"
            f" {np.mean([p.strokes for p in group]):8.0f} {np.mean([max(p.changes, 0) for p in group]):8.2f}"
        )


def targets(played: dict[str, list[Played]], tolerance_mm: float = 0.5) -> list[tuple[str, float, str, bool]]:
    """What was wanted of this project and what it reached: (words, figure, target, reached)."""

    def passes(name: str, which: str = "within_after") -> float:
        counts = [getattr(p, which) for p in played[name]]
        return float(np.mean([PLAYERS[name][1] if c is None else c for c in counts]))

    us = played["this project"]
    in_eight = [p.within_after is not None and p.within_after <= 8 for p in us]
    signed = [p for p in us if p.signed_after is not None]
    rows = [
        ("truly within tolerance in at most 8 passes", float(np.mean(in_eight)), ">= 0.99"),
        ("called within in at most 8 passes", sum(p.signed_after <= 8 for p in signed) / len(us), ">= 0.99"),
        (
            "of those called within, truly so",
            float(np.mean([p.true_mm <= tolerance_mm for p in signed])),
            ">= 0.95",
        ),
        ("tool changes beyond those forced", float(np.mean([max(p.changes, 0) for p in us])), "<= 0.15"),
    ]
    if "knows everything" in played:
        more, bars = _more_than(us, played["knows everything"])
        rows.append((f"passes more than one who knows everything ({bars} bars)", more, "<= 1.0"))
    if SMOOTHED_NAME in played:
        rows.append(
            (
                "times fewer passes than second differences",
                passes(SMOOTHED_NAME, "signed_after") / passes("this project", "signed_after"),
                ">= 3",
            )
        )
    return [(words, figure, goal, _reached(figure, goal)) for words, figure, goal in rows]


def _more_than(us: list[Played], told: list[Played]) -> tuple[float, int]:
    """Passes until called within, more than one takes who knows everything, on the bars that this one
    finishes; and how many those are."""
    both = [
        (p.signed_after or PLAYERS["this project"][1], q.within_after) for p, q in zip(us, told, strict=True)
    ]
    more = [ours - theirs for ours, theirs in both if theirs is not None]
    return float(np.mean(more)), len(more)


def _reached(figure: float, goal: str) -> bool:
    sign, limit = goal.split()
    return figure >= float(limit) if sign == ">=" else figure <= float(limit)


def main() -> int:
    """Play and print; 0 only when every target was reached."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--bars", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--only", choices=PLAYERS, action="append")
    options = parser.parse_args()
    bars = benchmark_bars(options.bars, options.seed)
    played: dict[str, list[Played]] = {}
    for name in options.only or PLAYERS:
        start = time.perf_counter()
        played[name] = run(name, bars, options.workers)
        report(name, played[name])
        print(f"  {time.perf_counter() - start:.0f} s", flush=True)
    if "this project" not in played:
        return 0
    rows = targets(played)
    for words, figure, goal, reached in rows:
        print(f"{words:45s} {figure:7.2f}  {goal:8s} {'reached' if reached else 'NOT reached'}")
    return 0 if all(row[3] for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
