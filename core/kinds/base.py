"""What a kind of part supplies, and nothing else.

The estimator, the planner, the verdict, the strip and the records are written once against
:class:`Part`; they never ask which kind they have in hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol, Self, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from core.kinds.part import Linearised as Linearised
from core.kinds.part import Part as Part
from core.kinds.sites import FoldedByTool as FoldedByTool
from core.kinds.sites import OtherEdge as OtherEdge
from core.kinds.sites import Sites as Sites

Array = NDArray[np.float64]


@runtime_checkable
class LaidAlong(Part, Protocol):
    """A part that templates are laid along: a short one shows how much it is bent there."""

    def sagitta(self, x: Array, at_mm: Array, chord_mm: float) -> tuple[Array, Array]:
        """What a short sweep of this chord reads: (r,) mm, > 0 where too little is done, slopes (r, n)."""
        ...

    def heading_rad(self, at_mm: Array) -> Array:
        """(r,) direction of the target at points along it, continuous: how far a template has to turn."""
        ...


@runtime_checkable
class TriedOnOffcut(LaidAlong, Protocol):
    """A part whose response can be tried on a straight offcut of its stock, which its strokes raise."""

    @property
    def clear_mm(self) -> float:
        """From here on a stroke neither feels an end of the part nor a stroke beside it."""
        ...

    def offcut(self, length_mm: float, at_mm: Array) -> TriedOnOffcut:
        """Straight stock of the same section under the same tool, sites (n,) there and nothing to be made."""
        ...


@runtime_checkable
class FreeEnds(Part, Protocol):
    """A part near whose ends a stroke does less work than elsewhere and strains the metal no less."""

    def ends_unsure(self) -> Array:
        """(n,) standard deviation of the log of the strain that is behind work; 0 well away from the ends."""
        ...


@runtime_checkable
class TurnedEdge(Part, Protocol):
    """A part whose edge is turned up from a plate, read with a square held across it."""

    def tip_gap_mm(self, angle_rad: float) -> float:
        """Gap at the tip of an edge at this angle from the plate, mm; < 0 where it is turned too far."""
        ...

    def tip_angle_rad(self, gap_mm: float) -> float:
        """The other way round: angle from the plate of an edge with this gap at its tip."""
        ...

    def apart_rad(self, takes: float) -> float:
        """By which a site may stand above one that waits for the other action; takes : as of ahead."""
        ...

    def ahead(self, x: Array, sign: float, takes: float) -> Array:
        """(n,) unsigned work of this sign that sites may have where this work (n,) is left, before neighbours
        follow that turn up by the other; inf where none do. takes : stretch that the free edge takes"""
        ...


@runtime_checkable
class ReadOnMeridians(Part, Protocol):
    """A part that is made round an axis from a disc and read along one of its meridians at a time.

    It may be lobed: at an angle theta round the axis it stands outward by c(theta) times what ``lobes_mm``
    says, c = a cos(n theta) + b sin(n theta) in mm at the rim for each number n of lobes, by no even work.
    """

    @property
    def rings_mm(self) -> Array:
        """(n + 1,) radii on the flat disc between which its sites lie, rising from 0 to the disc's."""
        ...

    @property
    def as_cut(self) -> Self:
        """The part before anything was done to it, of whose passes nothing is known."""
        ...

    def struck(self, x: Array, goes_on: bool = False) -> Self:
        """The part once strokes are put into it with this work left (n,), one call for each pass. Where how
        its sheet has set by them decides how it lies by what work is left then, another, else the same.
        goes_on : as it is worked on from there, still setting, and not after the next pass alone"""
        ...

    @property
    def discs_mm(self) -> Mapping[str, float]:
        """Diameter of the disc by every method that could make the part, its own first."""
        ...

    @property
    def kept_ring_mm(self) -> tuple[float, float] | None:
        """Along the meridian, and radius, of a ring that keeps its size from disc to part; None without."""
        ...

    @property
    def kept_ring(self) -> str:
        """Where that is and what is done on either side of it, in a few words; "" without one."""
        ...

    def other_method(self, takes: Mapping[str, float]) -> str:
        """Another method that would do, in a few words, "" where none does. takes : by action that some tool
        does, the strain that the metal takes in all"""
        ...

    def worked_by(self, action: str, left: Array) -> NDArray[np.bool_]:
        """(n,) whether this action works a site on the way to the part. Of a part that wants both, each site
        what it asks for: else the other's share of the strain that the metal takes would be used up. Where
        one does it all, that one everywhere and the other where the work left (n,) wants it: to mend."""
        ...

    def stops_mm(self, site: int) -> Array:
        """(k,) how far in from the disc's edge the tool's patch reaches, for each of the k rows of strokes
        that lie side by side across a site, the outermost first; they share its strokes."""
        ...

    @property
    def lobes(self) -> tuple[int, ...]:
        """How many lobes each of its m lobed parts has."""
        ...

    @property
    def lobe_sd_mm(self) -> Array:
        """(m,) standard deviation of a and of b that stock has, mm at the rim."""
        ...

    def lobes_added_mm(self, strain: Array) -> Array:
        """(m,) standard deviation of what a pass adds to a and to b that strains its sites by this (n,)."""
        ...

    def lobes_mm(self, at_mm: Array) -> Array:
        """(r, m) outward at points along the meridian, per mm outward at the rim."""
        ...

    @property
    def bend_off_mm(self) -> Array:
        """(n,) standard deviation of what the part stays off beside bends that its sheet does not follow."""
        ...

    def shape_off_mm(self, gaps_mm: Array) -> Array:
        """(n,) standard deviation of what template and geometry are off where such gaps (n,) are read (NaN:
        none), however often."""
        ...

    @property
    def rim_radius_mm(self) -> float:
        """Of the rim as it should be."""
        ...

    def rim_height(self, x: Array) -> tuple[float, Array, float]:
        """Height of the rim over the middle, mm, its slopes (n,), and sd of what is off alike all round."""
        ...

    def rim_across(self, x: Array) -> tuple[float, Array, float]:
        """The same of the mean diameter of the rim."""
        ...

    @property
    def rim_axial(self) -> Array:
        """(m,) how far the rim moves up along the axis, per mm outward at the rim."""
        ...

    @property
    def rim_radial(self) -> Array:
        """(m,) how far the rim moves away from the axis, per mm outward at the rim."""
        ...
