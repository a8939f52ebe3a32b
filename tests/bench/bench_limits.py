"""Limits of metal, tools and machine over simulated jobs: what passes do against them, and which jobs are
held up by them.

    python tests/bench/bench_limits.py --jobs 200 --seed 1 --workers 2

Metals of the table, thicknesses from 0.5 to 3 mm, curves of both kinds down to the tightest that a flange
takes. The strain of a pass is taken from the bar as it truly is: by how much its edge truly is shorter or
longer, averaged over the station. What was planned is held against what was expected then. The strain of one
pass is counted by itself, for it has a risk of its own. Every job is on an invented machine with one tool set
or two; what these cannot run is reckoned by plain formulas (``shops``) and held against what the job says of
it and what its passes ask for.
"""

from __future__ import annotations

import argparse
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from math import inf
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

sys.path.insert(0, str(Path(__file__).parent))

from draws import Drawn, benchmark_bars
from players import Bench
from shops import Misfit, fed_as_it_can, fits_shop, misfits, runs, sets_of, told, unlike, with_shop

import core
from core.limits import CLEARLY
from core.planned import Pass
from core.strained import Strained

Array = NDArray[np.float64]

MOST_PASSES = 25
FITS = 0.8  # of the limits of the whole job that a target may ask for and still fit, whatever the response
SLACK = 1e-3  # of a limit: what counting strokes by one rule and strain by another leaves
SET_ASIDE = ("setting", "rate", "feed")  # misfits that hold no job up: other bites, another rate, standing
LEAST_SHARE = 0.01  # of its work that a stroke next to an end does
SHARPEST = 0.95  # of the curve at which an edge would come to a point


@dataclass(frozen=True)
class Held:
    """One job.

    planned : largest share of any limit that a pass came to, as expected when it was planned; done : the same
    as it truly was, of all limits but that of one pass; at_once : of that one, as it truly was, the largest
    of every pass; sites_beyond : share of the sites struck that went beyond it; fits : the target asks for
    less than the metal takes; within : it got there; anneals, passes :
    how many; folding : a bite was used that may fold the edge; fits_shop : machine and tools can do it;
    not_run : passes that the machine cannot run as they stand; unsaid, made_up : what does not fit and was
    not said, and the other way round; refused_by : misfits told of a job that fits
    """

    planned: float
    done: float
    at_once: list[float]
    sites_beyond: float
    fits: bool
    within: bool
    anneals: int
    passes: int
    folding: bool
    fits_shop: bool
    not_run: int
    unsaid: list[Misfit]
    made_up: list[Misfit]
    refused_by: list[Misfit]
    one_way: bool


def held_jobs(count: int, seed: int) -> list[Drawn]:
    """So many jobs, the same for the same seed."""
    held = [
        _held(bar, np.random.default_rng([seed, i, 7])) for i, bar in enumerate(benchmark_bars(count, seed))
    ]
    return [
        replace(bar, document=with_shop(bar.document, np.random.default_rng([seed, i, 8])))
        for i, bar in enumerate(held)
    ]


def _held(bar: Drawn, rng: np.random.Generator) -> Drawn:
    """The bar of another metal and thickness; half of the plain arcs tighter and half of those outside."""
    document: dict[str, Any] = {**bar.document, "template": "layout line", "gauge": "dial"}
    document["material"] = str(rng.choice(sorted(core.METALS)))
    thick = float(np.round(rng.uniform(0.5, 3.0), 1))
    document["section"] = {**document["section"], "thickness": f"{thick} mm"}
    if bar.form == "arc" and document["section"]["shape"] in ("angle", "T", "flat bar"):
        radius = float(np.round(np.exp(rng.uniform(np.log(80.0), np.log(800.0)))))
        side = 1.0 if rng.random() < 0.5 else -1.0
        length = min(600.0, 2.0 * radius + 60.0)
        document["line"] = {"radius": f"{side * radius} mm", "length": f"{length} mm"}
        document["pitch"] = "30 mm"
    return replace(bar, document=document)


def play(drawn: Drawn) -> Held:
    """Work one job until it is within, or no pass is left."""
    bench = Bench(drawn)
    part, limits = bench.job.part, bench.job.limits
    edge = Strained.none(len(part.sites))
    lasting = replace(limits, per_pass=replace(limits.per_pass, strain=inf))
    planned = done = 0.0
    anneals, folding, not_run = 0, False, 0
    at_once: list[Array] = []
    advice = core.refit(bench.job, [])
    while advice.next_pass is not None and len(bench.passes) < MOST_PASSES:
        step = advice.next_pass
        edge, anneals = (edge.annealed(), anneals + 1) if step.anneal_first else (edge, anneals)
        planned = max(planned, float(advice.limit_use.share[step.strokes > 0].max()))
        tool = bench.job.tools[step.action]
        folding |= step.bite not in limits.bites(step.action, tool.bites, tool.strain_per_stroke)
        not_run += not _can_be_run(step, tool.name, drawn, part.sites.width_mm)
        before = truly_strained(bench, step.action)
        bench.run(step)
        added = np.abs(truly_strained(bench, step.action) - before)
        struck = step.strokes > 0
        done = max(done, float(lasting.use(step.action, edge, added).share[struck].max()))
        at_once.append(added[struck] / limits.per_pass.strain)
        edge = edge.after(step.action, added)
        bench.record(*bench.read())
        advice = core.refit(bench.job, bench.events)
    within = bench.within_after is not None
    fit = fits_shop(drawn.document)
    said = told(bench.job.warnings)
    used = {bench.job.tools[action].name for action in bench.job.actions}
    unsaid, made_up = unlike(misfits(drawn.document, used), said)
    refused_by = [m for m in said if fit and m.what not in SET_ASIDE]
    return Held(
        planned,
        done,
        [float(shares.max()) for shares in at_once],
        float(np.mean(np.concatenate(at_once) > 1.0)) if at_once else 0.0,
        _fits(bench.job),
        within,
        anneals,
        len(bench.passes),
        folding,
        fit,
        not_run,
        unsaid,
        made_up,
        refused_by,
        len(bench.job.actions) == 1,
    )


