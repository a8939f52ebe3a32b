"""A flange turned up along the edge of a plate, on arcs, straights or a full circle.

Sites are sectors of the outline. What strokes change is the length of the flange's free edge, and the angle
follows from it by geometry, slowly near 90 degrees and fast near the flat plate. So work is counted in the
strain of the edge, given as an angle: work x of a sector is the strain that its edge still lacks, over what
strain a rad takes at the finished angle. That is the angle still to be turned (rad) to the first order, so
that every stroke does about the same and the last degrees are exact. x > 0 wants shrinking (convex), x < 0
stretching (concave).

The strain is that of the blank as it is cut: an arm as long as the blank goes beyond the outline turns about
the outline (:func:`core.geometry.flange_blank.beyond_outline_mm`). At 90 degrees its edge comes to the
outline, as the finished edge does; at less to within the sheet's thickness of it, unless the bend is wide.

Where the outline is straight, or so wide that the edge would yield before the bend does
(:func:`core.geometry.flange_turning.folding_radius_mm`), no stroke on the edge turns the flange: the tool
folds it about the outline, and x is the angle itself. Folding up belongs to the passes of the arc's own
action, on a straight to those of shrinking (of stretching, where the outline is concave or straight all
along), and folding back to those of the other. On a straight it strains no edge.

The square is slid up to the flange with one leg flat on the plate: no rigid motion of it is left unknown.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import asin
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from core.forming.thickness import thickness_after_mm
from core.geometry.flange_blank import (
    bend_allowance_mm,
    bend_deduction_mm,
    beyond_outline_mm,
)
from core.geometry.flange_outline import FlangeOutline, Sectors, sides_of
from core.geometry.flange_steps import least_beside, steps_rad
from core.geometry.flange_strain import (
    FLAT_RAD,
    angle_of_shortening,
    edge_shortening,
    highest_flange_mm,
    shortening_slope,
    slope_within,
)
from core.geometry.flange_turning import (
    edge_per_strain,
    folding_radius_mm,
    shares_moved,
    spread_mm,
    spread_shares,
)
from core.kinds.base import Linearised, OtherEdge, Sites
from core.safesize import format_safe
from core.utmost import AtMost

Array = NDArray[np.float64]
FOLD_PER_PASS_RAD = float(np.radians(30.0))  # common practice, no source
START_SD_RAD = np.radians(1.5)  # of the angle tipped before the first pass (common practice, no source)
STEP_RAD = 1e-6  # by which a slope is taken
PLACES = 361  # of the outline as drawn


@dataclass(frozen=True)
class Bend:
    """The flange across the outline.

    height_mm : over its outer face; angle_rad : from the plate, finished; start_rad : tipped before the first
    pass; inside_mm : radius of the bend; thickness_mm : of the plate; neutral : K of the bend allowance
    """

    height_mm: float
    angle_rad: float
    start_rad: float
    inside_mm: float
    thickness_mm: float
    neutral: float


@dataclass(frozen=True)
class FlangePart:
    """patch_length_mm, patch_depth_mm : of the tool; fold_per_strain_rad : turn by a stroke of unit strain
    where the tool folds the flange; poisson : of the metal; fold_per_pass_rad : at most, so that the first
    reading teaches before much is folded."""

    curve: FlangeOutline
    sectors: Sectors
    bend: Bend
    patch_length_mm: float
    patch_depth_mm: float
    fold_per_strain_rad: float
    poisson: float
    fold_per_pass_rad: float = FOLD_PER_PASS_RAD
    templates: ClassVar[tuple[str, ...]] = ("square",)

    @cached_property
    def sites(self) -> Sites:
        """The sectors."""
        folds = np.where(self.folded, self.sides, 0.0) if self.folded.any() else None
        at, width = self.sectors.position_mm, self.sectors.width_mm
        return Sites(at, width, "sector", closed=self.curve.closed, folds=folds)

    @property
    def length_mm(self) -> float:
        """Of the outline."""
        return self.curve.length_mm

    @cached_property
    def sides(self) -> Array:
        """(n,) +1 where turning up is done by shrinking, -1 by stretching."""
        return sides_of(self.sectors.curvature_per_mm)

    @cached_property
    def folded(self) -> NDArray[np.bool_]:
        """(n,) where the tool folds the flange because strokes on its edge do not turn it."""
        bend = self.bend
        widest = folding_radius_mm(bend.height_mm, bend.thickness_mm, bend.angle_rad)
        return np.asarray(np.abs(self.sectors.curvature_per_mm) * widest <= 1.0)

    @cached_property
    def _strain_per_rad(self) -> Array:
        """(n,) strain of the edge, unsigned, per unit of work: at the finished angle, or over a fold."""
        curvature, bend = self.sectors.curvature_per_mm, self.bend
        last = shortening_slope(curvature, self.arm_mm, bend.angle_rad)
        whole = edge_shortening(curvature, self.arm_mm, bend.angle_rad) / bend.angle_rad
        return np.asarray(np.abs(np.where(self.folded, whole, last)))

    @cached_property
    def target(self) -> Array:
        """(n,) from the tipped plate to the finished angle."""
        return self.work_at(np.full(len(self.sites), self.bend.start_rad))

    def work_at(self, angles_rad: Array) -> Array:
        """(n,) work left where every sector stands by itself at these angles (n,), as :meth:`angles_rad` has
        them."""
        bend, curvature = self.bend, self.sectors.curvature_per_mm
        ends = np.stack([angles_rad, np.full_like(angles_rad, bend.angle_rad)])
        standing, finished = edge_shortening(curvature, self.arm_mm, ends)
        fold = self.sides * (bend.angle_rad - angles_rad)
        return np.asarray(np.divide(finished - standing, self._strain_per_rad, out=fold, where=~self.folded))

    @property
    def seat_sd(self) -> Array:
        """(0,) the square has no play."""
        return np.zeros(0)

    @property
    def seat_bound(self) -> Array:
        """(0,) the square has no play."""
        return np.zeros(0)

    @cached_property
    def stock_sd(self) -> Array:
        """(n,) of the work, by the angle to which the plate was tipped."""
        return np.asarray(START_SD_RAD / self._turn_per_work(np.full(len(self.sites), self.bend.start_rad)))

    def angles_rad(self, x: Array) -> Array:
        """(n,) angle at which every sector stands by itself with this remaining work (n,)."""
        angle, curvature, strained = self.bend.angle_rad, self.sectors.curvature_per_mm, ~self.folded
        standing = angle - self.sides * x
        of_edge = edge_shortening(curvature, self.arm_mm, angle) - self._strain_per_rad * x
        standing[strained] = angle_of_shortening(curvature[strained], self.arm_mm, of_edge[strained])
        return np.asarray(standing)

    def _turn_per_work(self, angles_rad: Array) -> Array:
        """(n,) rad that a flange at these angles turns by a unit of work, unsigned; 1 once it is finished."""
        slope = np.abs(slope_within(self.sectors.curvature_per_mm, self.arm_mm, angles_rad))
        return np.divide(self._strain_per_rad, slope, out=np.ones(len(angles_rad)), where=~self.folded)

    def linearise(self, x: Array, seat: Array | None = None, at_mm: Array | None = None) -> Linearised:
        """See :class:`core.kinds.base.Part`; gap at the tip, height times the sine of what the angle lacks;
        a sector takes its neighbours along as far as its twist gives as it stands: the flatter, the
        farther."""
        at = self.sites.position_mm if at_mm is None else at_mm
        angles, height = self.angles_rad(x), self.bend.height_mm
        own, turned = self.bend.angle_rad - angles, self.sides * self._turn_per_work(angles)
        shares, moved = self._shares(at, angles, own)
        lacks = np.clip(shares @ own, -0.5 * np.pi, 0.5 * np.pi)
        slopes = height * np.cos(lacks)[:, None] * (shares - moved) * turned
        return Linearised(height * np.sin(lacks), slopes, np.zeros((len(at), 0)))

    def apart_rad(self, takes: float) -> float:
        """See :class:`core.kinds.base.TurnedEdge`; the least between sectors that wait for one another."""
        waits = self.sides != np.roll(self.sides, -1)
        return float(np.min(self._steps_rad(takes), where=waits, initial=np.inf))

    def _steps_rad(self, takes: float) -> Array:
        return steps_rad(self.sites.width_mm, self.bend.height_mm, takes, self.curve.closed)

    def ahead(self, x: Array, sign: float, takes: float) -> Array:
        """See :class:`core.kinds.base.TurnedEdge`."""
        steps = self._steps_rad(takes)
        least, last = least_beside(self.angles_rad(x), self.sides, steps), self.bend.angle_rad
        may = np.maximum(self.sides * (x - self.work_at(np.minimum(least, last))), 0.0)
        return np.where((self.sides == sign) & (least < last), may, np.inf)

    def tip_gap_mm(self, angle_rad: float) -> float:
        """See :class:`core.kinds.base.TurnedEdge`."""
        lacks = np.clip(self.bend.angle_rad - angle_rad, -0.5 * np.pi, 0.5 * np.pi)
        return float(self.bend.height_mm * np.sin(lacks))

    def tip_angle_rad(self, gap_mm: float) -> float:
        """See :class:`core.kinds.base.TurnedEdge`."""
        return self.bend.angle_rad - asin(min(max(gap_mm / self.bend.height_mm, -1.0), 1.0))

    def _shares(self, at_mm: Array, angles_rad: Array, turns: Array) -> tuple[Array, Array]:
        """(r, n) of every sector's turn at these places, where they stand at these angles (n,); and what the
        turns (n,) then add up to loses with every rad of an angle, by which the spread grows less."""
        ends, closed = self.sectors.ends_mm, self.curve.closed
        less, spread, more = (self._spread_mm(angles_rad + by) for by in (-STEP_RAD, 0.0, STEP_RAD))
        moved = shares_moved(at_mm, ends, spread, closed, turns) * ((more - less) / (2.0 * STEP_RAD))
        return spread_shares(at_mm, ends, spread, closed), moved

    def _spread_mm(self, angles_rad: Array) -> Array:
        """(n,) over which a turn dies away beside each sector, where they stand at these angles (n,)."""
        bend = self.bend
        arc = float(bend_allowance_mm(bend.angle_rad, bend.inside_mm, bend.thickness_mm, bend.neutral))
        return spread_mm(
            self.sectors.curvature_per_mm,
            bend.height_mm,
            bend.thickness_mm,
            np.clip(angles_rad, FLAT_RAD, 0.5 * np.pi),
            arc,
            self.poisson,
        )

    def work_per_strain(self) -> Array:
        """(n,) rad per unit of strain in one stroke, spread over its sector."""
        edge = edge_per_strain(self.patch_depth_mm, self.arm_mm)
        fold = np.full(len(self.sites), self.fold_per_strain_rad)
        turned = np.divide(edge, self._strain_per_rad, out=fold, where=~self.folded)
        return np.asarray(turned * self.covered())

    def covered(self) -> Array:
        """(n,) of the length of each sector."""
        return np.asarray(self.patch_length_mm / self.sites.width_mm)

    def edge_strain(self, work: Array) -> Array:
        """(n,) strain of the free edge; it goes with the work in proportion, not with the angle."""
        return np.asarray(work * self._strain_per_rad)

    def asked_strain(self) -> Array:
        """(n,) from the flat plate to the finished angle."""
        return edge_shortening(self.sectors.curvature_per_mm, self.arm_mm, self.bend.angle_rad)

    def thickness_mm(self, strain: Array) -> Array:
        """(n,) by constant volume, as a free edge."""
        return thickness_after_mm(self.bend.thickness_mm, strain)

    def at_most(self, site: int, strain: float) -> tuple[AtMost, ...]:
        """See :class:`core.kinds.base.Part`; the strain goes by the arm over the radius."""
        curvature = self.sectors.curvature_per_mm[site]
        bend, arm = self.bend, float(highest_flange_mm(curvature, self.bend.angle_rad, strain))
        deducted = bend_deduction_mm(bend.angle_rad, bend.inside_mm, bend.thickness_mm, bend.neutral)
        height = arm + float(deducted)
        radius = self.arm_mm / arm / abs(float(curvature))
        return (
            AtMost("highest flange of this outline", format_safe(height, up=False)),
            AtMost("least radius of an outline with this flange", format_safe(radius, up=True)),
        )

    def side_effects(self, work: Array) -> dict[str, Any]:
        """See :class:`core.kinds.base.Part`; the plate's own bow is not reckoned."""
        return {}

    def other_edge(self) -> OtherEdge | None:
        """See :class:`core.kinds.base.Part`."""
        return None

    @property
    def worked_depth_mm(self) -> float:
        """From the free edge to the plate, along the flange."""
        return self.bend.height_mm

    @property
    def inside_radius_mm(self) -> float:
        """Of the tightest arc of the outline: one jaw lies in the hollow that the flange makes there."""
        tightest = float(np.max(np.abs(self.sectors.curvature_per_mm)))
        return 1.0 / tightest if tightest > 0.0 else np.inf

    @property
    def inside_angle_rad(self) -> float:
        """Between flange and plate; it closes as the flange is turned up."""
        return np.pi - self.bend.angle_rad

    def outline(self) -> Array:
        """(PLACES, 2) seen from above."""
        return self.curve.points_mm(PLACES)

    @cached_property
    def arm_mm(self) -> float:
        """How far the flat blank goes beyond the outline, about which its edge turns."""
        bend = self.bend
        return beyond_outline_mm(
            bend.height_mm, bend.angle_rad, bend.inside_mm, bend.thickness_mm, bend.neutral
        )
