"""A dish or dome made from a flat disc, ring by ring, the same all round.

Work at a ring is the hoop strain (dimensionless, natural) that the target asks for half-way across it and the
metal has not had yet: > 0 still to be shortened. A stroke counts on every spot of the ring, all round: uneven
work makes the rim oval. Counts go over evenly from ring to ring (:mod:`core.geometry.disc_to_dish`).
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil, inf, pi
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from core.geometry.blank import Blank
from core.geometry.disc_to_dish import RingedDisc
from core.geometry.line import TargetLine
from core.geometry.profile_gap import Profile
from core.geometry.ways import Way, steepest_rim_rad, tightest_sphere_mm
from core.kinds.base import Linearised, OtherEdge, Sites
from core.kinds.dish_lying import Lying
from core.kinds.dish_off import ACROSS_OFF, BY_PASSES, BY_TARGET, HEIGHT_OFF, ShapeOff, bend_off_mm
from core.kinds.methods import asked_of, instead, ways_of
from core.safesize import format_safe
from core.units import format_angle, format_length
from core.utmost import AtMost

Array = NDArray[np.float64]
STOCK_STRAIN = 1e-4  # per ring: as far as sheet that looks flat may be from it (common practice, no source)
WIDE_MM = 0.5  # that strokes between wide rings may leave without a word
LOBES = (2, 3)
BETWEEN = (0.25, 0.5, 0.75)  # of the way between rings: a sheet that sets to uneven ones bulges nearer to one
# Over the rim's radius, sd of each: of stock as cut, and over the strain of a pass, since work that is meant
# to be even is not quite: by finite elements 20 % of a rim shrunk by 1 % makes 4 mm of an oval, six times
# what even work of that size would; that a pass is uneven by half a per cent is common practice, no source.
LOBED, LOBED_BY_WORK = np.array([1e-3, 5e-4]), np.array([0.04, 0.02])


@dataclass(frozen=True)
class DishPart:
    """A disc with its target.

    blank : the disc, the meridian that it becomes and the way; ways : by method, its own among them;
    rings_mm : (n + 1,) radii on the disc between which the rings lie, rising, first 0 and last the disc's;
    thickness_mm : of the disc; patch_depth_mm : what a stroke covers of a ring's width, at most all of it.
    """

    blank: Blank
    ways: Mapping[str, Way]
    rings_mm: Array
    thickness_of_disc_mm: float
    patch_depth_mm: float
    poisson: float
    templates: ClassVar[tuple[str, ...]] = ("inside", "outside", "layout line")
    sites: Sites = field(init=False)
    length_mm: float = field(init=False)
    target: Array = field(init=False)
    seat_sd: Array = field(init=False)
    seat_bound: Array = field(init=False)
    stock_sd: Array = field(init=False)
    _disc: RingedDisc = field(init=False, repr=False, compare=False)
    _lying: Lying = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        reach = self.patch_depth_mm if self.remembers else 0.0
        disc = RingedDisc(self.blank, self.rings_mm, self.thickness_of_disc_mm, self.poisson, reach)
        edges = self.blank.along_mm(self.rings_mm)
        middle = 0.5 * (self.rings_mm[1:] + self.rings_mm[:-1])
        count, length = len(middle), self.blank.meridian.length_mm
        inward = np.array([self.stops_mm(ring)[-1] for ring in range(count)])
        laid = self.blank.along_mm(middle), np.diff(edges), "ring", 2.0 * pi * middle, inward
        known = {
            "sites": Sites(*laid, strain="hoop strain", between=BETWEEN if self.remembers else (0.5,)),
            "length_mm": length,
            "target": -disc.asked,
            "seat_sd": np.array([0.3 * length]),
            "seat_bound": np.array([inf]),
            "stock_sd": np.full(count, STOCK_STRAIN),
            "_disc": disc,
            "_lying": Lying(disc, LOBES),
        }
        for name, value in known.items():
            object.__setattr__(self, name, value)

    @property
    def line(self) -> TargetLine:
        """The meridian, mirrored about the axis."""
        return self.blank.meridian.line

    @property
    def rim_share(self) -> float:
        """Strokes at the rim over those half-way across the last ring."""
        return self._disc.rim_share

    @cached_property
    def discs_mm(self) -> Mapping[str, float]:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        first = sorted(self.ways.items(), key=lambda method: method[1] != self.blank.way)
        return {name: 2.0 * Blank(self.blank.meridian, way).radius_mm for name, way in first}

    @property
    def kept_ring_mm(self) -> tuple[float, float] | None:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        return self.blank.kept_mm

    @property
    def remembers(self) -> bool:
        """Whether it lies as its passes have set its sheet, one by one: where edge and middle are made by an
        action each, which came when shows. Else it is as its work is."""
        return self.kept_ring_mm is not None

    @property
    def kept_ring(self) -> str:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        if self.kept_ring_mm is None:
            return ""
        along, radius = (format_length(mm, decimals=1) for mm in self.kept_ring_mm)
        return (
            f"radius {radius}, on the disc as on the dish; {along} from the pole along the dish. "
            "Inside it the metal is stretched, outside it shrunk"
        )

    def other_method(self, takes: Mapping[str, float]) -> str:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        asked = asked_of(self.blank.meridian, ways_of(self.blank.meridian, takes))
        return instead(asked, takes, next(iter(self.discs_mm)))

    def worked_by(self, action: str, left: Array) -> NDArray[np.bool_]:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        own, wants = (self.target, left) if action == "shrink" else (-self.target, -left)
        one_does_all = min(own.max(), -own.min()) <= STOCK_STRAIN
        return (wants > 0.0) | (own.max() > -own.min()) if one_does_all else own > 0.0

    def stops_mm(self, site: int) -> Array:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        inner, outer = self.rings_mm[site : site + 2]
        rows = max(1, ceil((outer - inner) / self.patch_depth_mm * (1.0 - 1e-6)))
        middles = self.blank.radius_mm - outer + (np.arange(rows) + 0.5) * (outer - inner) / rows
        return np.asarray(middles + 0.5 * self.patch_depth_mm)

    def linearise(self, x: Array, seat: Array | None = None, at_mm: Array | None = None) -> Linearised:
        """See :class:`core.kinds.base.Part`; seat is how far the dish is shifted outward at its pole (mm).

        Where the dish lies more than 60 degrees across its target the slopes leave out how the direction of
        measuring turns.
        """
        at = self.sites.position_mm if at_mm is None else at_mm
        shift = 0.0 if seat is None else float(seat[0])
        return self._lying.met(x - self.target, shift, at)

    @property
    def as_cut(self) -> DishPart:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        return self._lain(self._lying.cut)

    def struck(self, x: Array, goes_on: bool = False) -> DishPart:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        return self._lain(self._lying.struck(x - self.target, goes_on)) if self.remembers else self

    def _lain(self, lying: Lying) -> DishPart:
        part = self if lying is self._lying else copy(self)
        object.__setattr__(part, "_lying", lying)
        return part

    def work_per_strain(self) -> Array:
        """(n,) a ring that is wider than the tool's patch is deep gets its strain on part of its width."""
        return self.covered()

    def covered(self) -> Array:
        """(n,) of the width of each ring, all round."""
        return np.asarray(np.minimum(1.0, self.patch_depth_mm / np.diff(self.rings_mm)))

    def edge_strain(self, work: Array) -> Array:
        """(n,) the work itself is the strain of the ring."""
        return work

    def asked_strain(self) -> Array:
        """(n,) hoop strain that the target asks for."""
        return self.target

    def thickness_mm(self, strain: Array) -> Array:
        """(n,) by constant volume, with what strokes of each ring strain along the meridian."""
        return np.asarray(self.thickness_of_disc_mm * np.exp((1.0 + self._disc.along) * strain))

    def at_most(self, site: int, strain: float) -> tuple[AtMost, ...]:
        """See :class:`core.kinds.base.Part`; of the sphere that this disc makes."""
        way, share = self.blank.way, float(self.sites.position_mm[site] / self.length_mm)
        radius_mm = tightest_sphere_mm(way, self.blank.radius_mm, strain, share)
        return (
            AtMost("tightest radius of a sphere of such a disc", format_safe(radius_mm, up=True)),
            AtMost("steepest rim of such a sphere", format_angle(steepest_rim_rad(way, strain, share))),
        )

    def cautions(self) -> list[str]:
        """What the whole job does unasked that the operator should know beforehand, as sentences."""
        off, at = self._disc.wide_rings_mm()
        if abs(off) <= WIDE_MM:
            return []
        ring = int(np.searchsorted(self.rings_mm[1:-1], self.blank.flat_mm(at)))
        return [
            f"Strokes that go over evenly from ring to ring leave the dish {format_length(abs(off))} off in "
            f"ring {ring + 1}, so wide are the rings there. Take narrower rings."
        ]

    def side_effects(self, work: Array) -> dict[str, Any]:
        """Worked alike all round, a dish does not bow."""
        return {}

    def other_edge(self) -> OtherEdge | None:
        """It has no other."""
        return None

    @property
    def lobes(self) -> tuple[int, ...]:
        """Oval, and three-lobed; more lobes are stiffer."""
        return LOBES

    @cached_property
    def lobe_sd_mm(self) -> Array:
        """(2,) see :class:`core.kinds.base.ReadOnMeridians`."""
        return LOBED * self.rim_radius_mm

    def lobes_added_mm(self, strain: Array) -> Array:
        """(2,) see :class:`core.kinds.base.ReadOnMeridians`; by the ring that is worked most."""
        return LOBED_BY_WORK * (self.rim_radius_mm * float(np.max(np.abs(strain))))

    def lobes_mm(self, at_mm: Array) -> Array:
        """(r, 2) see :class:`core.kinds.base.ReadOnMeridians`: modes that strain no metal."""
        return self._lying.lobes_mm(at_mm)

    @cached_property
    def bend_off_mm(self) -> Array:
        """(n,) see :class:`core.kinds.base.ReadOnMeridians`."""
        sheet = self.blank.meridian, self.thickness_of_disc_mm
        return bend_off_mm(*sheet, self.sites.position_mm, self.sites.width_mm)

    def shape_off_mm(self, gaps_mm: Array) -> Array:
        """(n,) see :class:`core.kinds.base.ReadOnMeridians`."""
        return self._shape_off.sd_mm(gaps_mm)

    @cached_property
    def _shape_off(self) -> ShapeOff:
        sheet = self.blank.meridian, self.thickness_of_disc_mm
        known = BY_PASSES if self.remembers else BY_TARGET
        return ShapeOff.along(*sheet, self.sites.position_mm, self.bend_off_mm, known)

    def rim_height(self, x: Array) -> tuple[float, Array, float]:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        (_, high), slopes = self._profile(x).rim()
        return float(high), slopes[1], HEIGHT_OFF * self.thickness_of_disc_mm

    @cached_property
    def rim_radius_mm(self) -> float:
        """Of the target."""
        return self.blank.meridian.rim_mm[0]

    def rim_across(self, x: Array) -> tuple[float, Array, float]:
        """See :class:`core.kinds.base.ReadOnMeridians`."""
        (radius, _), slopes = self._profile(x).rim()
        return 2.0 * float(radius), 2.0 * slopes[0], ACROSS_OFF * self.thickness_of_disc_mm

    @cached_property
    def rim_radial(self) -> Array:
        """(2,) see :class:`core.kinds.base.ReadOnMeridians`."""
        return np.array([mode.radial_mm for mode in self._lying.modes])

    @cached_property
    def rim_axial(self) -> Array:
        """(2,) see :class:`core.kinds.base.ReadOnMeridians`."""
        return np.array([mode.axial_mm for mode in self._lying.modes])

    @property
    def worked_depth_mm(self) -> float:
        """From the rim of the disc to its middle."""
        return self.blank.radius_mm

    @property
    def inside_radius_mm(self) -> float:
        """The rim of a disc is the outside of its curve."""
        return inf

    @property
    def inside_angle_rad(self) -> float:
        """Nothing stands beside the edge of a disc."""
        return pi

    def outline(self) -> Array:
        """(m, 2) points of the meridian from the pole to the rim, mm."""
        return self.blank.meridian.points_mm(np.linspace(0.0, self.length_mm, 121))

    def _profile(self, x: Array) -> Profile:
        """The disc with so much work (n,) left; its slopes are by the hoop strain, so by the work left as
        well."""
        return self._lying.profile(x - self.target)
