"""What a kind of part supplies, and nothing else.

The estimator, the planner, the verdict, the strip and the records are written once against
:class:`Part`; they never ask which kind they have in hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol, runtime_checkable

import numpy as np
from numpy.typing import NDArray

from core.kinds.once import OnceAClass
from core.kinds.sites import FoldedByTool as FoldedByTool
from core.kinds.sites import OtherEdge as OtherEdge
from core.kinds.sites import Sites as Sites
from core.utmost import AtMost

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Linearised:
    """Deviation and its slopes about one assumed shape and seating.

    deviation_mm : (r,) signed, along the template's outward normal; > 0 outward of it (an under-closed bar)
    influence : (r, n) mm per unit of remaining work at each site
    seating : (r, k) mm per unit of each rigid motion of the part against the template
    """

    deviation_mm: Array
    influence: Array
    seating: Array


class Part(Protocol, metaclass=OnceAClass):
    """A part to be worked: sites, target work, influence, seating, what the metal undergoes.

    Work is signed: > 0 is done by shrinking, < 0 by stretching. ``x`` is the work that is still to
    be done at every site; the part lies on its template when ``x`` is zero.
    """

    @property
    def sites(self) -> Sites:
        """Where strokes go."""
        ...

    @property
    def length_mm(self) -> float:
        """Length of the worked edge."""
        ...

    @property
    def target(self) -> Array:
        """(n,) work that the blank needs."""
        ...

    @property
    def seat_sd(self) -> Array:
        """(k,) prior standard deviation of each rigid motion, mm and rad."""
        ...

    @property
    def seat_bound(self) -> Array:
        """(k,) most that each may be used to seat the template, inf where marks do not hold it."""
        ...

    @property
    def templates(self) -> tuple[str, ...]:
        """Names of the templates that the part can be read with."""
        ...

    @property
    def stock_sd(self) -> Array:
        """(n,) how far the untouched stock may already be from its nominal shape, unit of work."""
        ...

    def linearise(self, x: Array, seat: Array | None = None, at_mm: Array | None = None) -> Linearised:
        """Exact deviation at points along the target, with its slopes.

        x : (n,) remaining work; seat : (k,) rigid motion of the part (none: as nominally placed);
        at_mm : (r,) points along the target (none: the sites).
        """
        ...

    def work_per_strain(self) -> Array:
        """(n,) work that one stroke of unit strain (1) on the tool's patch does at each site."""
        ...

    def covered(self) -> Array:
        """(n,) share of each site that the patch of one stroke covers; above 1 where it reaches beyond."""
        ...

    def edge_strain(self, work: Array) -> Array:
        """(n,) edge strain averaged over each site that goes with this work; same sign as work."""
        ...

    def asked_strain(self) -> Array:
        """(n,) edge strain, signed, that the target asks for, averaged over each site."""
        ...

    def thickness_mm(self, strain: Array) -> Array:
        """(n,) thickness of the worked edge at each site after this strain (n,), > 0 shortened."""
        ...

    def at_most(self, site: int, strain: float) -> tuple[AtMost, ...]:
        """Sizes of the part that ask no more than this edge strain (1, an amount) of a site, one by one."""
        ...

    def side_effects(self, work: Array) -> dict[str, Any]:
        """What comes with the work unasked, by name, as the elastic formula gives it and linear in the work;
        empty for a part that has no bow.

        "bow_mm" : middle of the part out of plane over its ends, > 0 upwards as it lies with the worked edge
        on the left; "twist_along_rad" : (p,) turn of the section at places along the part, from y towards z,
        and "twist_rad" : the largest difference between two of them; "sides" : two texts, where the middle
        stands out to for a bow > 0 and < 0
        """
        ...

    def other_edge(self) -> OtherEdge | None:
        """The edge that counter-work can take; None where there is none that the tool reaches."""
        ...

    @property
    def worked_depth_mm(self) -> float:
        """How far the metal reaches into the machine: from the worked edge to the wall behind it, mm."""
        ...

    @property
    def inside_radius_mm(self) -> float:
        """Least radius of the worked edge where it lies inside its curve, mm; inf where it never does."""
        ...

    @property
    def inside_angle_rad(self) -> float:
        """Least angle, from now until it is finished, between the worked flange and the metal beside it, rad;
        pi where there is none."""
        ...

    def outline(self) -> Array:
        """(m, 2) the target drawn to scale, mm."""
        ...


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
