"""What every kind of part hands over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from core.kinds.once import OnceAClass
from core.kinds.sites import OtherEdge, Sites
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
