"""Playing a way of going on to its end, in the mind: passes, what is believed after each, what it costs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache, partial
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.estimate.response import SIGN
from core.plan.aim import Wanted, plan_ahead, stroking_for
from core.plan.caution import EASILY, Risk, and_more, by_rule, in_step, surely_done
from core.plan.outlook import Outlook
from core.plan.prospect import expected_gap, passes_to_go
from core.plan.room import before_others
from core.plan.softening import ready_for
from core.plan.whole import Step, one_pass, part_pass

Array = NDArray[np.float64]
MOST_PASSES = 30  # of a plan: a half sphere, or a tight curve in hard metal, wants twenty and more
CHANGE_COST = 2.5  # passes that a change of action is worth; in one holder too: the other answers as it will
ANNEAL_COST = 4.0  # passes that an anneal is worth: heating, cooling and cleaning take an hour
STROKE_COST = 1e-3  # passes that a stroke is worth: 150 take a minute or two, the gaps some more
ALL_ROUND = (
    0.1  # of that, where a site goes all round: its spots run by at an even feed, nobody looks at each
)
STUCK_COST = 3.5  # passes that an end costs where only the other tool helps: the change and its pass
SPOILT_COST = 1.5  # passes that an overshoot costs: the other tool, and more to learn
IDLE = 0.3  # passes that a pass must save not to be idle where none could follow it
ENOUGH = 0.9  # chance of being within at which a plan may end
LEAST_GAIN = 0.01  # passes that a pass must save to be worth planning
NEARER = 0.25  # tolerances by which a pass far away has to close the gap to be one
NEARLY = 0.05  # share of its work that an action may leave to the one that follows
SPARE = 0.8  # share of the tolerance that may be left without it
FEW = 0.5  # strokes a site at most for which an action does not stay when another follows
CLOSING = 2.0  # tolerances left, below which whole strokes decide which bite is best
FAR = 6.0  # tolerances left, above which nothing is closed yet
GLANCE = 48  # readings that show enough of what is wanted later
TRIED = ((EASILY, False), (1.0, False), (1.0, True))
TAMED = (1.0, 0.98, 0.96, 0.93, 0.9, 0.8)  # of the share that strokes not whole may do
BOLDER = (1.02, 1.04, 1.06, 1.08, 1.1, 1.12, 1.15, 1.2)  # the same where whole ones leave room


@dataclass
class Plan:
    """Passes in order, with what they cost: passes expected until the part is within, changes, strokes;
    unfinished : chance that the part is still outside after them; idle : whether they bring little more than
    another round of gaps; risk : what the first pass was held against, if anything."""

    steps: list[Step] = field(default_factory=list)
    cost: float = np.inf
    unfinished: float = 1.0
    idle: bool = False
    risk: Risk | None = None

    def instead_of(self, other: float | None) -> float:
        """The cost, with what has to follow an idle pass where the part is still outside after it.

        other : what the best way costs that is not idle, None where there is none
        """
        if not self.idle or other is None:
            return self.cost
        return _price(self.steps[0]) + self.unfinished * other


_Pass = Callable[[Outlook, str, str, Array, float, Array | None], Step | None]


@dataclass(frozen=True)
class Way:
    """An order of actions with the work wanted of each; risk : of the first, None to go by rule."""

    outlook: Outlook
    sequence: tuple[str, ...]
    wanted: Wanted
    risk: Risk | None

    def first_left_mm(self) -> float:
        """Widest gap that the first action has before it; where sites are told by themselves, without what is
        for the others to do."""
        state, others = self.outlook, self._others
        if others is None or not state.goal.apart:
            return expected_gap(state)
        left = state.goal.readings(state.work - others)[: state.goal.counted]
        return float(state.goal.widest(left[None, :])[0])

    def outlined(self, bite: str) -> float:
        """About what the way costs when it begins with this bite, in parts of strokes; inf when it cannot."""
        state, wanted = self.outlook, self.wanted.work[self.sequence[0]]
        first = _next(part_pass, state, self.sequence[0], bite, wanted, self._others)
        return np.inf if first is None else self._weighed(first, 0.0, afresh=False).cost

    def begun(self, bite: str) -> Plan:
        """The next pass with this bite, and what the way costs when it begins so; nothing when it cannot."""
        first, spoilt = self._first_pass(bite)
        return Plan() if first is None else self._weighed(first, spoilt, afresh=True)

    def _weighed(self, first: Step, spoilt: float, afresh: bool) -> Plan:
        """The plan that begins with this pass, with what it costs."""
        plan = Plan([first], _price(first) + SPOILT_COST * spoilt, 1.0 - first.chance, risk=self.risk)
        last = first
        for step in self._onward(first, part_pass, afresh):
            plan.cost += plan.unfinished * _price(step) + CHANGE_COST * (step.action != last.action)
            plan.unfinished = min(plan.unfinished, 1.0 - step.chance)
            last = step
        stuck = afresh and plan.unfinished > 1.0 - ENOUGH and _beyond(last)
        plan.cost += passes_to_go(last.after) + STUCK_COST * stuck * plan.unfinished
        plan.idle = last is first and plan.unfinished > 1.0 - ENOUGH and _idle(first)
        return plan

    def ended(self, plan: Plan) -> Plan:
        """The same plan with the passes that follow its first, in whole strokes."""
        return replace(plan, steps=[*plan.steps, *self._onward(plan.steps[0], one_pass, afresh=True)])

    def _first_pass(self, bite: str) -> tuple[Step | None, float]:
        """The next pass with this bite, None when it has nothing to do; and the chance that it spoils."""
        state, action = self.outlook, self.sequence[0]
        wanted = self.wanted.work[action]
        if self.risk is None:
            return _next(one_pass, state, action, bite, wanted, self._others), 0.0
        accepted = state.goal.risk[action]
        wanted, most = _together(state, action, bite, wanted)
        wanted = np.minimum(wanted, state.law(action, bite, most)(most))
        boldest = cache(partial(self.risk.boldest, bite, most, accepted))
        best, harm, least, nothing = None, 0.0, np.inf, np.zeros_like(wanted)
        for limit, closing in TRIED:
            if best is not None and expected_gap(best.after) > FAR * state.goal.job.tolerance_mm:
                break
            share = boldest(limit)
            near = self._near(self.risk, bite, wanted, share, nothing if closing else None)
            for step, spoilt, change in near:
                toll = _toll(step) + SPOILT_COST * change + (spoilt > accepted) * 10.0 * spoilt
                if toll < least:
                    best, harm, least = step, change, toll
        return best, harm

    def _near(
        self, risk: Risk, bite: str, wanted: Array, share: float, closing: Array | None
    ) -> Iterator[tuple[Step, float, float]]:
        """Next passes near this share of the wanted work, with their risks: where whole strokes turn out too
        risky, tamer ones until one is not; else bolder ones while they are not."""
        accepted = self.outlook.goal.risk[self.sequence[0]]
        for factors, enough in ((TAMED, True), (BOLDER, False)):
            for factor in factors:
                aimed = min(factor * share, 1.0)
                step = one_pass(self.outlook, self.sequence[0], bite, wanted, aimed, closing)
                if step is None:
                    return
                spoilt, change = risk.of(bite, step.strokes)
                yield step, spoilt, change
                if (spoilt <= accepted) == enough:
                    break
            if factor != 1.0 or share >= 1.0:
                return

    def _onward(self, first: Step, make: _Pass, afresh: bool) -> Iterator[Step]:
        """The passes that follow: at every one the bite that leaves least to do.

        afresh : find out anew what is wanted after a pass in whole strokes, and where no pass helps.
        """
        step, way = first, self
        left = self.wanted.work[self.sequence[0]]
        for k in range(MOST_PASSES - 1):
            if way._last and step.chance >= ENOUGH:
                return
            state = step.after.once_read()
            left = _left(left, step)
            nearly = not way._last and (way._nearly(state, left) or way._spare(state))
            anew = afresh and (k == 0 or make is one_pass)
            found = None if nearly else way._best_pass(make, state, left, anew)
            if way._last and afresh and not anew and not _helps(found, state):
                found = way._best_pass(make, state, left, True)
            while found is None and not way._last:
                way = way._then(state)
                left = way.wanted.work[way.sequence[0]]
                found = way._best_pass(make, state, left, False)
            if found is None or (way._last and not _helps(found, state)):
                return
            step = found
            yield step

    @property
    def _last(self) -> bool:
        """Whether no other action follows the first."""
        return len(self.sequence) == 1

    def _then(self, state: Outlook) -> Way:
        """The way on without its first action, from where that is done."""
        sequence = self.sequence[1:]
        return replace(
            self, sequence=sequence, wanted=plan_ahead(state, tuple(dict.fromkeys(sequence)), GLANCE)
        )

    def _nearly(self, state: Outlook, left: Array) -> bool:
        """Whether the first action has done nearly all that it may for now; left : (n,) of its work."""
        action = self.sequence[0]
        may = np.minimum(left, before_others(state, action, state.work))
        return bool(may.sum() < NEARLY * self.wanted.work[action].sum())

    def _spare(self, state: Outlook) -> bool:
        """Whether the part comes within once the later actions have done theirs, without more of this one."""
        goal, others = state.goal, self._others
        if others is None:
            return False
        then = goal.readings(state.work - others)[: goal.counted]
        return float(goal.widest(then[None, :])[0]) <= SPARE * goal.job.tolerance_mm

    @property
    def _others(self) -> Array | None:
        """(n,) signed work that other actions than the first are to do after it, None for the last."""
        if self._last:
            return None
        return np.asarray(sum(SIGN[a] * self.wanted.work[a] for a in {*self.sequence} - {self.sequence[0]}))

    def _best_pass(self, make: _Pass, state: Outlook, left: Array, afresh: bool) -> Step | None:
        action = self.sequence[0]
        if afresh and self._last:
            left = plan_ahead(state, (action,), GLANCE).work[action]
        state = ready_for(state, action, left)
        others = self._others
        parts = [_next(part_pass, state, action, bite, left, others) for bite in state.goal.bites[action]]
        best = min((s for s in parts if s is not None), key=_toll, default=None)
        if best is None or make is part_pass:
            return best
        if expected_gap(best.after) > CLOSING * state.goal.job.tolerance_mm:
            made = _next(make, state, action, best.bite, left, others)
            if _helps(made, state):
                return made
        whole = [_next(make, state, action, bite, left, others) for bite in state.goal.bites[action]]
        return min((s for s in whole if s is not None), key=_toll, default=None)


def _left(wanted: Array, step: Step) -> Array:
    """(n,) what is still wanted of the step's action after it, as expected."""
    done = step.before.law(step.action, step.bite, step.strokes)(step.strokes)
    return np.maximum(wanted - done, 0.0)


