"""The next pass and those after it: every way of going on is played to its end, then the first is taken.

Choosing the single pass that looks best now is a trap: on an S-shaped bar it shrinks one half too far to
make up for the stretching that has not been done yet. So all remaining work is planned together.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from core.plan.aim import Wanted, held_back, plan_ahead, stroking_for, work_of
from core.plan.outlook import Goal, Outlook
from core.plan.rounding import whole_strokes

Array = NDArray[np.float64]
ACTIONS = ("shrink", "stretch")
ACCEPTED = 0.8  # share of the tolerance up to which one action alone is good enough
MOST_PASSES = 10
DRAWS = 64
CHANGE_COST = 0.7  # passes that a change of tool is worth
STROKE_COST = 2e-4  # passes that a stroke is worth
ENOUGH = 0.9  # chance of being within at which a plan may end


@dataclass(frozen=True)
class Step:
    """One pass of a plan: before and after are what is believed then, chance of being within after it."""

    action: str
    bite: str
    strokes: Array
    before: Outlook
    after: Outlook
    chance: float


@dataclass
class Plan:
    """Passes in order, with what they cost in passes (expected), tool changes and strokes."""

    steps: list[Step] = field(default_factory=list)
    cost: float = np.inf


def best_plan(outlook: Outlook, mounted: str | None, z: float) -> Plan:
    """The cheapest way to the end. mounted : action of the tool that is on, None before the first pass;
    z : normal quantile of the accepted chance of overshoot."""
    best = Plan()
    for sequence, wanted in _sequences(outlook):
        bites = list(outlook.goal.job.tool.bites)
        for first in bites:
            for later in bites:
                plan = _play(outlook, sequence, wanted, (first, later), z)
                plan.cost += CHANGE_COST * (mounted is not None and mounted != sequence[0])
                if plan.steps and plan.cost < best.cost:
                    best = plan
    return best


def _sequences(outlook: Outlook) -> list[tuple[tuple[str, ...], Wanted]]:
    """Orders of actions worth trying, with the work wanted: one action where that is good enough."""
    limit = ACCEPTED * outlook.goal.job.tolerance_mm
    alone = [((a,), plan_ahead(outlook, (a,))) for a in ACTIONS]
    fine = [(s, w) for s, w in alone if w.widest_mm <= limit]
    if fine:
        return fine
    both = plan_ahead(outlook, ACTIONS)
    return [(ACTIONS, both), (ACTIONS[::-1], both)]


def _play(
    outlook: Outlook, sequence: tuple[str, ...], wanted: Wanted, bites: tuple[str, str], z: float
) -> Plan:
    """Play a sequence of actions to its end, with one bite for the first pass and one for the rest."""
    plan = Plan()
    left = {a: w.copy() for a, w in wanted.work.items()}
    state, phase, failed = outlook, 0, 1.0
    while len(plan.steps) < MOST_PASSES:
        action, last = sequence[phase], phase == len(sequence) - 1
        bite = bites[min(len(plan.steps), 1)]
        step = _pass(state, action, bite, left[action], z if last else 0.0)
        if step is None:
            if last:
                break
            phase += 1
            continue
        plan.steps.append(step)
        done = work_of(state, action, bite, step.strokes)
        left[action] = np.maximum(left[action] - done, 0.0)
        state = step.after.once_read()
        if last and step.chance >= ENOUGH:
            failed = 1.0 - step.chance
            break
    changes = sum(a.action != b.action for a, b in zip(plan.steps, plan.steps[1:], strict=False))
    strokes = sum(float(s.strokes.sum()) for s in plan.steps)
    plan.cost = len(plan.steps) + failed + CHANGE_COST * changes + STROKE_COST * strokes
    return plan


def _pass(state: Outlook, action: str, bite: str, wanted: Array, z: float) -> Step | None:
    """One pass of this action and bite, or None when it has nothing to do."""
    most = _most(state, bite)
    strokes = stroking_for(state, action, bite, wanted)
    share = held_back(state, action, bite, wanted, np.minimum(strokes, most), z)
    aimed = np.minimum(stroking_for(state, action, bite, share * wanted), most)
    if np.max(aimed, initial=0.0) < 0.05:
        return None
    counts = whole_strokes(
        aimed, lambda m: work_of(state, action, bite, m), most, state.goal.free
    )
    if not counts.any():
        return None
    after = state.after(action, bite, counts)
    return Step(action, bite, counts, state, after, chance_after(after))


def _most(state: Outlook, bite: str) -> Array:
    """(n,) most strokes that the limits of strain allow at each site in one pass."""
    job = state.goal.job
    one = state.model.strain(bite, np.ones(state.model.sites))
    room = np.minimum(job.part.limits.strain_per_pass, job.part.limits.strain_total - state.strain_total)
    return np.floor(np.maximum(room, 0.0) / one + 1e-9)


def draw_readings(state: Outlook) -> Array:
    """(DRAWS, r) readings that may be found, rigid motion taken out."""
    goal, n = state.goal, state.model.sites
    cov = goal.free @ state.belief.cov[:n, :n] @ goal.free.T
    values, vectors = np.linalg.eigh(cov)
    kept = values > 1e-6 * max(values.max(), 1e-300)
    half = np.random.default_rng(7).standard_normal((DRAWS // 2, int(kept.sum())))
    unit = np.vstack([half, -half])
    drawn: Array = goal.free @ state.work + unit @ (vectors[:, kept] * np.sqrt(values[kept])).T
    return drawn


def widths(goal: Goal, readings: Array) -> Array:
    """(s,) widest gap of readings with rigid motion taken out: near the best seating, never below it."""
    if goal.job.template.rigid:
        return np.asarray(np.ptp(readings, axis=1))
    return np.asarray(np.abs(readings).max(axis=1))


def chance_after(state: Outlook) -> float:
    """Chance that the part is then within its tolerance."""
    return float(np.mean(widths(state.goal, draw_readings(state)) <= state.goal.job.tolerance_mm))
