"""Three ways to work the same simulated part: this project, one that knows everything, second differences."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass, replace
from itertools import count, pairwise
from typing import Any

import numpy as np
from draws import Drawn, meridian
from known_truth import first_stroke, work_left
from numpy.typing import NDArray
from second_differences import asked_by_gaps, averaged, known_gaps, next_pass

from core.advice import Advice
from core.estimate.gaussian import Belief
from core.estimate.response import ResponseModel
from core.events import annealed, corrected, gaps_read, pass_done, rounded
from core.jobdoc import job as job_from
from core.jobtypes import Job
from core.lobestep import MOST
from core.lobestold import MATTERS
from core.plan.outlook import Goal, Outlook
from core.plan.passes import planned_passes
from core.planned import Pass
from core.refitting import refit
from core.roundness import RoundingStep
from core.simulate import SimulatedDish, SimulatedPart, simulated_part
from core.simulate.lobes import NUMBERS
from core.strained import Strained

Array = NDArray[np.float64]
MOST_PASSES = 15
MOST_ROUNDS = 3
TELL = 5  # meridians, eighths of a turn apart, that tell two and three lobes


@dataclass(frozen=True)
class Played:
    """How one part went.

    within_after : passes until its true widest gap was within tolerance (None: never);
    signed_after : passes until it was called within (None: never); true_mm : widest gap at the end;
    changes : of tool, beyond those that the shape forces; strokes : in all; rounds : gaps taken; steps :
    against lobes, each of which counts as a pass, unless it is read along with one
    """

    form: str
    within_after: int | None
    signed_after: int | None
    true_mm: float
    changes: int
    strokes: int
    rounds: int
    steps: int = 0


class Bench:
    """One part on the bench, with the log that a shop would have."""

    def __init__(self, drawn: Drawn) -> None:
        self.drawn, self.meridians = drawn, drawn.meridians
        self.job: Job = job_from(drawn.document)
        self.made: SimulatedPart = simulated_part(self.job, drawn.seed, drawn.truth)
        self.events: list[dict[str, Any]] = []
        self.passes: list[Pass] = []
        self.steps = self.steps_along = 0  # against lobes; along with a pass, so that both are read at once
        self.within_after: int | None = None
        self.rounds = 0
        self._ids = count()

    def run(self, planned: Pass, with_step: bool = False) -> None:
        """with_step : a step against lobes was done just before, and nothing read in between"""
        strokes = [int(m) for m in planned.strokes]
        if planned.anneal_first:
            self.made.anneal()
            self.events.append(annealed())
        self.made.work(planned.action, planned.bite, strokes)
        self.passes.append(planned)
        self.steps_along += with_step
        self.events.append(pass_done(planned.action, strokes, planned.bite))
        self._look()

    def strike(self, step: RoundingStep) -> None:
        """The step against lobes."""
        assert isinstance(self.made, SimulatedDish)
        self.made.strike_arcs(step.action, step.bite, step.lobes, step.at_deg, step.strokes)
        self.steps += 1
        self.events.append(rounded(step.action, step.lobes, step.at_deg, step.strokes, step.bite))
        self._look()

    @property
    def count(self) -> int:
        """Passes and steps, those that are read at once as one."""
        return len(self.passes) + self.steps - self.steps_along

    def _look(self) -> None:
        if self.within_after is None and self.true_mm <= self.job.tolerance_mm:
            self.within_after = self.count

    def read(self, reseat: bool = True, turn: int = 0) -> tuple[list[Any], list[Any]]:
        self.rounds += reseat
        return self.made.gaps_by_any_gauge(reseat=reseat, **meridian(turn))

    def record(self, gaps: list[Any], gauges: list[Any], turn: int = 0) -> dict[str, Any]:
        taken = gaps_read(gaps, gauges if any(gauges) else None, **meridian(turn))
        self.events.append({**taken, "id": f"r{next(self._ids)}"})
        return self.events[-1]

    @property
    def true_mm(self) -> float:
        """On the meridians that are read, all round where they tell all lobes."""
        if isinstance(self.made, SimulatedDish) and self.meridians < TELL:
            angles = [meridian(turn).get("at_deg", 0.0) for turn in range(self.meridians)]
            return self.made.widest_gap_mm(at_deg=angles)
        return self.made.widest_gap_mm()

    def played(self, signed_after: int | None) -> Played:
        actions = [p.action for p in self.passes]
        changes = sum(a != b for a, b in pairwise(actions))
        return Played(
            self.drawn.form,
            self.within_after,
            signed_after,
            self.true_mm,
            changes - (self.drawn.actions_forced - 1),
            sum(p.total for p in self.passes),
            self.rounds,
            self.steps,
        )


def ours(drawn: Drawn, most: int = MOST_PASSES) -> Played:
    """This project: refit after every round, questioned readings taken again, until called within."""
    bench, advice = worked(drawn, most)
    return bench.played(bench.count if advice.verdict == "within" else None)


def worked(drawn: Drawn, most: int = MOST_PASSES) -> tuple[Bench, Advice]:
    """The bar as this project leaves it, with its log and the last advice."""
    bench = Bench(drawn)
    advice = refit(bench.job, [])
    while (advice.next_pass or _step(advice)) and bench.count < most:
        step = _step(advice)
        if step is not None:
            bench.strike(step)
            advice = refit(bench.job, bench.events)  # a pass may go with it before the gaps are read
        if advice.next_pass is not None:
            bench.run(advice.next_pass, with_step=step is not None)
        for _ in range(MOST_ROUNDS):
            rounds = [bench.record(*bench.read(turn=turn), turn) for turn in range(bench.meridians)]
            advice = refit(bench.job, bench.events)
            if advice.suspects:
                stations = sorted({s.station for s in advice.suspects})
                for turn, taken in enumerate(rounds):
                    _again(bench, taken, stations, turn)
                advice = refit(bench.job, bench.events)
            goes_on = advice.next_pass is not None or _step(advice) is not None
            if advice.verdict == "within" or (goes_on and advice.verdict != "too close to call"):
                break  # else it asks for another round: too close to call, or one that cannot be believed
            if not goes_on and advice.lobing is not None and advice.lobing.more_deg:
                bench.meridians = TELL  # which it asks for: what is left is lobes that those read do not tell
    return bench, advice


def _step(advice: Advice) -> RoundingStep | None:
    return None if advice.lobing is None else advice.lobing.step


def _again(bench: Bench, taken: dict[str, Any], stations: list[int], turn: int) -> None:
    """The questioned stations read again as the template lies; what is read now stands."""
    gaps, gauges = bench.read(reseat=False, turn=turn)
    old = taken.get("gauge") or [None] * len(gaps)
    for i in set(range(len(gaps))) - set(stations):
        gaps[i], gauges[i] = taken["gaps_mm"][i], old[i]
    by = gaps_read(gaps, gauges if any(gauges) else None, confirmed=stations, **meridian(turn))
    bench.events.append({**corrected(taken["id"], by), "id": f"{taken['id']}c"})


class Knowing(ResponseModel):
    """The response as it truly is, now: nothing left to learn but each stroke's scatter."""

    def __init__(self, job: Job, made: SimulatedPart) -> None:
        super().__init__(job)
        self.job, self.made = job, made
        self.mean = np.zeros_like(self.mean)
        self.mean[-2] = made.truth.exponent
        self.cov = 1e-12 * np.eye(self.size)
        self.scatter = made.truth.scatter

    def guess(self, action: str, bite: str) -> Any:
        """(n,) true work of a first stroke beside worked neighbours."""
        one = first_stroke(self.job, self.made, action, bite)
        return one * (1.0 - self.made.truth.neighbour_loss)