def _can_be_run(step: Pass, name: str, drawn: Drawn, width_mm: Array) -> bool:
    """Whether the set does this, the machine can be set to its bite, strokes come at a rate that it makes
    (one for the whole pass) and every zone is fed as it can be."""
    document = drawn.document
    tool = next(tool for tool in sets_of(document) if tool["name"] == name)
    slowest, fastest = document["machine"]["stroke_rates"]
    rate = step.strokes_per_minute
    paced = slowest * (1.0 - SLACK) <= rate <= fastest * (1.0 + SLACK)
    fed = all(
        fed_as_it_can(document, zone, rate, float(width_mm[zone.first : zone.last + 1].sum()))
        for zone in step.feed
    )
    return step.action in tool["actions"] and runs(document, step.bite, tool) and paced and fed


def truly_strained(bench: Bench, action: str) -> Array:
    """(n,) natural strain of the edge so far, by lengths: over each station the edge is 1 - h/R of the heel,
    and the heel gives by what its section does under a pull at the patches. Near an end strokes bend the bar
    less and strain the metal no less."""
    made, section = bench.made, bench.job.part.section
    stock, by = made.stock, made.stock.struck[action]
    to_end = np.minimum(stock.stations_mm, stock.line.length_mm - stock.stations_mm)
    share = np.maximum(made.truth.end_share(to_end, stock.flange_mm), LEAST_SHARE)
    curve = np.minimum(made.work_done_rad() / (stock.width_mm * share), SHARPEST / stock.flange_mm)
    struck = sum(flange.edge_strip(by.tool.patch_depth_mm).area_mm2 for flange in section.worked)
    pulled = struck / section.area_mm2 * by.tool.patch_length_mm / by.kink_per_strain_rad
    heel = pulled - section.centroid_mm[0]
    return np.asarray(heel * curve - np.log(1.0 - stock.flange_mm * curve))


def _fits(job: core.Job) -> bool:
    """Whether the target asks for clearly less than the metal takes in all, with a bite that may be used."""
    strain = job.part.edge_strain(job.part.target)
    ways = {"shrink": float(strain.max()), "stretch": -float(strain.min())}
    return all(
        most <= FITS * job.limits.most_in_all(action).strain and (most <= 0.0 or bool(job.bites(action)))
        for action, most in ways.items()
    )


def report(jobs: list[Held]) -> bool:
    """Print what was found; whether no plan went beyond a limit and all that fits got there."""
    fitting = [job for job in jobs if job.fits and job.fits_shop]
    alike = sum(bool(job.unsaid or job.made_up) for job in jobs)
    not_run = sum(job.not_run > 0 for job in jobs)
    held_up = sum(bool(job.refused_by) for job in jobs)
    beyond = sum(job.planned > 1.0 + SLACK for job in jobs)
    truly = [job.done for job in jobs]
    refused = [job for job in fitting if not job.within]
    passes = np.mean([job.passes for job in jobs])
    print(f"{len(jobs)} jobs, {len(fitting)} of which fit; passes on average {passes:.2f}")
    over = max(job.planned for job in jobs) - 1.0
    print(f"  jobs with a pass planned beyond a limit          {beyond}, at most {over:.1%} beyond")
    print(f"  jobs with a bite that may fold the edge          {sum(job.folding for job in jobs)}")
    print(f"  jobs with a pass that truly went beyond a limit  {sum(share > 1.0 for share in truly)}")
    print(
        f"  largest true share of a limit, 95 % and all      {np.quantile(truly, 0.95):.2f}, {max(truly):.2f}"
    )
    at_once, sites = np.concatenate([j.at_once for j in jobs]), np.mean([j.sites_beyond for j in jobs])
    print(
        f"  passes that truly did more than is usual of one  {np.mean(at_once > 1.0):.1%}, a quarter more"
        f" {np.mean(at_once > 1.0 + CLEARLY):.1%}, at most {at_once.max(initial=0.0):.2f} times;"
        f" more {sites:.1%} of the sites"
    )
    print(f"  jobs that were annealed                          {sum(job.anneals > 0 for job in jobs)}")
    print(f"  jobs that fit and did not get there              {len(refused)}")
    alone = [job for job in fitting if job.one_way]
    lost, lucky = sum(j.one_way for j in refused), sum(j.within and not j.fits for j in jobs)
    print(f"    of these with no set for the other action      {lost} of {len(alone)}")
    print(f"  jobs that ask more than the metal takes, within  {lucky}")
    print(f"  jobs that machine and tools do not fit           {sum(not job.fits_shop for job in jobs)}")
    print(f"  jobs with a misfit unsaid or misreckoned         {alike}")
    print(f"  jobs with a pass that the machine cannot run     {not_run}")
    print(f"  jobs that fit a set at hand and are doubted      {held_up}")
    return beyond == 0 and not refused and not (alike or not_run or held_up)


def main() -> int:
    """Play and print; 0 only when both targets were reached."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--jobs", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    options = parser.parse_args()
    start = time.perf_counter()
    with ProcessPoolExecutor(options.workers) as pool:
        jobs = list(pool.map(play, held_jobs(options.jobs, options.seed)))
    good = report(jobs)
    print(f"  {time.perf_counter() - start:.0f} s")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
