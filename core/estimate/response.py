"""How work per stroke depends on what is not known: a log-linear model.

For a pass with action a, bite b and m strokes at a site that already carries edge strain E::

    ln work = ln(first guess) + common + action[a] + bite[a, b] + c ln(strength of b) + field(site)
              - neighbours * (share of neighbours struck in the same pass) + p ln m - hardening * E

so a light bite, the first stroke on a spot and a hardened edge are learned, never assumed. All
parameters are Gaussian beforehand (:class:`core.jobtypes.ResponsePrior`); the field is smooth along the part.
What was seen on other metal is one reading each of all but the field, which is a part's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, read
from core.jobtypes import Job, ResponsePrior, Tool
from core.seen import Seen

Array = NDArray[np.float64]
KEPT = 1e-3  # share of the field's variance that may be left out with its roughest modes
SIGN = {"shrink": 1.0, "stretch": -1.0}


@dataclass(frozen=True)
class Stroking:
    """One pass as the model sees it.

    strokes : (n,) counts; strain_before : (n,) edge strain since the last anneal, before the pass
    """

    action: str
    bite: str
    strokes: Array
    strain_before: Array


class ResponseModel:
    """Features and first guess of the log response of one job.

    mean, cov : (k,), (k, k) of the parameters before this part is read, by all that was seen elsewhere.
    Parameters (k,): common, one an action, one an (action, bite), the field's modes, c, neighbours, p,
    hardening.
    """

    def __init__(self, job: Job) -> None:
        prior, tool, part = job.response, job.tool, job.part
        self.tool: Tool = tool
        self.sites = len(part.sites)
        self._guess = part.work_per_strain()
        self._patch_share = part.edge_strain(self._guess)
        self._scale = prior.scale
        self.pairs = [(a, b) for a in SIGN for b in tool.bites]
        self.modes = _field_modes(part.sites.position_mm.tobytes(), prior.uneven_sd, prior.uneven_length_mm)
        known = self._prior(prior)
        for seen in prior.seen:
            known = self._seen(known, seen)
        self.mean, self.cov = known.mean, known.cov
        self.scatter = prior.scatter

    def _prior(self, prior: ResponsePrior) -> Belief:
        blocks = [
            (0.0, prior.common_sd, 1),
            (0.0, prior.action_sd, len(SIGN)),
            (0.0, prior.bite_sd, len(self.pairs)),
            (0.0, 1.0, self.modes.shape[1]),
            (prior.bite_exponent, prior.bite_exponent_sd, 1),
            (prior.neighbours, prior.neighbours_sd, 1),
            (prior.exponent, prior.exponent_sd, 1),
            (prior.hardening, prior.hardening_sd, 1),
        ]
        mean = np.concatenate([np.full(n, m) for m, _, n in blocks])
        sd = np.concatenate([np.full(n, s) for _, s, n in blocks])
        return Belief(mean, np.diag(sd**2))

    def _seen(self, known: Belief, seen: Seen) -> Belief:
        """Believed after this was seen: ln ratio is ln work less ln of the strokes and the first guess."""
        row = self.alone(seen.action, seen.bite, seen.strokes)
        log_work = np.log(seen.ratio) + np.log(seen.strokes)
        difference = np.array([log_work - row @ known.mean])
        return read(known, row[None, :], difference, np.array([seen.sd**2])).belief

    @property
    def sd(self) -> Array:
        """(k,) standard deviation of each parameter beforehand."""
        return np.asarray(np.sqrt(np.diag(self.cov).clip(0.0)))

    @property
    def size(self) -> int:
        """Number of parameters."""
        return 1 + len(SIGN) + len(self.pairs) + int(self.modes.shape[1]) + 4

    def guess(self, action: str, bite: str) -> Array:
        """(n,) first guess of the work of a single stroke, unsigned."""
        return self._guess * self.tool.strain(bite) * self._scale.get((action, bite), 1.0)

    def strain(self, bite: str, strokes: Array) -> Array:
        """(n,) nominal edge strain that these strokes put in, unsigned."""
        return np.asarray(self.tool.strain(bite) * strokes * self._patch_share)

    def alone(self, action: str, bite: str, strokes: float) -> Array:
        """(k,) slopes of the log work of this many strokes on a spot of soft metal, neighbours not struck.

        The spot is as even as the mean of a part, and its strain is averaged over a zone like the sites'.
        """
        row = self._levels(action, bite)
        row[-2] = np.log(strokes)
        row[-1] = -0.5 * self.strain(bite, np.full(self.sites, strokes)).mean()
        return row

    def _levels(self, action: str, bite: str) -> Array:
        """(k,) slopes that an action and a bite have wherever they strike."""
        row = np.zeros(self.size)
        row[[0, 1 + list(SIGN).index(action), 1 + len(SIGN) + self.pairs.index((action, bite))]] = 1.0
        row[-4] = np.log(self.tool.bites[bite])
        return row

    def features(self, stroking: Stroking) -> Array:
        """(n, k) slopes of the log work; rows of sites without strokes hold what a stroke would do."""
        strokes = np.where(stroking.strokes > 0, stroking.strokes, 1.0)
        load = stroking.strain_before + 0.5 * self.strain(stroking.bite, stroking.strokes)
        out = np.tile(self._levels(stroking.action, stroking.bite), (self.sites, 1))
        first = 1 + len(SIGN) + len(self.pairs)
        out[:, first : first + self.modes.shape[1]] = self.modes
        out[:, -3] = -neighbours_struck(stroking.strokes)
        out[:, -2] = np.log(strokes)
        out[:, -1] = -load
        return out

    def work(self, stroking: Stroking, parameters: Array) -> tuple[Array, Array, Array]:
        """Work (n,) unsigned, its slopes (n, k) by the parameters, and its scatter variance (n,)."""
        features = self.features(stroking)
        struck = stroking.strokes > 0
        work = np.where(
            struck, self.guess(stroking.action, stroking.bite) * np.exp(features @ parameters), 0.0
        )
        variance = np.where(struck, (self.scatter * work) ** 2 / np.maximum(stroking.strokes, 1.0), 0.0)
        return work, work[:, None] * features, variance

    def at_most(self, stroking: Stroking, cov: Array, risk: float) -> Array:
        """(n,) times the expected work that a pass does at a site with this chance of being exceeded.

        cov : (k, k) of the parameters.
        """
        features = self.features(stroking)
        told = np.sum((features @ cov) * features, axis=1)
        own = self.scatter**2 / np.maximum(stroking.strokes, 1.0)
        return np.asarray(np.exp(NormalDist().inv_cdf(1.0 - risk) * np.sqrt(told + own)))


def neighbours_struck(strokes: Array) -> Array:
    """(n,) share, 0 to 1, of a site's two neighbours that are struck; less than a stroke counts as part."""
    struck = np.concatenate([[0.0], np.minimum(strokes, 1.0), [0.0]])
    share: Array = 0.5 * (struck[:-2] + struck[2:])
    return share


@lru_cache(maxsize=16)
def _field_modes(position_mm: bytes, sd: float, length_mm: float) -> Array:
    """(n, q) smooth unevenness along the part, scaled so that unit parameters give its covariance.

    The array of positions comes as its bytes, to be remembered: a job keeps its modes from refit to refit.
    """
    position = np.frombuffer(position_mm)
    apart = position[:, None] - position[None, :]
    covariance = sd**2 * np.exp(-0.5 * (apart / length_mm) ** 2)
    values, vectors = np.linalg.eigh(covariance)
    values, vectors = values[::-1].clip(0.0), vectors[:, ::-1]
    left = 1.0 - np.cumsum(values) / max(values.sum(), 1e-300)
    count = int(np.searchsorted(-left, -KEPT)) + 1 if values.sum() > 0 else 0
    modes: Array = vectors[:, :count] * np.sqrt(values[:count])
    modes.flags.writeable = False
    return modes