def knowing(drawn: Drawn, most: int = MOST_PASSES, by_readings: int = 0) -> Played:
    """The same planner, told the true state and response before every pass; stops when truly within. A dish
    goes out of round under it as well: it takes lobes out by the same steps, along with its passes, and knows
    how large they are and what a stroke does to them.

    by_readings : passes, the first ones, that it has to plan from the gaps as this project does
    """
    bench = Bench(drawn)
    job, made = bench.job, bench.made
    job = replace(job, response=replace(job.response, scatter=made.truth.scatter))
    edge = Strained.none(len(job.part.sites))
    while bench.within_after is None and bench.count < most:
        told = len(bench.passes) >= by_readings
        step = against_lobes(job, made) if told else None
        if step is not None:
            bench.strike(step)
        work = work_left(job, made)
        planned = _told(bench, job, work, edge) if told else _from_gaps(bench)
        if (planned is None and step is None) or bench.within_after is not None:
            break
        if planned is None:
            continue
        bench.run(planned, with_step=step is not None)
        edge = edge.annealed() if planned.anneal_first else edge
        edge = edge.after(planned.action, np.abs(job.part.edge_strain(work - work_left(job, made))))
    return bench.played(bench.within_after)


def against_lobes(job: Job, made: SimulatedPart) -> RoundingStep | None:
    """The step that leaves the least of the largest lobes, by what they are and what a stroke truly does to
    them; None where there are none that matter."""
    if not isinstance(made, SimulatedDish):
        return None
    high = made.lobes.high_mm
    k = int(np.argmax(np.abs(high)))
    if abs(high[k]) <= MATTERS * job.tolerance_mm:
        return None
    tries = [
        (abs(abs(high[k]) - _takes_mm(made, action, bite, k) * m**made.truth.exponent), action, bite, m)
        for action in ("shrink", "stretch")
        for bite in job.bites(action)
        for m in range(1, MOST + 1)
    ]
    _, action, bite, strokes = min(tries)
    lobes = NUMBERS[k]
    between = 0.0 if action == "shrink" else 180.0
    at = (float(np.degrees(np.angle(high[k]))) + between) / lobes % (360.0 / lobes)
    return RoundingStep(action, bite, lobes, at, strokes, (), 0.0, 0.0, True)


