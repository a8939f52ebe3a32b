"""How dishes and flanges fare: passes against one who knows everything, bands, cost of an advice.

    python tests/bench/bench_sheet.py --kind dish --parts 20 --seed 1

The drawn parts of ``sheets.py`` are played by the advice until called within, or 15 passes. Passes are
counted so, as those of bars; one that is called within and is not counts as late. They are played by the
same planner told the true state and response; once more by one who has to plan the first pass by what is
believed beforehand and is told everything once it is done, which says what no reading could save. The bands
are those of parts worked to a script, as in ``bench_bands.py``. Parts that did badly are marked, so that
they can be traced by their seed. A step against lobes counts as a pass, unless one goes with it before the
gaps are read: what counts is how often strokes are put in and measured.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parent))

from banded import Held, held, scripted_log
from bench_advice import best_ms, reference
from draws import Drawn
from players import MOST_PASSES, Played, knowing, ours
from sheets import KINDS, MOST_MERIDIANS, drawn_sheets

import core
from core.errors import InputError
from core.jobdoc import job as job_from

SOON = 10  # passes in which a part should be within
SCRIPTED = 4
RINGS, PASSES = 20, 5  # of the dish whose advice is timed
STEEP_RAD = np.radians(45.0)  # its rim is no steeper
WANTED = {"within": 0.98, "more": 1.0, "ms": 300.0}
BANDS = (0.93, 0.97)


@dataclass(frozen=True)
class Faring:
    """One part: as played by the advice, by one who knows everything and by one who is told after the first
    pass, and its bands."""

    drawn: Drawn
    tolerance_mm: float
    ours: Played
    known: Played
    told: Played
    bands: Held

    @property
    def soon(self) -> bool:
        """Truly within tolerance in few enough passes."""
        return self.ours.within_after is not None and self.ours.within_after <= SOON

    @property
    def more(self) -> int:
        """Passes until called within, more than one who knows everything takes; one who never got there is
        put at the limit."""
        called = self.ours.signed_after
        return (MOST_PASSES if called is None else called) - _passes(self.known)

    @property
    def more_truly(self) -> int:
        """The same until truly within: one that is called so and is not never gets there."""
        return _passes(self.ours) - _passes(self.known)

    @property
    def held(self) -> float:
        """Share of the sites whose band holds."""
        return float(np.mean(self.bands.inside))

    def line(self) -> str:
        """What is printed of one part."""
        us, marks = self.ours, ""
        marks += "  REFUSED" if np.isinf(us.true_mm) or not len(self.bands.score) else ""
        marks += "" if self.soon else "  LATE"
        marks += "  SLOW" if self.more > 2 else ""
        marks += "  BANDS" if self.held < 0.8 else ""
        signed = "not signed" if us.signed_after is None else f"signed after {us.signed_after:2d}"
        return (
            f"  {self.drawn.seed:6d} {self.drawn.form:22s} {len(self.bands.inside):3d} sites"
            f" {_passes(us):3d} passes, {_passes(self.known):3d} knowing; {signed:15s}"
            f" {us.true_mm:6.2f} of {self.tolerance_mm:g} mm, bands {self.held:4.0%}"
            f"{f', {us.steps} against lobes' if us.steps else ''}{marks}"
        )


def _error(values: Sequence[float]) -> float:
    """One standard error of the mean over parts: sites of one part are not independent."""
    return float(np.std(values) / np.sqrt(len(values)))


def _passes(played: Played) -> int:
    return MOST_PASSES if played.within_after is None else played.within_after


def fare(drawn: Drawn) -> Faring:
    """Play one part both ways. A sound log that the estimator refuses counts as a part that never got there,
    and none of its bands as holding."""
    job = job_from(drawn.document)
    try:
        us = ours(drawn)
    except InputError:
        us = Played(drawn.form, None, None, np.inf, 0, 0, 0)
    try:
        bands = held(drawn, SCRIPTED)
    except InputError:
        bands = Held(drawn.form, "", np.zeros(len(job.part.sites), bool), np.zeros(0), 0)
    return Faring(drawn, job.tolerance_mm, us, knowing(drawn), knowing(drawn, by_readings=1), bands)


def advice_ms() -> float:
    """Of a dish of many rings, not a steep one, read on all meridians, with some passes behind it, processor
    time."""
    for drawn in drawn_sheets("dish", 200, 1):
        job = job_from(drawn.document)
        if len(job.part.sites) == RINGS and job.part.blank.meridian.slope_rad(job.part.length_mm) < STEEP_RAD:
            break
    made = core.simulated_part(job, drawn.seed, drawn.truth)
    events = scripted_log(job, made, PASSES, MOST_MERIDIANS)
    # The shapes that a part has worked out are remembered: every time is that of a job just opened.
    return best_ms(lambda: core.refit(job_from(drawn.document), events))


def targets(parts: Sequence[Faring]) -> list[tuple[str, str, bool]]:
    """(what, figure against what was wanted, whether it was reached)."""
    ended = [p for p in parts if p.known.within_after is not None]  # else nothing to compare with
    soon, more = float(np.mean([p.soon for p in parts])), float(np.mean([p.more for p in ended]))
    truly = [p.more_truly for p in ended]
    told = [_passes(p.told) - _passes(p.known) for p in ended]
    bands = float(np.mean(np.concatenate([p.bands.inside for p in parts])))
    lobed = np.concatenate([p.bands.lobed for p in parts])
    low, high = BANDS
    lobes = float(np.mean(lobed)) if len(lobed) else (low + high) / 2.0
    by_part = [float(np.mean(p.bands.lobed)) for p in parts if len(p.bands.lobed)] or [0.0]
    about_lobes = (
        "numbers of lobes within their 95 % bands",
        f"{lobes:.1%} ± {_error(by_part):.1%}, wanted {low:.0%} at least",
        lobes >= low,
    )
    return [
        *([about_lobes] if len(lobed) else []),
        (
            f"truly within tolerance in at most {SOON} passes",
            f"{soon:.1%} ± {_error([p.soon for p in parts]):.1%}, wanted >= {WANTED['within']:.0%}",
            soon >= WANTED["within"],
        ),
        (
            "passes more than one who knows everything",
            f"{more:.2f} ± {_error([p.more for p in ended]):.2f} ({len(ended)} parts that it ends),"
            f" wanted <= {WANTED['more']}; until truly within {np.mean(truly):.2f} ± {_error(truly):.2f};"
            f" told after the first {np.mean(told):.2f} ± {_error(told):.2f}",
            more <= WANTED["more"],
        ),
        (
            "deviations within their 95 % bands",
            f"{bands:.1%} ± {_error([p.held for p in parts]):.1%}, wanted {low:.0%} to {high:.0%}",
            low <= bands <= high,
        ),
    ]


def report(kind: str, parts: Sequence[Faring]) -> bool:
    """Print a kind by its forms, and whether its targets were reached."""
    print(f"{kind}: {len(parts)} parts")
    print("  form                   parts  soon within  called within, truly  passes  knowing  bands  rms")
    for form in ["all", *sorted({p.drawn.form for p in parts})]:
        group = [p for p in parts if form in ("all", p.drawn.form)]
        signed = [p for p in group if p.ours.signed_after is not None]
        truly = sum(p.ours.true_mm <= p.tolerance_mm for p in signed)
        score = np.concatenate([p.bands.score for p in group])
        print(
            f"  {form:22s} {len(group):5d} {np.mean([p.soon for p in group]):12.1%}"
            f" {len(signed):14d}, {truly:5d} {np.mean([_passes(p.ours) for p in group]):7.2f}"
            f" {np.mean([_passes(p.known) for p in group]):8.2f}"
            f" {np.mean(np.concatenate([p.bands.inside for p in group])):6.1%}"
            f" {np.sqrt(np.mean(score**2)):4.2f}"
        )
    rows = targets(parts)
    for words, figure, reached in rows:
        print(f"  {words:50s} {figure}: {'reached' if reached else 'NOT reached'}")
    return all(reached for _, _, reached in rows)


def main() -> int:
    """Play and print; 0 only when every target was reached."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--parts", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kind", choices=KINDS, action="append")
    parser.add_argument("--workers", type=int, default=1)
    options = parser.parse_args()
    good = True
    for kind in options.kind or KINDS:
        start, parts = time.perf_counter(), []
        with ProcessPoolExecutor(options.workers) as pool:
            for part in pool.map(fare, drawn_sheets(kind, options.parts, options.seed)):
                parts.append(part)
                print(part.line(), flush=True)
        good &= report(kind, parts)
        print(f"  {time.perf_counter() - start:.0f} s", flush=True)
    ms = advice_ms()
    print(
        f"whole advice for {RINGS} rings and {MOST_MERIDIANS} meridians after {PASSES} passes: {ms:.0f} ms,"
        f" wanted {WANTED['ms']:g}"
    )
    print(f"  of one thread, and {reference()}")
    return 0 if good and ms <= WANTED["ms"] else 1


if __name__ == "__main__":
    sys.exit(main())
