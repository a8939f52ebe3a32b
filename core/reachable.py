"""How far this part could go in this metal: its sizes at the utmost, each with the limit that sets it."""

from __future__ import annotations

import numpy as np

from core.jobtypes import Job
from core.utmost import Reach


def reach(job: Job) -> tuple[Reach, ...]:
    """For every action that the target asks for; stretching without an anneal too, where that is less."""
    return tuple(found for action in job.actions for found in _of_action(job, action))


def _of_action(job: Job, action: str) -> list[Reach]:
    part, limits = job.under[action], job.limits
    asked = part.asked_strain() * (1.0 if action == "shrink" else -1.0)
    site = int(np.argmax(asked))
    if asked[site] <= 0.0:
        return []
    in_all, evenly = limits.most_in_all(action), limits.since_soft(softened=False)
    differ = limits.gives_room(action) and evenly.strain < in_all.strain
    found = [Reach(action, site, part.at_most(site, in_all.strain), in_all, True if differ else None)]
    if differ:
        found.append(Reach(action, site, part.at_most(site, evenly.strain), evenly, annealed=False))
    return found
