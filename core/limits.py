"""What the metal takes: limits of edge strain, each with where it comes from, and what they leave to do.

Strains are natural, those of the worked edge averaged over a site, unsigned, unless it is said otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import inf
from statistics import NormalDist
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from core.strained import Strained

Array = NDArray[np.float64]
COMMON, UNKNOWN = "common practice, no source", "not known for this metal"
NATURAL = "of natural edge strain"
LITTLE = 0.5  # of what a pass could do on soft metal; where a site is left less, a pass is not worth its gaps
SPENT = 0.02  # of a limit: where less is left it is used up, for single strokes would creep up to it
ROUNDED = 1e-6  # of a limit, by which nothing is beyond it
WEAK = 0.5  # of what a stroke did on soft metal: where it does less, an anneal is advised (common practice)
RISK = 0.001  # that a site goes beyond what harms metal for good: three standard deviations (common practice)
PASS_RISK = 0.05  # that it goes clearly beyond what is usual of one pass: it comes out less even (the same)
CLEARLY = 0.25  # of what is usual of one pass, by which more of it is clearly more (common practice)
AS_EXPECTED = 0.5  # chance of going beyond a limit that what is expected is held against
EVEN, EVENLY = (
    "the strain that soft metal takes evenly",
    f"{NATURAL} since the metal was last soft, where it stops stretching evenly",
)
DUCTILE, DUCTILELY = (
    "the stretch that its elongation allows",
    f"{NATURAL} since the metal was last soft, well before a pulled strip of it breaks",
)
HARD, HARDENED = (
    "the strain that leaves soft metal about half hard",
    f"{NATURAL} since the metal was last soft, where shrinking has made it about half hard",
)
CRACKING = f"{NATURAL} by stretching in all, where the edge may crack"
FOLDING = "of natural strain a stroke, where the edge may fold"


@dataclass(frozen=True)
class Limit:
    """One limit.

    name : as a sentence goes on after "75 % of"; over : what the strain is counted over, as one goes on after
    it; strain : largest that is allowed, inf where none is known; source : where it comes from; own : whether
    the job or the shop gives it itself; short : the name in two words, for a drawing; risk : accepted chance
    that a site goes beyond it in a pass
    """

    name: str
    over: str
    strain: float
    source: str
    own: bool = False
    short: str = ""
    risk: float = RISK

    @property
    def as_expected(self) -> bool:
        """Whether what is expected is held against it, not what may come but for a small chance."""
        return self.risk >= AS_EXPECTED

    @property
    def size(self) -> str:
        """The strain alone, "3.75 %"."""
        return f"{100 * self.strain:.3g} %"

    @property
    def amount(self) -> str:
        """As a sentence goes on after "more than"."""
        return f"{self.size} {self.over} ({self.source})"

    def __str__(self) -> str:
        return f"no more than {self.amount}"


@dataclass(frozen=True)
class Hardened:
    """Why an anneal comes before a pass. limit : what hardening has used up, None where a stroke does less
    than ``WEAK`` of what it did on soft metal; sites : indices of those where that is so"""

    limit: Limit | None
    sites: tuple[int, ...]


@dataclass(frozen=True)
class LimitUse:
    """How much of the limits the job uses once a pass is done.

    share : (n,) of the tightest limit at every site, 1 where nothing is left, more where strokes go beyond
    it; of : (n,) that limit
    """

    share: Array
    of: tuple[Limit, ...]

    @property
    def name(self) -> tuple[str, ...]:
        """(n,) what the limits are called."""
        return tuple(limit.name for limit in self.of)

    @property
    def beyond(self) -> NDArray[np.bool_]:
        """(n,) where the strokes go beyond the limit."""
        return self.share > 1.0 + ROUNDED

    def at_least(self, share: float, limit: Limit, where: NDArray[np.bool_]) -> LimitUse:
        """The same with this share of another limit at the sites (n,) where that is more."""
        more = where & (share > self.share)
        of = tuple(limit if over else was for over, was in zip(more, self.of, strict=True))
        return LimitUse(np.where(more, share, self.share), of)


class UseOf(Protocol):
    """How much of the metal's limits strokes use once they are done, as the part is now."""

    def __call__(
        self, action: str, bite: str, strokes: Sequence[int], annealed_first: bool = False
    ) -> LimitUse:
        """strokes : (n,) whole; annealed_first : the part is softened before them. Raises InputError."""
        ...


