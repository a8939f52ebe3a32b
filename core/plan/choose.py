"""The next pass and those after it: every way of going on is played to its end, then the first is taken.

Choosing the single pass that looks best now is a trap: on an S-shaped bar it shrinks one half too far to
make up for the stretching that has not been done yet. So all remaining work is planned together.
"""

from __future__ import annotations

import numpy as np

from core.estimate.response import SIGN
from core.kinds.base import ReadOnMeridians, TurnedEdge
from core.plan.aim import MENDED, Wanted, plan_ahead
from core.plan.caution import Risk
from core.plan.outlook import Outlook
from core.plan.play import CHANGE_COST, CLOSING, FAR, Plan, Way
from core.plan.prospect import expected_gap, passes_to_go
from core.plan.room import before_others
from core.plan.softening import ready_for
from core.plan.whole import one_pass

ACTIONS = ("shrink", "stretch")
ACCEPTED = 0.9  # share of the tolerance up to which one action alone is good enough
HOPELESS = 4.0  # tolerances that one action alone may leave to be worth a thought
NEAR = 8.0  # tolerances left, below which whole strokes decide
DETOUR = 0.5  # tolerances by which a pass near the end may open the gap
CLOSE = 0.5  # passes that an outline may be wrong by
LOOKED_AT = 2
UNTRIED = 0.15  # passes that a bite has to save over one that was tried on this metal (common practice)
MOST_TURNS = 12  # of the two actions: more than it takes from flat to upright
NOTHING = 1e-6  # of work, that is none
WANDERING = 1.5  # times the strokes of both, from which on one alone only seems to do it
LEAST_WORTH = 1.0  # strokes of the middle bite below which an action is not worth its tool


def best_plan(outlook: Outlook, mounted: str | None) -> Plan:
    """The cheapest way to the end; mounted : action of the tool that is on, None before the first pass."""
    alone = _alone(outlook)
    begun = _begun(outlook, _ways(outlook, alone), mounted)
    if all(plan.idle for plan, _ in begun):  # whole strokes of one action cannot end it
        begun += _begun(outlook, _both(outlook), mounted)
    if not begun:
        return _one_bold_pass(outlook, alone)
    begun = _without_detours(outlook, begun)
    other = min((plan.cost for plan, _ in begun if not plan.idle), default=None)
    best, way = min(begun, key=lambda found: found[0].instead_of(other))
    return way.ended(best)


def _begun(outlook: Outlook, ways: list[Way], mounted: str | None) -> list[tuple[Plan, Way]]:
    """Every way with every bite worth a look, as far as it can be begun."""
    begun = []
    for way, bite, change in _worth_a_look(outlook, ways, mounted):
        plan = way.begun(bite)
        plan.cost += change
        if plan.steps:
            begun.append((plan, way))
    return begun


def _without_detours(outlook: Outlook, begun: list[tuple[Plan, Way]]) -> list[tuple[Plan, Way]]:
    """Near the end no pass that opens the gap far again, so that the other tool may close it, where there is
    another way: as reckoned both do what they should, at the machine it is a good part spoilt. Idle passes
    are no way: one after the other they only buy rounds of gaps."""
    near, tolerance = expected_gap(outlook), outlook.goal.job.tolerance_mm
    if near > CLOSING * tolerance:
        return begun
    straight = [(p, way) for p, way in begun if expected_gap(p.steps[0].after) <= near + DETOUR * tolerance]
    return straight if any(not plan.idle for plan, _ in straight) else begun


def _worth_a_look(outlook: Outlook, ways: list[Way], mounted: str | None) -> list[tuple[Way, str, float]]:
    """Ways and bites to begin them with, and the cost of a change of tool: near the end of its first action
    every bite, else the best two of each way by their outlines."""
    looked_at = []
    for way in ways:
        near = way.first_left_mm() < NEAR * outlook.goal.job.tolerance_mm
        bites = outlook.goal.bites[way.sequence[0]]
        change = CHANGE_COST * (mounted is not None and way.sequence[0] != mounted)
        more = {bite: change + _untried(outlook, way.sequence[0], bite) for bite in bites}
        costs = {bite: way.outlined(bite) + more[bite] for bite in bites if not near}
        best = sorted(costs, key=costs.__getitem__)[:LOOKED_AT] if costs else list(bites)
        looked_at += [(way, b, more[b]) for b in best if near or costs[b] <= costs[best[0]] + CLOSE]
    return looked_at


