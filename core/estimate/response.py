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
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, read
from core.jobtypes import Job, ResponsePrior
from core.kinds.base import FreeEnds, OtherEdge
from core.seen import Seen, Shared

Array = NDArray[np.float64]
KEPT = 1e-3  # share of the field's variance that may be left out with its roughest modes
# Share of the elastic formula, mean and sd, that counter-work does: straight away in the plane of its own
# flange, where only what a stroke does on another edge is not known (common practice, no source), and what
# comes along out of that plane, as by finite elements the bow does (:mod:`core.estimate.outofplane`).
STRAIGHT, ASIDE = (1.0, 0.35), (0.65, 0.35)
TURNS = 3  # of a ring, either way, over which unevenness is still alike
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

    mean, cov : (k,), (k, k) of the parameters before this part is read, by all that was seen elsewhere;
    ends : (n,) standard deviation of the log of the strain behind the work, near the ends.
    Parameters (k,): common, one an action, one an (action, bite), the field's modes, the share of the elastic
    formula that counter-work does in the plane (where there was any), c, neighbours, p, hardening.
    """

    def __init__(self, job: Job, countered: bool = False) -> None:
        prior, part, self.tools = job.response, job.part, job.tools
        self.sites = len(part.sites)
        self._guess = {action: job.under[action].work_per_strain() for action in SIGN}
        self._covered = {action: job.under[action].covered() for action in SIGN}
        self._scale = prior.scale
        self.usual_exponent = prior.exponent
        self.pairs = [(a, b) for a in SIGN for b in self.tools[a].bites]
        self.ends = part.ends_unsure() if isinstance(part, FreeEnds) else np.zeros(self.sites)
        self._closed, position = part.sites.closed, part.sites.position_mm.tobytes()
        self.modes = _field_modes(position, prior.uneven_sd, prior.uneven_length_mm, part.sites.around_mm)
        self._shares = [share_in_plane(part.other_edge())] if countered else []
        self._always = {pair: self._features(*pair) for pair in self.pairs}
        known = self._sharing(self._prior(prior), prior.shared)
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
            *((share, share_sd, 1) for share, share_sd in self._shares),
            (prior.bite_exponent, prior.bite_exponent_sd, 1),
            (prior.neighbours, prior.neighbours_sd, 1),
            (prior.exponent, prior.exponent_sd, 1),
            (prior.hardening, prior.hardening_sd, 1),
        ]
        mean = np.concatenate([np.full(n, m) for m, _, n in blocks])
        sd = np.concatenate([np.full(n, s) for _, s, n in blocks])
        return Belief(mean, np.diag(sd**2))

    @property
    def shared(self) -> dict[str, int]:
        """Index of each parameter that parts alike have in common, by name: all but unevenness. What a stroke
        loses beside others follows from patch, pitch and section, which parts alike share."""
        named = ["common", *SIGN, *(f"{action} {bite}" for action, bite in self.pairs)]
        last = self.share_at + len(self._shares)
        return {name: i for i, name in enumerate(named)} | {
            "bite_exponent": last,
            "neighbours": last + 1,
            "exponent": last + 2,
            "hardening": last + 3,
        }

    def _sharing(self, known: Belief, shared: Shared | None) -> Belief:
        """With what parts alike told in place of the first guess; all else is independent of it."""
        if shared is None:
            return known
        at = [self.shared[name] for name in shared.names]
        mean, cov = known.mean.copy(), known.cov.copy()
        mean[at], cov[np.ix_(at, at)] = shared.mean, np.array(shared.cov)
        return Belief(mean, cov)

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

    @cached_property
    def size(self) -> int:
        """Number of parameters."""
        return self.share_at + len(self._shares) + 4

    @cached_property
    def share_at(self) -> int:
        """Index of the share of counter-work, where there was any."""
        return 1 + len(SIGN) + len(self.pairs) + int(self.modes.shape[1])

    def guess(self, action: str, bite: str) -> Array:
        """(n,) first guess of the work of a single stroke, unsigned."""
        return self._guess[action] * self._one_strain(action, bite)

    def _one_strain(self, action: str, bite: str) -> float:
        """First guess of the strain that a single stroke does to its patch."""
        return self.tools[action].strain(bite) * self._scale.get((action, bite), 1.0)

    def strain(self, action: str, bite: str, strokes: Array) -> Array:
        """(n,) nominal edge strain that these strokes put in, unsigned; many of them as is usual of many."""
        each = self.tools[action].strain(bite) * self._covered[action]
        return np.asarray(each * strokes**self.usual_exponent)

    def alone(self, action: str, bite: str, strokes: float) -> Array:
        """(k,) slopes of the log work of this many strokes on a spot of soft metal, neighbours not struck.

        The spot is as even as the mean of a part, and its strain is averaged over a zone like the sites'.
        """
        row = self._levels(action, bite)
        row[-2] = np.log(strokes)
        row[-1] = -0.5 * self.strain(action, bite, np.full(self.sites, strokes)).mean()
        return row

    def _levels(self, action: str, bite: str) -> Array:
        """(k,) slopes that an action and a bite have wherever they strike."""
        row = np.zeros(self.size)
        row[[0, 1 + list(SIGN).index(action), 1 + len(SIGN) + self.pairs.index((action, bite))]] = 1.0
        row[-4] = np.log(self.tools[action].bites[bite])
        return row

    def _features(self, action: str, bite: str) -> Array:
        """(n, k) the part of the features that no counts change."""
        out = np.tile(self._levels(action, bite), (self.sites, 1))
        out[:, self.share_at - self.modes.shape[1] : self.share_at] = self.modes
        return out

    def features(self, stroking: Stroking) -> Array:
        """(n, k) slopes of the log work; rows of sites without strokes hold what a stroke would do."""
        strokes = np.where(stroking.strokes > 0, stroking.strokes, 1.0)
        load = stroking.strain_before + 0.5 * self.strain(stroking.action, stroking.bite, stroking.strokes)
        out = self._always[stroking.action, stroking.bite].copy()
        out[:, -3] = -self.neighbours_struck(stroking.strokes)
        out[:, -2] = np.log(strokes)
        out[:, -1] = -load
        return out

    def work(self, stroking: Stroking, parameters: Array) -> tuple[Array, Array, Array]:
        """Work (n,) unsigned, its slopes (n, k) by the parameters, and its scatter variance (n,)."""
        one = self.guess(stroking.action, stroking.bite)
        return self._strokes(stroking, one, self.features(stroking), parameters)

    def strain_beyond(self, stroking: Stroking, parameters: Array) -> tuple[Array, Array, Array]:
        """Strain (n,) of the patch, unsigned, that strokes do on another edge; as :meth:`work`, but for the
        unevenness, which is that of the worked edge. strain_before : of that other edge."""
        features = self.features(stroking)
        features[:, self.share_at - self.modes.shape[1] : self.share_at] = 0.0
        one = np.full(self.sites, self._one_strain(stroking.action, stroking.bite))
        return self._strokes(stroking, one, features, parameters)

    def _strokes(
        self, stroking: Stroking, one: Array, features: Array, parameters: Array
    ) -> tuple[Array, Array, Array]:
        """What strokes do, its slopes and its scatter variance; one : (n,) first guess of a single one."""
        struck = stroking.strokes > 0
        work = np.where(struck, one * np.exp(features @ parameters), 0.0)
        variance = np.where(struck, (self.scatter * work) ** 2 / np.maximum(stroking.strokes, 1.0), 0.0)
        return work, work[:, None] * features, variance

    def neighbours_struck(self, strokes: Array) -> Array:
        """(n,) share, 0 to 1, of a site's two neighbours that are struck; less than a stroke counts as
        part."""
        struck = np.minimum(strokes, 1.0)
        beside = np.zeros(len(struck))
        beside[1:] = struck[:-1]
        beside[:-1] += struck[1:]
        if self._closed:
            beside[[0, -1]] += struck[[-1, 0]]
        return 0.5 * beside

    def log_sd(self, stroking: Stroking, cov: Array) -> Array:
        """(n,) standard deviation of the log of the strain that a pass does at a site, its scatter included.

        cov : (k, k) of the parameters.
        """
        features = self.features(stroking)
        told = np.sum((features @ cov) * features, axis=1)
        own = self.scatter**2 / np.maximum(stroking.strokes, 1.0) + self.ends**2
        return np.asarray(np.sqrt(told + own))


def share_in_plane(edge: OtherEdge | None) -> tuple[float, float]:
    """Mean and sd of the share that counter-work does in the plane; nothing where there is no other edge."""
    if edge is None:
        return 0.0, 0.0
    return ASIDE if edge.upright else STRAIGHT


def share_out_of_plane(edge: OtherEdge | None) -> tuple[float, float]:
    """The same of the bow."""
    if edge is None:
        return 0.0, 0.0
    return STRAIGHT if edge.upright else ASIDE


@lru_cache(maxsize=16)
def _field_modes(position_mm: bytes, sd: float, length_mm: float, around_mm: float = 0.0) -> Array:
    """(n, q) smooth unevenness along the part, scaled so that unit parameters give its covariance.

    around_mm : way back to the first site, 0 where there is none; on a ring the correlation of every turn is
    added, as on a line wound up. The array of positions comes as its bytes, to be remembered: a job keeps its
    modes from refit to refit.
    """
    position = np.frombuffer(position_mm)
    turns = around_mm * (np.arange(-TURNS, TURNS + 1) if around_mm else np.zeros(1))
    apart = position[:, None] - position[None, :]
    alike = np.exp(-0.5 * ((apart[..., None] + turns) / length_mm) ** 2).sum(axis=-1)
    covariance = sd**2 * alike / alike[0, 0]
    values, vectors = np.linalg.eigh(covariance)
    values, vectors = values[::-1].clip(0.0), vectors[:, ::-1]
    left = 1.0 - np.cumsum(values) / max(values.sum(), 1e-300)
    count = int(np.searchsorted(-left, -KEPT)) + 1 if values.sum() > 0 else 0
    modes: Array = vectors[:, :count] * np.sqrt(values[:count])
    modes.flags.writeable = False
    return modes
