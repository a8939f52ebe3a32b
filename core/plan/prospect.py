"""What may be found once a pass is done: widths of gaps, and the chance of being within."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.plan.outlook import Goal, Outlook

Array = NDArray[np.float64]
PACE = 0.6  # passes more for every e-fold of gap: a pass leaves about a twelfth (simulated bars)


def draw_readings(state: Outlook) -> Array:
    """(DRAWS, r) readings that may be found, rigid motion taken out."""
    goal = state.goal
    counted = slice(goal.counted)
    return np.asarray(goal.free_offset[counted] + state.draws_now @ goal.free[counted].T)


def widths(goal: Goal, readings: Array) -> Array:
    """(s,) widest gap of readings with rigid motion taken out: near the best seating, never below it."""
    if goal.job.template.rigid:
        return np.asarray(np.ptp(readings, axis=1))
    return np.asarray(np.abs(readings).max(axis=1))


def expected_gap(state: Outlook) -> float:
    """Widest gap of the shape that is expected, mm."""
    return float(widths(state.goal, state.goal.readings(state.work)[None, : state.goal.counted])[0])


def chance_within(state: Outlook) -> float:
    """Chance that the part is then within its tolerance."""
    return float(np.mean(_tolerances(state) <= 1.0))


def passes_to_go(state: Outlook) -> float:
    """Passes that are still needed on average, roughly: none within the tolerance, more the wider the gap."""
    wide = _tolerances(state)
    return float(np.mean((wide > 1.0) * (1.0 + PACE * np.log(np.maximum(wide, 1.0)))))


def _tolerances(state: Outlook) -> Array:
    """(DRAWS,) widest gaps that may be found, in tolerances."""
    return widths(state.goal, draw_readings(state)) / state.goal.job.tolerance_mm