def _untried(outlook: Outlook, action: str, bite: str) -> float:
    """What it costs to begin with another bite than the shop has seen on this metal: whoever made a trial
    wants to use what it told, and a setting that is known to be right."""
    tried = {seen.bite for seen in outlook.goal.job.response.seen if seen.action == action}
    return UNTRIED if tried and bite not in tried else 0.0


def _alone(outlook: Outlook) -> dict[str, Wanted]:
    """What each action alone could do; only one of them where that is enough and there is far to go."""
    closing = outlook.work.sum() > 0.0
    first, other = ACTIONS if closing else ACTIONS[::-1]
    found: dict[str, Wanted] = {}
    tolerance = outlook.goal.job.tolerance_mm
    for action in (first, other):
        enough = any(w.widest_mm <= ACCEPTED * tolerance for w in found.values())
        if outlook.goal.bites[action] and not (enough and expected_gap(outlook) >= FAR * tolerance):
            found[action] = plan_ahead(outlook, (action,))
    return found


def _ways(outlook: Outlook, alone: dict[str, Wanted]) -> list[Way]:
    """Ways worth a thought: one action where it is enough; else both, and one that nearly is, if any."""
    tolerance, together = outlook.goal.job.tolerance_mm, _made_by_both(outlook)
    if together is not None:
        most = WANDERING * sum(together.strokes_of(action) for action in ACTIONS)
        alone = {a: wanted for a, wanted in alone.items() if wanted.strokes_of(a) <= most}
    enough = any(w.widest_mm <= ACCEPTED * tolerance for w in alone.values())
    limit = (ACCEPTED if enough else HOPELESS) * tolerance
    ways = [_way(outlook, (a,), w) for a, w in alone.items() if w.widest_mm <= limit]
    return ways if enough else [*_both(outlook), *ways]


def _made_by_both(outlook: Outlook) -> Wanted | None:
    """What both actions are to do of a dish that is made by both and far from done; None for all else. There
    one alone may seem enough, by strokes without end at rings that hardly move what is left: a middle that is
    stretched further looks nearly like an edge that is shrunk."""
    part, far = outlook.goal.job.part, MENDED * outlook.goal.job.tolerance_mm
    if not isinstance(part, ReadOnMeridians) or part.kept_ring_mm is None or expected_gap(outlook) < far:
        return None
    return plan_ahead(outlook, ACTIONS) if all(outlook.goal.bites[a] for a in ACTIONS) else None


def _both(outlook: Outlook) -> list[Way]:
    """Both orders of the two actions, where both are worth their tools."""
    if not all(outlook.goal.bites[a] for a in ACTIONS):
        return []
    both = plan_ahead(outlook, ACTIONS)
    worth = tuple(a for a in ACTIONS if both.strokes_of(a) >= LEAST_WORTH)
    orders = dict.fromkeys((worth, worth[::-1]))
    return [_way(outlook, _in_turns(outlook, order), both) for order in orders if order]


def _in_turns(outlook: Outlook, order: tuple[str, ...]) -> tuple[str, ...]:
    """This order as often as it takes for no site to run too far ahead of those that the other action
    works."""
    work, turns = outlook.work, list(order)
    if len(order) < 2 or not isinstance(outlook.goal.job.part, TurnedEdge):
        return order
    for k in range(MOST_TURNS):
        action = order[k % 2]
        turns[k:] = [action]
        sign = SIGN[action]
        wanted = np.maximum(sign * work, 0.0)
        work = work - sign * np.minimum(wanted, before_others(outlook, action, work))
        if k > 0 and np.abs(work).max() < NOTHING:
            break
    return tuple(turns)


def _way(outlook: Outlook, order: tuple[str, ...], wanted: Wanted) -> Way:
    """Going on in this order, annealed first where it has to be."""
    state = ready_for(outlook, order[0], wanted.work[order[0]])
    return Way(state, order, wanted, Risk(state, order[0]) if len(order) == 1 else None)


def _one_bold_pass(outlook: Outlook, alone: dict[str, Wanted]) -> Plan:
    """Where every cautious pass rounds to nothing: the one pass that most likely ends it, if any helps."""
    best, least = Plan(), passes_to_go(outlook)
    for action, wanted in alone.items():
        state = ready_for(outlook, action, wanted.work[action])
        for bite in outlook.goal.bites[action]:
            step = one_pass(state, action, bite, wanted.work[action], 1.0, np.zeros_like(outlook.work))
            if step is not None and passes_to_go(step.after) < least:
                least = passes_to_go(step.after)
                best = Plan([step], least, 1.0 - step.chance)
    return best