@dataclass(frozen=True)
class Held:
    """Sites, from 0, whose count in a pass is all that a limit lets it be, though they want more."""

    limit: Limit
    sites: tuple[int, ...]


@dataclass(frozen=True)
class Limits:
    """All limits of one job.

    per_pass : of one pass; in_all : of the whole job, both actions together; stretch_since_anneal : strain
    that metal which is to be stretched may have had since it was last soft, as it is delivered;
    stretch_once_annealed : the same for a temper that an anneal makes another; elongation,
    elongation_once_annealed : of stretching alone, by what a pulled strip of the metal has when it breaks
    (what was shortened before may be drawn out again);
    stretch_in_all : the same over the whole job, where an edge cracks;
    shrink_since_anneal : strain after which an anneal is advised before
    more is shrunk, no bound (hard metal does not neck by shrinking, it wants more force and strokes do less);
    shrink_per_stroke : of the patch of one stroke, where it folds;
    anneals : whether it is known how the metal is annealed: what hardening takes is else gone for good.
    Beyond all but that of one pass metal cracks, necks or folds. That one is for strokes to come out even: no
    more of it is planned, as expected, and its risk is that of a quarter more.
    """

    per_pass: Limit = Limit(
        "the strain allowed in one pass", f"{NATURAL} in one pass", 0.03, COMMON, False, "one pass", PASS_RISK
    )
    in_all: Limit = Limit(
        "the strain allowed in the whole job", f"{NATURAL} in the whole job", 0.25, COMMON, short="whole job"
    )
    stretch_since_anneal: Limit = Limit(EVEN, EVENLY, inf, UNKNOWN, short="even stretch")
    stretch_once_annealed: Limit = Limit(EVEN, EVENLY, inf, UNKNOWN, short="even stretch")
    elongation: Limit = Limit(DUCTILE, DUCTILELY, inf, UNKNOWN, short="elongation")
    elongation_once_annealed: Limit = Limit(DUCTILE, DUCTILELY, inf, UNKNOWN, short="elongation")
    stretch_in_all: Limit = Limit(
        "the stretch at which the edge may crack", CRACKING, inf, UNKNOWN, short="edge cracks"
    )
    shrink_since_anneal: Limit = Limit(HARD, HARDENED, inf, UNKNOWN, short="half hard")
    shrink_per_stroke: Limit = Limit(
        "the strain at which the edge may fold", FOLDING, inf, UNKNOWN, short="edge folds"
    )
    anneals: bool = True

    @property
    def of_one_pass(self) -> tuple[Limit, Limit]:
        """That of one pass as it is kept: as expected, and what one may come to but for its risk."""
        usual, more = self.per_pass, (1.0 + CLEARLY) * self.per_pass.strain
        over = f"{usual.over}, {100 * CLEARLY:.0f} % over the {usual.size} planned at most"
        most = replace(usual, name="the most that one pass may come to", strain=more, over=over)
        return replace(usual, risk=AS_EXPECTED), most

    def of_pass(self, action: str, edge: Strained) -> tuple[tuple[Limit, Array], ...]:
        """Every limit that counts for a pass of this action, with the strain (n,) that it leaves but for its
        risk."""
        found = self._left(action, edge)
        return tuple((limit, np.where(left >= SPENT * limit.strain, left, 0.0)) for limit, left in found)

    def _left(self, action: str, edge: Strained) -> list[tuple[Limit, Array]]:
        """The same as it is: what is next to nothing too, below 0 where the edge is beyond a limit."""
        found: list[tuple[Limit, Array | float]] = [(limit, 0.0) for limit in self.of_one_pass]
        found += self._lasting(action, edge)
        if action == "stretch":
            evenly, ductilely = self._since_soft(edge.softened)
            found += [(evenly, edge.since), (ductilely, edge.stretched_since)]
        had_at_most = [edge.at_most(had, _deviations(limit.risk)) for limit, had in found]
        return [(limit, limit.strain - had) for (limit, _), had in zip(found, had_at_most, strict=True)]

    def _lasting(self, action: str, edge: Strained) -> list[tuple[Limit, Array | float]]:
        """Limits that no anneal gives back, with the strain (n,) that counts against them."""
        found: list[tuple[Limit, Array | float]] = [(self.in_all, edge.total)]
        if action == "stretch":
            found.append((self.stretch_in_all, edge.total))
            if not self.anneals:
                found += [(self.stretch_since_anneal, edge.total), (self.elongation, edge.stretched)]
        return found

    def _expected(self, action: str, edge: Strained, log_sd: Array | float) -> list[tuple[Limit, Array]]:
        """The same limits as of :meth:`of_pass` with the strain (n,) that is expected of a pass at most."""
        return [(limit, left / _at_most(limit, log_sd)) for limit, left in self.of_pass(action, edge)]

    def _since_soft(self, softened: bool) -> tuple[Limit, Limit]:
        """Limits of stretching of metal that has been annealed in this job, or not: an anneal gives all of
        them back."""
        if softened:
            return self.stretch_once_annealed, self.elongation_once_annealed
        return self.stretch_since_anneal, self.elongation

    def since_soft(self, softened: bool) -> Limit:
        """The tighter of these."""
        return min(self._since_soft(softened), key=lambda limit: limit.strain)

    def room(self, action: str, edge: Strained, log_sd: Array | float = 0.0) -> Array:
        """(n,) strain that may be expected of a pass of this action, so that no limit is gone beyond but for
        its risk. log_sd : (n,) standard deviation of the log of what the pass does, 0 where that is known."""
        return np.asarray(np.min([left for _, left in self._expected(action, edge, log_sd)], axis=0))

    def gives_room(self, action: str) -> bool:
        """Whether an anneal gives back room for this action."""
        return self.anneals and action == "stretch" and self.since_soft(softened=False).strain < inf

    def hardened(self, action: str, edge: Strained, does: Array, more: Array) -> Hardened | None:
        """Why an anneal is advised before more of this action; None where none is, or none is known.

        does : (n,) share that a stroke does of what it did on soft metal; more : (n,) strain still wanted.
        Half of what a pass may do has to be wanted at half of the hard sites: ends answer little, want much.
        """
        if not self.anneals:
            return None
        hard = (edge.since > self.shrink_since_anneal.strain) & (action == "shrink")
        for limit, where in ((self.shrink_since_anneal, hard), (None, does < WEAK)):
            if np.any(where) and np.median(more[where]) > LITTLE * self.per_pass.strain:
                return Hardened(limit, tuple(map(int, np.flatnonzero(where))))
        return None

    def binding(self, action: str, edge: Strained, log_sd: Array | float = 0.0) -> list[Limit]:
        """The limit at every site that leaves least; log_sd : see :meth:`room`."""
        found = self._expected(action, edge, log_sd)
        least = np.argmin([left for _, left in found], axis=0)
        return [found[i][0] for i in least]

    def use(self, action: str, edge: Strained, added: Array, log_sd: Array | float = 0.0) -> LimitUse:
        """How much of the limits is used once a pass of this action has added so much strain (n,), by what it
        comes to but for the risk of each; where it adds none, all of a limit at the most. log_sd : see
        :meth:`room`."""
        struck = added > 0.0
        found = [
            (limit, np.where(struck, raw, left) - added * _at_most(limit, log_sd))
            for (limit, left), (_, raw) in zip(
                self.of_pass(action, edge), self._left(action, edge), strict=True
            )
            if limit.strain < inf
        ]
        shares = np.array([_share(limit.strain, left, struck) for limit, left in found])
        tightest = shares.argmax(axis=0)
        return LimitUse(shares.max(axis=0), tuple(found[i][0] for i in tightest))

    def bites(self, action: str, bites: Mapping[str, float], one: float) -> tuple[str, ...]:
        """Bites of a tool that may be used for an action, the weakest first.

        one : strain of the patch by a stroke of strength 1.
        """
        most = self.shrink_per_stroke.strain if action == "shrink" else inf
        return tuple(name for name, strength in bites.items() if strength * one <= most)

    def most_in_all(self, action: str) -> Limit:
        """The tightest limit of the whole job for this action."""
        return min((limit for limit, _ in self._lasting(action, Strained.none(1))), key=lambda a: a.strain)


@cache
def _deviations(risk: float) -> float:
    """Standard deviations beyond which a normal quantity lies with this chance."""
    return -NormalDist().inv_cdf(risk)  # of the risk itself: less it, 1 stays 1 where it is next to nothing


def _at_most(limit: Limit, log_sd: Array | float) -> Array | float:
    """(n,) times what is expected that a pass does but for the risk of this limit."""
    return np.exp(_deviations(limit.risk) * log_sd)


def _share(limit: float, left: Array, struck: NDArray[np.bool_]) -> Array:
    """(n,) of a limit that is used where so much of it is left; of a limit of nothing all, and twice that
    where there are strokes."""
    return 1.0 - left / limit if limit > 0.0 else np.where(struck, 2.0, 1.0)
