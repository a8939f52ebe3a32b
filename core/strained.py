"""Strain that the worked edge has had, natural, averaged over a site, unsigned."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
ALL = ("since", "total", "stretched_since", "stretched")


@dataclass(frozen=True)
class Strained:
    """Both actions together, and that of stretching alone.

    since : (n,) since the last anneal; total : (n,) in the whole job; softened : whether it has been
    annealed; unsure : (n,) standard deviation of each, 0 where they are known; stretched_since, stretched :
    (n,) the same two by stretching alone, a number where all sites are alike
    """

    since: Array
    total: Array
    softened: bool = False
    unsure: Array | float = 0.0
    stretched_since: Array | float = 0.0
    stretched: Array | float = 0.0

    @classmethod
    def none(cls, sites: int) -> Strained:
        """Of untouched stock."""
        return cls(np.zeros(sites), np.zeros(sites))

    def after(self, action: str, added: Array) -> Strained:
        """With what a pass of this action adds (n,)."""
        longer = added if action == "stretch" else 0.0
        return replace(
            self,
            since=self.since + added,
            total=self.total + added,
            stretched_since=self.stretched_since + longer,
            stretched=self.stretched + longer,
        )

    def annealed(self) -> Strained:
        """Once the metal is soft again."""
        return replace(self, since=np.zeros_like(self.total), stretched_since=0.0, softened=True)

    def times(self, share: Array) -> Strained:
        """With this share (n,) of all that it was taken to have had."""
        return replace(self, **{name: share * getattr(self, name) for name in ALL})

    def at_most(self, had: Array | float, times: float) -> Array:
        """(n,) so much strain with so many standard deviations more, or twice as much; what was never
        strained is known. had : (n,) one of those above, or nothing."""
        return np.zeros_like(self.total) + had + np.minimum(times * self.unsure, had)
