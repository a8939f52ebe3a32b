"""Where a limit of the metal holds the passes of a plan back, and which."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from core.limits import Held, Limit
from core.plan.whole import Step

NEARLY = 0.9  # of a limit: with another stroke the plan would be at it, for it goes by the largest response


def holding(steps: Sequence[Step]) -> list[tuple[Held, ...]]:
    """For every pass, sites whose count is all that a limit lets it be while a later pass of the same action
    has more for them, by limit."""
    return [_held(step, steps[k + 1 :]) for k, step in enumerate(steps)]


def _held(step: Step, later: Sequence[Step]) -> tuple[Held, ...]:
    job, before = step.before.goal.job, step.before
    again = sum((s.strokes for s in later if s.action == step.action), np.zeros(len(step.strokes)))
    strain, log_sd = before.strains(step.action, step.bite, step.strokes + 1.0)
    room = job.limits.room(step.action, before.edge, log_sd)
    full = (step.strokes > 0) & (again > 0) & (strain > NEARLY * room)
    if not full.any():
        return ()
    binding = job.limits.binding(step.action, before.edge, log_sd)
    held: dict[Limit, list[int]] = {}
    for site in np.flatnonzero(full):
        held.setdefault(binding[site], []).append(int(site))
    return tuple(Held(limit, tuple(sites)) for limit, sites in held.items())