def _helps(step: Step | None, state: Outlook) -> bool:
    """Whether the pass saves others; or far away, where limits leave little of it, gets clearly nearer."""
    if step is None:
        return False
    if passes_to_go(step.after) < passes_to_go(state) - LEAST_GAIN:
        return True
    now, tolerance = expected_gap(state), state.goal.job.tolerance_mm
    return now > FAR * tolerance and expected_gap(step.after) < now - NEARER * tolerance


def _beyond(step: Step) -> bool:
    """Whether more of the same action cannot end it."""
    wanted = plan_ahead(step.after, (step.action,), GLANCE)
    return wanted.widest_mm > step.after.goal.job.tolerance_mm


def _idle(step: Step) -> bool:
    """Whether the pass leaves the part about as it was: whole strokes cannot do what is left."""
    return passes_to_go(step.before) - passes_to_go(step.after) < IDLE


def _price(step: Step) -> float:
    """Passes that it costs to run a pass, the anneal before it included."""
    strokes = max(float(step.strokes.sum()), ALL_ROUND * step.struck)
    return 1.0 + STROKE_COST * strokes + ANNEAL_COST * (step.before.fresh is not None)


def _toll(step: Step) -> float:
    """What is left after a pass, in passes; of two that leave the same, the one of fewer strokes a site."""
    return passes_to_go(step.after) + STROKE_COST * float(step.strokes.sum())


