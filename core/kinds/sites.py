"""Where strokes go, and what they are called there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Strokes = Sequence[int] | NDArray[np.int64]
LEAST_WANTED = 0.02  # share of the most that any site wants, below which its work is not missed


@dataclass(frozen=True)
class Sites:
    """Where strokes go.

    position_mm : (n,) where each site lies along the worked edge, increasing
    width_mm : (n,) length of edge that belongs to each site
    label : what one site is called on a screen, such as "station"
    round_mm : (n,) where a site goes all round the part, the way round; every spot of it gets its strokes
    inward_mm : (n,) how far from the edge a stroke reaches in, where sites do not all lie at the edge
    closed : the last site is the neighbour of the first
    folds : (n,) where the tool folds the part along its edge and strains none of it: +1 where strokes of
    shrinking fold it up and those of stretching back, -1 the other way round, 0 elsewhere
    strain : what the strain that strokes do there is called, by what it goes along
    between : shares of the way from a site to the next one at which the gap counts besides
    """

    position_mm: Array
    width_mm: Array
    label: str = "station"
    round_mm: Array | None = None
    inward_mm: Array | None = None
    closed: bool = False
    folds: Array | None = None
    strain: str = "edge strain"
    between: tuple[float, ...] = (0.5,)

    def __len__(self) -> int:
        return len(self.position_mm)

    def way_mm(self) -> Array:
        """(n,) how far the edge moves under the tool while a site is worked once."""
        return self.width_mm if self.round_mm is None else self.round_mm

    @property
    def around_mm(self) -> float:
        """Way along the sites back to the first one, 0 where they do not lead back."""
        return float(self.width_mm.sum()) if self.closed else 0.0

    def wanting(self, work: Array) -> NDArray[np.bool_]:
        """(n,) sites whose work, of this (n,), would be missed."""
        wanted = np.abs(work)
        return np.asarray(wanted > LEAST_WANTED * wanted.max())

    def reach_mm(self, grip_mm: float, work: Array) -> float:
        """How deep a part with this work (n,) goes into the machine: as far as the tool grips its edge, and
        where sites lie inwards of that as far as the innermost one whose work would be missed."""
        return grip_mm if self.inward_mm is None else float(self.inward_mm[self.wanting(work)].max())

    def spots(self, patch_mm: float) -> Array:
        """(n,) spots, a patch of the tool long each, that all get the strokes of a site."""
        return np.ones(len(self)) if self.round_mm is None else np.maximum(self.round_mm / patch_mm, 1.0)

    def beside(self, patch_mm: float) -> Array:
        """(n,) spots side by side along a site, a patch long each, that share its strokes."""
        if self.round_mm is not None:
            return np.ones(len(self))
        return np.maximum(np.rint(self.width_mm / patch_mm), 1.0)

    def folded_up(self, action: str) -> Array:
        """(n,) +1 where strokes of this action fold the part up, -1 where back, 0 where they strain it."""
        if self.folds is None:
            return np.zeros(len(self))
        return self.folds if action == "shrink" else -self.folds

    def folded(self, strokes: Strokes) -> tuple[int, ...]:
        """Sites, from 0, that these strokes (n,) fold."""
        folds = np.zeros(len(self)) if self.folds is None else self.folds
        return tuple(map(int, np.flatnonzero((folds != 0.0) & (np.asarray(strokes) > 0))))

    def words(self, action: str, strokes: Strokes | None = None) -> tuple[str, ...]:
        """What strokes (n,) of an action do, or any anywhere: "shrink", "fold up", or both."""
        if self.folds is None:
            return (action,)
        up = self.folded_up(action)
        if strokes is not None and np.any(strokes):
            up = up[np.asarray(strokes) > 0]
        found = {action: up == 0.0, "fold up": up > 0.0, "fold back": up < 0.0}
        return tuple(word for word, where in found.items() if where.any())

    def done_by(self, action: str, strokes: Strokes | None = None) -> str:
        """The same in a line, "shrink, fold up"."""
        return ", ".join(self.words(action, strokes))

    def doing(self, action: str, strokes: Strokes | None = None) -> str:
        """The same as "shrinking, folding up"."""
        split = (word.split() for word in self.words(action, strokes))
        return ", ".join(" ".join((f"{verb}ing", *way)) for verb, *way in split)


@runtime_checkable
class FoldedByTool(Protocol):
    """A part that the tool folds at some of its sites, where work is the angle (rad) still to be folded."""

    @property
    def fold_per_strain_rad(self) -> float:
        """Turn of a patch's length by a stroke whose patch would be strained by 1 elsewhere."""
        ...

    @property
    def fold_per_pass_rad(self) -> float:
        """What one pass is to fold at most, as expected."""
        ...


@dataclass(frozen=True)
class OtherEdge:
    """What a stroke of unit shortening strain does at an edge that the work leaves alone.

    where : the flange in words; upright : it stands out of the plane of the curve, so that its strokes bend
    the part out of it and what comes along goes into it; else the other way round;
    bow_mm : (n,) at each site, signed as ``side_effects`` has it;
    closes_mm : (n,) in the plane of the curve, the ends against the middle, > 0 closes it;
    twist_rad : (p, n) turn of the section at places along the part, as "twist_along_rad" of ``side_effects``;
    work : (n, n) work at each site (row) that leaves the same in the plane as a stroke at each (column)
    """

    where: str
    upright: bool
    bow_mm: Array
    closes_mm: Array
    twist_rad: Array
    work: Array
