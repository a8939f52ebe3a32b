"""What may be found once a pass is done: widths of gaps, and the chance of being within."""

from __future__ import annotations

import numpy as np

from core.plan.outlook import Outlook

PACE = 0.9  # passes more for every e-fold of gap, by fewest passes of simulated bars


def expected_gap(state: Outlook) -> float:
    """Widest gap of the shape that is expected, mm."""
    return float(state.goal.widest(state.goal.readings(state.work)[None, : state.goal.counted])[0])


def chance_within(state: Outlook) -> float:
    """Chance that the part is then within its tolerance."""
    return float(np.mean(state.widest_now <= state.goal.job.tolerance_mm))


def passes_to_go(state: Outlook) -> float:
    """Passes that are still needed on average, roughly: none within the tolerance, more the wider the gap."""
    wide = state.widest_now / state.goal.job.tolerance_mm
    return float(np.mean((wide > 1.0) * (1.0 + PACE * np.log(np.maximum(wide, 1.0)))))