def _together(state: Outlook, action: str, bite: str, wanted: Array) -> tuple[Array, Array]:
    """(n,) the work of a pass that leaves no site behind, and its strokes, not whole, within the limits."""
    most, asked = state.most_strokes(action, bite), stroking_for(state, action, bite, wanted)
    strokes, held = np.minimum(asked, most), asked > most
    if not state.goal.apart:
        return wanted, strokes
    allowed = np.where(held, state.law(action, bite, strokes)(strokes), wanted)
    left = in_step(wanted, allowed, surely_done(state, action, bite, strokes))
    return left, np.minimum(stroking_for(state, action, bite, left), most)


def _next(
    make: _Pass, state: Outlook, action: str, bite: str, wanted: Array, others: Array | None
) -> Step | None:
    """A pass that holds back by rule; or goes beyond where the other action follows, unless this one has to
    come back before it all the same."""
    in_all, (wanted, strokes) = wanted, _together(state, action, bite, wanted)
    if others is not None:
        if np.max(strokes, initial=0.0) < FEW:
            return None
        comes_back = wanted.sum() < (1.0 - NEARLY) * in_all.sum()
        share = 1.0 if comes_back else and_more(state, action, bite, strokes)
        return make(state, action, bite, wanted, share, others)
    z = NormalDist().inv_cdf(1.0 - state.goal.risk[action])
    share = by_rule(state, action, bite, strokes, z)
    return make(state, action, bite, wanted, share, np.zeros_like(wanted))
