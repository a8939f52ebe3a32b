"""Plans that were on show, remembered: what the operator holds the next plan against.

A plan follows from a job and its log alone. It is only remembered to save reckoning it twice.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from core.jobtypes import Job
from core.planned import Pass

KEPT = 16  # plans, of one part or of several
FOLLOWS = "layout"  # from the template; not looked at


class Shown:
    """The last plans, by job and by what they followed from: steps, and what the job was told besides."""

    def __init__(self) -> None:
        """Nothing remembered yet."""
        self._plans: deque[tuple[Job, tuple[Any, ...], tuple[Pass, ...]]] = deque(maxlen=KEPT)

    def keep(self, job: Job, steps: Sequence[Any], plan: tuple[Pass, ...]) -> None:
        """The plan that followed these steps."""
        self._plans.append((job, _told(steps), plan))

    def plan(
        self, job: Job, steps: Sequence[Any], reckon: Callable[[], tuple[Pass, ...]]
    ) -> tuple[Pass, ...]:
        """The plan that followed these steps; reckoned anew where it is not remembered."""
        told = _told(steps)
        for kept_job, kept_steps, plan in tuple(self._plans):
            if kept_job is job and kept_steps == told:
                return plan
        plan = reckon()
        self.keep(job, steps, plan)
        return plan


def _told(steps: Sequence[Any]) -> tuple[Any, ...]:
    """Alike for steps that are alike."""
    return tuple((type(step).__name__, *map(_plain, _fields(step))) for step in steps)


def _fields(step: Any) -> list[Any]:
    return [value for name, value in vars(step).items() if name != FOLLOWS]


def _plain(value: Any) -> Any:
    return value.tobytes() if isinstance(value, np.ndarray) else value
