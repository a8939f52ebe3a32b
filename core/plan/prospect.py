"""What may be found once a pass is done: widths of gaps, and the chance of being within."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.plan.outlook import Goal, Outlook

Array = NDArray[np.float64]
DRAWS = 64
HOPELESS = 3.0  # tolerances that the expected gap may have before the chance is worth reckoning


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
