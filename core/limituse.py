"""How much of the metal's limits strokes would use now, whichever they are: those planned, or others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.estimate.fit import Fit
from core.estimate.response import Stroking
from core.events import pass_done
from core.joblog import check_event
from core.jobtypes import Job
from core.limits import LimitUse
from core.planned import Pass


@dataclass(frozen=True)
class StrokesUse:
    """The answer to that, by what is known of the part and its metal; see ``Advice.use_of``."""

    job: Job
    fitted: Fit

    def __call__(
        self, action: str, bite: str, strokes: Sequence[int], annealed_first: bool = False
    ) -> LimitUse:
        """Limits of strain by what the pass may come to but for the risk of each; where the edge folds under
        the bite, that. Raises InputError for strokes that cannot be."""
        job, n = self.job, self.fitted.sites
        check_event(job, pass_done(action, strokes, bite), "pass")
        edge, hardened = self.fitted.edge, self.fitted.strain
        if annealed_first:
            edge, hardened = edge.annealed(), np.zeros(n)
        counts = np.asarray(strokes, dtype=float)
        stroking = Stroking(action, bite, counts, hardened)
        use = job.limits.use(action, edge, *self.fitted.strains(job, stroking))
        if bite in job.bites(action) or action not in job.actions:
            return use
        folds = job.limits.shrink_per_stroke
        return use.at_least(job.tools[action].strain(bite) / folds.strain, folds, counts > 0)

    def after(self, passes: Sequence[Pass]) -> LimitUse:
        """With the next of these passes, or as the part is where none is planned."""
        if not passes:
            return self.at_rest()
        first = passes[0]
        return self(first.action, first.bite, first.strokes.tolist(), first.anneal_first)

    def at_rest(self) -> LimitUse:
        """As the part is, without another stroke."""
        return self.job.limits.use("stretch", self.fitted.edge, np.zeros(self.fitted.sites))