def _takes_mm(made: SimulatedDish, action: str, bite: str, k: int) -> float:
    """Off the lobes of this number, by a stroke on every spot of their arcs."""
    struck = deepcopy(made.lobes)
    edges = made.disc.rings_mm
    share = 0.5 * (edges[1:] + edges[:-1]) / edges[-1]
    struck.struck(float(made.first_stroke(action, bite)[-1]), share, NUMBERS[k], 0.0)
    return float(abs(struck.high_mm[k] - made.lobes.high_mm[k]))


def _told(bench: Bench, job: Job, work: Array, edge: Strained) -> Pass | None:
    """The next pass of one who knows everything, None when there is none."""
    model = Knowing(job, bench.made)
    mean = np.concatenate([work, model.mean])
    belief = Belief(mean, 1e-12 * np.eye(len(mean)))
    outlook = Outlook(Goal(job), model, belief, np.zeros(len(work)), edge)
    mounted = bench.passes[-1].action if bench.passes else None
    return next(iter(planned_passes(outlook, mounted)), None)


def _from_gaps(bench: Bench) -> Pass | None:
    """The next pass by the gaps that are read now, as this project plans it."""
    if bench.passes:
        for turn in range(bench.drawn.meridians):
            bench.record(*bench.read(turn=turn), turn)
    return refit(bench.job, bench.events).next_pass


def differences(drawn: Drawn, window: int, average: bool, most: int = 30) -> Played:
    """Second differences of the gaps, 70 per cent; stops when every gap reads within tolerance."""
    bench = Bench(drawn)
    job, sites = bench.job, bench.job.part.sites
    planned = next_pass(job, job.part.target)
    signed = None
    while planned is not None and len(bench.passes) < most:
        bench.run(planned)
        gaps, _ = bench.read()
        if max(known_gaps(gaps).values()) <= job.tolerance_mm:
            signed = len(bench.passes)
            break
        smooth = averaged(gaps) if average else gaps
        asked = asked_by_gaps(smooth, job.template.sign, sites.position_mm, sites.width_mm, window)
        planned = next_pass(job, asked)
    return bench.played(signed)
