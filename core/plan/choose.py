"""The next pass and those after it: every way of going on is played to its end, then the first is taken.

Choosing the single pass that looks best now is a trap: on an S-shaped bar it shrinks one half too far to
make up for the stretching that has not been done yet. So all remaining work is planned together.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.plan.aim import Wanted, held_back, plan_ahead, stroking_for
from core.plan.outlook import Goal, Outlook
from core.plan.rounding import LEAST, whole_strokes

Array = NDArray[np.float64]
ACTIONS = ("shrink", "stretch")
ACCEPTED = 0.9  # share of the tolerance up to which one action alone is good enough
MOST_PASSES = 10
DRAWS = 64
CHANGE_COST = 1.5  # passes that a change of tool is worth
STROKE_COST = 1e-3  # passes that a stroke is worth: a pass with its gaps takes about as long as a thousand
FINE_ZONES = 0.15  # share of the tolerance that may be given away for fewer zones of equal count
ROUGH_ZONES = 0.03  # the same as a share of the gap that the pass leaves anyhow
HOPELESS = 3.0  # tolerances that the expected gap may have before the chance is worth reckoning
BOLDNESS = (0.0, 0.35, 0.7, 1.0)  # shares of the full hold-back, tried in this order
OVERSHOT = 0.8  # share of the tolerance past which work for the other action counts as overshoot
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
    """Passes in order, with what they cost: passes expected until the part is within, changes, strokes."""

    steps: list[Step] = field(default_factory=list)
    cost: float = np.inf


def best_plan(outlook: Outlook, mounted: str | None, risk: float) -> Plan:
    """The cheapest way to the end. mounted : action of the tool that is on, None before the first pass;
    risk : accepted chance that a pass overshoots."""
    best = Plan()
    for sequence, wanted in _sequences(outlook):
        bites = list(outlook.goal.job.tool.bites)
        change = CHANGE_COST * (mounted is not None and mounted != sequence[0])

        def played(first: str, later: str) -> Plan:
            plan = _play(outlook, sequence, wanted, (first, later), risk)  # noqa: B023
            return Plan(plan.steps, plan.cost + change if plan.steps else np.inf)  # noqa: B023

        same = min((played(bite, bite) for bite in bites), key=lambda plan: plan.cost)
        best = min(best, same, key=lambda plan: plan.cost)
        if len(same.steps) > 1:  # then the bite of the later passes is worth a choice of its own
            first = same.steps[0].bite
            others = [played(first, bite) for bite in bites if bite != first]
            best = min(best, *others, key=lambda plan: plan.cost)
    return best if best.steps else _one_bold_pass(outlook)


def _one_bold_pass(outlook: Outlook) -> Plan:
    """Where every cautious pass rounds to nothing: the one pass that most likely ends it, if any helps."""
    plans = []
    for action in ACTIONS:
        wanted = plan_ahead(outlook, (action,)).work[action]
        for bite in outlook.goal.job.tool.bites:
            step = _pass(outlook, action, bite, wanted, _Caution(0.5, False))
            if step is not None and step.chance > chance_after(outlook):
                plans.append(Plan([step], 2.0 - step.chance))
    return min(plans, key=lambda plan: plan.cost, default=Plan())


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
    outlook: Outlook, sequence: tuple[str, ...], wanted: Wanted, bites: tuple[str, str], risk: float
) -> Plan:
    """Play a sequence of actions to its end, with one bite for the first pass and one for the rest."""
    plan = Plan()
    left = {a: w.copy() for a, w in wanted.work.items()}
    state, phase, unfinished = outlook, 0, 1.0
    plan.cost = 0.0
    while len(plan.steps) < MOST_PASSES:
        action, last = sequence[phase], phase == len(sequence) - 1
        bite = bites[min(len(plan.steps), 1)]
        caution = _Caution(risk, not plan.steps) if last else _Caution(0.5, False)
        step = _pass(state, action, bite, left[action], caution)
        if step is None:
            if last:
                break
            phase += 1
            continue
        plan.steps.append(step)
        plan.cost += unfinished
        unfinished = min(unfinished, 1.0 - step.chance)
        left[action] = np.maximum(left[action] - state.law(action, bite, step.strokes)(step.strokes), 0.0)
        state = step.after.once_read()
        if last and step.chance >= ENOUGH:
            break
    changes = sum(a.action != b.action for a, b in zip(plan.steps, plan.steps[1:], strict=False))
    strokes = sum(float(s.strokes.sum()) for s in plan.steps)
    plan.cost += unfinished + CHANGE_COST * changes + STROKE_COST * strokes
    return plan


@dataclass(frozen=True)
class _Caution:
    """risk : accepted chance of overshoot; exact : reckon it for this pass, not by rule of thumb"""

    risk: float
    exact: bool

    def quantiles(self) -> tuple[float, ...]:
        """Normal quantiles to hold back by, the boldest first."""
        full = NormalDist().inv_cdf(1.0 - self.risk)
        return tuple(full * share for share in BOLDNESS) if self.exact else (0.6 * full,)


def _pass(state: Outlook, action: str, bite: str, wanted: Array, caution: _Caution) -> Step | None:
    """One pass of this action and bite, or None when it has nothing to do."""
    most = _most(state, bite)
    strokes = np.minimum(stroking_for(state, action, bite, wanted), most)
    quantiles = caution.quantiles()
    for z in quantiles:
        share = held_back(state, action, bite, wanted, strokes, z)
        aimed = np.minimum(stroking_for(state, action, bite, share * wanted), most)
        if np.max(aimed, initial=0.0) < LEAST:
            return None
        law = state.law(action, bite, aimed)
        then = state.goal.readings(state.work - SIGN[action] * law(aimed))
        allowed = max(FINE_ZONES * state.goal.job.tolerance_mm, ROUGH_ZONES * float(np.ptp(then)))
        counts = whole_strokes(aimed, law, most, state.goal.free, allowed)
        after = state.after(action, bite, counts)
        if z == quantiles[-1] or overshoot_risk(after, action) <= caution.risk:
            break
    if not counts.any():
        return None
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
    drawn: Array = goal.readings(state.work) + unit @ (vectors[:, kept] * np.sqrt(values[kept])).T
    return drawn


def widths(goal: Goal, readings: Array) -> Array:
    """(s,) widest gap of readings with rigid motion taken out: near the best seating, never below it."""
    if goal.job.template.rigid:
        return np.asarray(np.ptp(readings, axis=1))
    return np.asarray(np.abs(readings).max(axis=1))


def chance_after(state: Outlook) -> float:
    """Chance that the part is then within its tolerance; none while it is expected far outside."""
    expected = float(widths(state.goal, state.goal.readings(state.work)[None, :])[0])
    if expected > HOPELESS * state.goal.job.tolerance_mm:
        return 0.0
    return float(np.mean(widths(state.goal, draw_readings(state)) <= state.goal.job.tolerance_mm))


def overshoot_risk(after: Outlook, action: str) -> float:
    """Chance that work is left for the other action which alone would make a gap past the tolerance."""
    goal, n = after.goal, after.model.sites
    values, vectors = np.linalg.eigh(after.belief.cov[:n, :n])
    half = np.random.default_rng(7).standard_normal((DRAWS // 2, n))
    unit = np.vstack([half, -half])
    work = after.work + unit @ (vectors * np.sqrt(values.clip(0.0))).T
    beyond = np.minimum(SIGN[action] * (work @ goal.smooth.T), 0.0)
    return float(np.mean(widths(goal, beyond @ goal.free.T) > OVERSHOT * goal.job.tolerance_mm))
