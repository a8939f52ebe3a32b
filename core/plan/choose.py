"""The next pass and those after it: every way of going on is played to its end, then the first is taken.

Choosing the single pass that looks best now is a trap: on an S-shaped bar it shrinks one half too far to
make up for the stretching that has not been done yet. So all remaining work is planned together.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.plan.aim import Wanted, plan_ahead, stroking_for
from core.plan.outlook import Goal, Outlook
from core.plan.repair import left_by
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
SPOILT_COST = 3.0  # passes that an overshoot costs: the other tool, and more to learn
HALVINGS = 4
LEAST_SHARE = 0.2  # of the wanted work that a pass does at least
MOST_BEYOND = 0.25  # share by which an action that shall not come back may go beyond
LEAST_WORTH = 1.0  # strokes of the middle bite below which an action is not worth its tool
ADDED = 0.25  # share of the tolerance that a pass may add to what is beyond already
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
    """Passes in order, with what they cost: passes expected until the part is within, changes, strokes;
    unfinished : chance that the part is still outside after them."""

    steps: list[Step] = field(default_factory=list)
    cost: float = np.inf
    unfinished: float = 1.0


def best_plan(outlook: Outlook, mounted: str | None, risk: float) -> Plan:
    """The cheapest way to the end. mounted : action of the tool that is on, None before the first pass;
    risk : accepted chance that a pass overshoots."""
    limit = ACCEPTED * outlook.goal.job.tolerance_mm
    best = Plan()
    for action in ACTIONS:
        wanted = plan_ahead(outlook, (action,))
        if wanted.widest_mm <= limit:
            best = _cheaper(best, _best_of(outlook, (action,), wanted, mounted, risk))
    if not best.steps:
        both = plan_ahead(outlook, ACTIONS)
        orders = [o for o in (ACTIONS, ACTIONS[::-1]) if all(both.strokes_of(a) >= LEAST_WORTH for a in o)]
        for sequence in orders or [(max(ACTIONS, key=both.strokes_of),)]:
            best = _cheaper(best, _best_of(outlook, sequence, both, mounted, risk))
    return best if best.steps else _one_bold_pass(outlook)


def _cheaper(first: Plan, second: Plan) -> Plan:
    return second if second.steps and second.cost < first.cost else first


def _best_of(
    outlook: Outlook, sequence: tuple[str, ...], wanted: Wanted, mounted: str | None, risk: float
) -> Plan:
    """The cheapest choice of bites for this order of actions."""
    bites = list(outlook.goal.job.tool.bites)

    def played(first: str, later: str) -> Plan:
        plan = _play(outlook, sequence, wanted, (first, later), risk)
        if mounted is not None and plan.steps and plan.steps[0].action != mounted:
            plan.cost += CHANGE_COST
        return plan

    best = Plan()
    for bite in bites:
        best = _cheaper(best, played(bite, bite))
    if len(best.steps) > 1:  # then the bite of the later passes is worth a choice of its own
        first = best.steps[0].bite
        for bite in bites:
            if bite != first:
                best = _cheaper(best, played(first, bite))
    return best


def _one_bold_pass(outlook: Outlook) -> Plan:
    """Where every cautious pass rounds to nothing: the one pass that most likely ends it, if any helps."""
    best = Plan()
    for action in ACTIONS:
        wanted = plan_ahead(outlook, (action,)).work[action]
        for bite in outlook.goal.job.tool.bites:
            step = _pass(outlook, action, bite, wanted, _all_of_it)
            if step is not None and step.chance > chance_after(outlook):
                best = _cheaper(best, Plan([step], 2.0 - step.chance, 1.0 - step.chance))
    return best


def _play(
    outlook: Outlook, sequence: tuple[str, ...], wanted: Wanted, bites: tuple[str, str], risk: float
) -> Plan:
    """Play a sequence of actions to its end, with one bite for the first pass and one for the rest."""
    plan = Plan(cost=0.0)
    left = {a: w.copy() for a, w in wanted.work.items()}
    state, phase, z = outlook, 0, NormalDist().inv_cdf(1.0 - risk)
    while len(plan.steps) < MOST_PASSES:
        action, last = sequence[phase], phase == len(sequence) - 1
        bite = bites[min(len(plan.steps), 1)]
        caution = _and_more if not last else _by_rule(z) if plan.steps else _by_risk(risk)
        step = _pass(state, action, bite, left[action], caution)
        if step is None:
            if last:
                break
            phase += 1
            continue
        plan.steps.append(step)
        plan.cost += plan.unfinished
        plan.unfinished = min(plan.unfinished, 1.0 - step.chance)
        left[action] = np.maximum(left[action] - state.law(action, bite, step.strokes)(step.strokes), 0.0)
        state = step.after.once_read()
        if last and step.chance >= ENOUGH:
            break
    changes = sum(a.action != b.action for a, b in zip(plan.steps, plan.steps[1:], strict=False))
    strokes = sum(float(s.strokes.sum()) for s in plan.steps)
    far = np.log2(1.0 + expected_gap(state) / state.goal.job.tolerance_mm)
    plan.cost += far * plan.unfinished + CHANGE_COST * changes + STROKE_COST * strokes
    if plan.steps and len(sequence) == 1:
        first = plan.steps[0]
        plan.cost += SPOILT_COST * overshoot_risk(outlook, first.action, first.bite, first.strokes)
    return plan


_Caution = Callable[[Outlook, str, str, Callable[[float], Array]], float]
"""Share of the wanted work to do now, from outlook, action, bite and the strokes that a share takes"""


def _all_of_it(state: Outlook, action: str, bite: str, strokes: Callable[[float], Array]) -> float:
    return 1.0


def _and_more(state: Outlook, action: str, bite: str, strokes: Callable[[float], Array]) -> float:
    """A little more than all, by what is not known, so that this action need not come back."""
    return 1.0 + min(_unknown(state, action, bite, strokes(1.0)), MOST_BEYOND)


def _by_rule(z: float) -> _Caution:
    """Hold back by what is not known: quick, for passes that will be planned again before they are run."""
    return lambda state, action, bite, strokes: 1.0 / (1.0 + z * _unknown(state, action, bite, strokes(1.0)))


def _by_risk(risk: float) -> _Caution:
    """As much as the accepted chance of overshoot allows."""
    return lambda state, action, bite, strokes: _boldest(state, action, bite, strokes, risk)


def _boldest(state: Outlook, action: str, bite: str, strokes: Callable[[float], Array], risk: float) -> float:
    """Largest share of the wanted work, up to all of it, whose chance of overshoot is accepted."""
    if overshoot_risk(state, action, bite, strokes(1.0)) <= risk:
        return 1.0
    low, high = LEAST_SHARE, 1.0
    for _ in range(HALVINGS):
        share = 0.5 * (low + high)
        if overshoot_risk(state, action, bite, strokes(share)) <= risk:
            low = share
        else:
            high = share
    return low


def _unknown(state: Outlook, action: str, bite: str, strokes: Array) -> float:
    """Relative standard deviation of the work of these strokes, averaged along the part."""
    struck = strokes > 0
    if not struck.any():
        return 0.0
    spread = state.log_spread(action, bite, np.maximum(strokes, 1.0))[struck].mean(axis=0)
    return float(np.sqrt(np.sum(spread**2)))


def _pass(state: Outlook, action: str, bite: str, wanted: Array, caution: _Caution) -> Step | None:
    """One pass of this action and bite, or None when it has nothing to do."""
    most = _most(state, bite)

    def strokes(share: float) -> Array:
        return np.minimum(stroking_for(state, action, bite, share * wanted), most)

    aimed = strokes(caution(state, action, bite, strokes))
    if np.max(aimed, initial=0.0) < LEAST:
        return None
    law = state.law(action, bite, aimed)
    then = state.goal.readings(state.work - SIGN[action] * law(aimed))
    allowed = max(FINE_ZONES * state.goal.job.tolerance_mm, ROUGH_ZONES * float(np.ptp(then)))
    counts = whole_strokes(aimed, law, most, state.goal.felt, allowed)
    after = state.after(action, bite, counts)
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


def expected_gap(state: Outlook) -> float:
    """Widest gap of the shape that is expected, mm."""
    return float(widths(state.goal, state.goal.readings(state.work)[None, :])[0])


def chance_after(state: Outlook) -> float:
    """Chance that the part is then within its tolerance; none while it is expected far outside."""
    if expected_gap(state) > HOPELESS * state.goal.job.tolerance_mm:
        return 0.0
    return float(np.mean(widths(state.goal, draw_readings(state)) <= state.goal.job.tolerance_mm))


def overshoot_risk(state: Outlook, action: str, bite: str, strokes: Array) -> float:
    """Chance that after this pass its action alone can no longer bring the part within its tolerance.

    What it could not put right before the pass does not count against it.
    """
    goal, tolerance = state.goal, state.goal.job.tolerance_mm
    after = left_by(goal, state.draws_after(action, bite, strokes), action)
    already = left_by(goal, state.work[None, :], action)
    return float(np.mean(after > np.maximum(OVERSHOT * tolerance, already + ADDED * tolerance)))
