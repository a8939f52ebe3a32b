"""Playing a way of going on to its end, in the mind: passes, what is believed after each, what it costs."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.plan.aim import Wanted, stroking_for
from core.plan.caution import Caution, Risk, and_more, by_risk, by_rule
from core.plan.outlook import Outlook
from core.plan.prospect import chance_after, expected_gap
from core.plan.rounding import LEAST, whole_strokes

Array = NDArray[np.float64]
MOST_PASSES = 8
CHANGE_COST = 1.5  # passes that a change of tool is worth
STROKE_COST = (
    2e-3  # passes that a stroke is worth: a pass with its gaps takes as long as 500 (common practice)
)
SPOILT_COST = 3.0  # passes that an overshoot costs: the other tool, and more to learn
FINE_ZONES = 0.15  # share of the tolerance that may be given away for fewer zones of equal count
ROUGH_ZONES = 0.03  # the same as a share of the gap that the pass leaves anyhow
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


@dataclass(frozen=True)
class Way:
    """An order of actions with the work wanted of each; risk : of the first, None to go by rule."""

    outlook: Outlook
    sequence: tuple[str, ...]
    wanted: Wanted
    risk: Risk | None

    def first_pass(self, bite: str) -> Step | None:
        """The next pass with this bite, None when it has nothing to do."""
        accepted = self.outlook.goal.job.overshoot_risk
        caution = self._caution(0)
        if len(self.sequence) == 1 and self.risk is not None:
            caution = by_risk(self.risk, accepted)
        action = self.sequence[0]
        return one_pass(self.outlook, action, bite, self.wanted.work[action], caution)

    def played(self, first: Step | None, later_bite: str) -> Plan:
        """The plan that begins with this pass and goes on with one bite; nothing when it cannot begin."""
        if first is None and len(self.sequence) == 1:
            return Plan()
        plan, phase = Plan(cost=0.0), 0
        left = {a: w.copy() for a, w in self.wanted.work.items()}
        state, step = self.outlook, first
        while True:
            if step is None:
                phase += 1
                if phase == len(self.sequence):
                    break
            else:
                state = _taken(plan, left, state, step)
                if phase == len(self.sequence) - 1 and step.chance >= ENOUGH:
                    break
            if len(plan.steps) == MOST_PASSES:
                break
            action = self.sequence[phase]
            step = one_pass(state, action, later_bite, left[action], self._caution(phase))
            if step is not None and phase == len(self.sequence) - 1 and not _narrows(step):
                break
        return self._costed(plan, state)

    def _caution(self, phase: int) -> Caution:
        if phase < len(self.sequence) - 1:
            return and_more
        return by_rule(NormalDist().inv_cdf(1.0 - self.outlook.goal.job.overshoot_risk))

    def _costed(self, plan: Plan, state: Outlook) -> Plan:
        if not plan.steps:
            return Plan()
        changes = sum(a.action != b.action for a, b in pairwise(plan.steps))
        strokes = sum(float(s.strokes.sum()) for s in plan.steps)
        far = float(np.log2(1.0 + expected_gap(state) / state.goal.job.tolerance_mm))
        plan.cost += far * plan.unfinished + CHANGE_COST * changes + STROKE_COST * strokes
        if self.risk is not None and len(self.sequence) == 1:
            plan.cost += SPOILT_COST * self.risk.of(plan.steps[0].bite, plan.steps[0].strokes)
        return plan


def _narrows(step: Step) -> bool:
    """Whether the pass brings the part nearer to its template than it is."""
    return expected_gap(step.after) < expected_gap(step.before)


def _taken(plan: Plan, left: dict[str, Array], state: Outlook, step: Step) -> Outlook:
    """The plan with one more pass; what is believed after it and its gaps."""
    plan.steps.append(step)
    plan.cost += plan.unfinished
    plan.unfinished = min(plan.unfinished, 1.0 - step.chance)
    done = state.law(step.action, step.bite, step.strokes)(step.strokes)
    left[step.action] = np.maximum(left[step.action] - done, 0.0)
    return step.after.once_read()


def one_pass(state: Outlook, action: str, bite: str, wanted: Array, caution: Caution) -> Step | None:
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
