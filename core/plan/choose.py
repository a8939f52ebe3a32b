"""The next pass and those after it: every way of going on is played to its end, then the first is taken.

Choosing the single pass that looks best now is a trap: on an S-shaped bar it shrinks one half too far to
make up for the stretching that has not been done yet. So all remaining work is planned together.
"""

from __future__ import annotations

from core.plan.aim import plan_ahead
from core.plan.caution import Risk, all_of_it
from core.plan.outlook import Outlook
from core.plan.play import CHANGE_COST, Plan, Way, one_pass
from core.plan.prospect import chance_after

ACTIONS = ("shrink", "stretch")
ACCEPTED = 0.9  # share of the tolerance up to which one action alone is good enough
LEAST_WORTH = 1.0  # strokes of the middle bite below which an action is not worth its tool


def best_plan(outlook: Outlook, mounted: str | None, quick: bool = False) -> Plan:
    """The cheapest way to the end.

    mounted : action of the tool that is on, None before the first pass; quick : hold back by rule instead
    of reckoning the chance of overshoot.
    """
    limit = ACCEPTED * outlook.goal.job.tolerance_mm
    best = Plan()
    for action in ACTIONS:
        wanted = plan_ahead(outlook, (action,))
        if wanted.widest_mm <= limit:
            risk = None if quick else Risk(outlook, action)
            best = _cheaper(best, _best_of(Way(outlook, (action,), wanted, risk), mounted))
    if not best.steps:
        both = plan_ahead(outlook, ACTIONS)
        worth = tuple(a for a in ACTIONS if both.strokes_of(a) >= LEAST_WORTH)
        for sequence in {worth, worth[::-1]} - {()}:
            best = _cheaper(best, _best_of(Way(outlook, sequence, both, None), mounted))
    return best if best.steps else _one_bold_pass(outlook)


def _cheaper(first: Plan, second: Plan) -> Plan:
    return second if second.steps and second.cost < first.cost else first


def _best_of(way: Way, mounted: str | None) -> Plan:
    """The cheapest choice of bites for this order of actions."""
    firsts = {bite: way.first_pass(bite) for bite in way.outlook.goal.job.tool.bites}
    plans = {bite: way.played(first, bite) for bite, first in firsts.items()}
    bite = min(plans, key=lambda b: plans[b].cost)
    best = plans[bite]
    if len(best.steps) > 1:  # then the bite of the later passes is worth a choice of its own
        for later in firsts:
            if later != bite:
                best = _cheaper(best, way.played(firsts[bite], later))
    if best.steps and mounted is not None and best.steps[0].action != mounted:
        best.cost += CHANGE_COST
    return best


def _one_bold_pass(outlook: Outlook) -> Plan:
    """Where every cautious pass rounds to nothing: the one pass that most likely ends it, if any helps."""
    best = Plan()
    for action in ACTIONS:
        wanted = plan_ahead(outlook, (action,)).work[action]
        for bite in outlook.goal.job.tool.bites:
            step = one_pass(outlook, action, bite, wanted, all_of_it)
            if step is not None and step.chance > chance_after(outlook):
                best = _cheaper(best, Plan([step], 2.0 - step.chance, 1.0 - step.chance))
    return best
