"""A section bar curved in the plane of its worked flange.

Work at a station is a kink (rad): the heading change across the station's zone that the target asks
for and the bar does not have yet. A section that twists under its strokes (a Z, a channel worked on
one flange) moves its heel line by more than the hinge; the work asked for allows for that.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any, ClassVar

import numpy as np
from numpy.typing import NDArray

from core.forming.thickness import thickness_after_mm
from core.geometry.bar import BarGeometry
from core.geometry.edge_strain import BentEdge
from core.geometry.heel import HeelMovement, beam_movement, middle_over_ends
from core.geometry.line import TargetLine
from core.geometry.section import Section
from core.geometry.segments import from_segments
from core.geometry.stroke import StrokeEffect, end_loss
from core.kinds.base import Linearised, OtherEdge, Sites
from core.safesize import format_safe
from core.utmost import AtMost

Array = NDArray[np.float64]
MARKS_MM = 2.0  # the template is laid to marks: it slides along the bar by no more (common practice)
SPREAD = 0.65  # of the flange width, that a kink spreads over (finite elements: 10 to 90 % in 0.4 to 0.6)
PASSES = 3.0  # over which the strokes of a station are divided, about
LINEAR_TWIST_RAD = 0.2  # the worked flange then leans 11 degrees; small rotations end about there
PLACES, CLOSELY = 33, 1001  # along the bar: where bow and twist, and where the tightest curve, are looked for
STOCK_KINK_RAD = 2e-4  # per station: bought bar is straight to about 1 mm in a metre (common practice)
UNTWISTED = "Worked on both flanges in turn it would not turn: do that where the job allows it."
WATCHED = "Work a little at a time and look at the twist after each pass."
END_UNSURE = 0.12  # of what a stroke loses near an end: two sections alone say how much (common practice)


@dataclass(frozen=True)
class SectionPart:
    """A bar of one cross-section with its target line.

    line : target; section : cross-section; effect : what one stroke of unit strain does to it;
    stations_mm : (n,) along the worked edge; patch_length_mm, strain_per_stroke : of the tool;
    beyond : what a stroke does to the section on its other flange, None where the tool finds none.
    """

    line: TargetLine
    section: Section
    effect: StrokeEffect
    stations_mm: Array
    patch_length_mm: float
    strain_per_stroke: float
    beyond: StrokeEffect | None = None
    templates: ClassVar[tuple[str, ...]] = ("inside", "outside", "layout line", "sweep")
    sites: Sites = field(init=False)
    length_mm: float = field(init=False)
    target: Array = field(init=False)
    seat_sd: Array = field(init=False)
    seat_bound: Array = field(init=False)
    stock_sd: Array = field(init=False)
    _bar: BarGeometry = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        between = 0.5 * (self.stations_mm[1:] + self.stations_mm[:-1])
        edges = np.concatenate([[0.0], between, [self.line.length_mm]])
        headings = np.diff(self.line.heading_rad(edges))
        reach = self._reach_mm(np.diff(edges), headings)
        kinks = self.stations_mm[:, None] + reach[:, None] * np.array([-0.5, 0.5])
        known = {
            "sites": Sites(self.stations_mm, np.diff(edges)),
            "length_mm": self.line.length_mm,
            "seat_sd": np.array([0.3 * self.line.length_mm, 0.3, 0.6 * MARKS_MM]),
            "seat_bound": np.array([np.inf, np.inf, MARKS_MM]),
            "stock_sd": np.full(len(self.stations_mm), STOCK_KINK_RAD),
            "_bar": BarGeometry(self.line, np.clip(kinks, 0.0, self.line.length_mm)),
        }
        for name, value in known.items():
            object.__setattr__(self, name, value)
        object.__setattr__(self, "target", self._work_asked(headings))

    def _reach_mm(self, zone_mm: Array, headings: Array) -> Array:
        """(n,) length over which a station's kink is spread: as far as one stroke bends the bar, and the
        strokes that the target asks for follow one another along the zone as the bar is fed."""
        one = self.effect.kink_per_strain_rad * self.strain_per_stroke
        strokes = np.maximum(np.abs(headings) / one, PASSES)
        along = zone_mm * (1.0 - PASSES / strokes)
        return np.minimum(zone_mm, np.hypot(SPREAD * self.section.flange_mm, along))

    def linearise(self, x: Array, seat: Array | None = None, at_mm: Array | None = None) -> Linearised:
        """See :class:`core.kinds.base.Part`; seat is shift (mm), tilt (rad), slide (mm)."""
        at = self.stations_mm if at_mm is None else at_mm
        rigid = np.zeros(len(self.seat_sd)) if seat is None else seat
        return self._worked(self.target - x, rigid, at)

    def sagitta(self, x: Array, at_mm: Array, chord_mm: float) -> tuple[Array, Array]:
        """See :class:`core.kinds.base.Part`; the chord is laid along the worked edge."""
        done = self.target - x
        reading, slopes = self._bar.sagitta(done, at_mm, chord_mm)
        if self.effect.warping is None:
            return reading, slopes
        half = 0.5 * chord_mm
        heel = self._heel_motion(at_mm)
        ends = 0.5 * (self._heel_motion(at_mm - half) + self._heel_motion(at_mm + half))
        return reading - (ends - heel) @ done, slopes + ends - heel

    def work_per_strain(self) -> Array:
        """(n,) rad of kink per unit of strain in one stroke; less near the ends."""
        return self._work_per_strain

    @cached_property
    def _work_per_strain(self) -> Array:
        to_end = np.minimum(self.stations_mm, self.line.length_mm - self.stations_mm)
        work: Array = self.effect.kink_per_strain_rad * end_loss(to_end, self.section.flange_mm)
        work.flags.writeable = False
        return work

    def covered(self) -> Array:
        """(n,) of the length of each zone."""
        return np.asarray(self.patch_length_mm / self.sites.width_mm)

    def edge_strain(self, work: Array) -> Array:
        """(n,) natural strain of the worked edge, averaged over each zone; > 0 is shortening."""
        return work * self._strain_per_work

    @cached_property
    def _strain_per_work(self) -> Array:
        even = self._edge.per_kink(self.target, self.sites.width_mm)  # near an end it is strained no less
        return even * self.effect.kink_per_strain_rad / self.work_per_strain()

    @property
    def _edge(self) -> BentEdge:
        return BentEdge(self.section.flange_mm, self.effect.heel_mm)

    def ends_unsure(self) -> Array:
        """See :class:`core.kinds.base.FreeEnds`; fades out from one flange width to two: what is wrong at an
        end is taken for work of the stations beside it."""
        to_end = np.minimum(self.stations_mm, self.line.length_mm - self.stations_mm)
        return np.asarray(END_UNSURE * np.clip(2.0 - to_end / self.section.flange_mm, 0.0, 1.0))

    def asked_strain(self) -> Array:
        """(n,) as the curve asks for; that a stroke bends less near an end strains nothing more there."""
        return self._edge.strain(self.target / self.sites.width_mm)

    def thickness_mm(self, strain: Array) -> Array:
        """(n,) by constant volume: what the edge loses in length it gains in thickness and in width alike."""
        return thickness_after_mm(self.section.thickness_mm, strain)

    def at_most(self, site: int, strain: float) -> tuple[AtMost, ...]:
        """See :class:`core.kinds.base.Part`; the same radius wherever it curves the same way."""
        sharpest = self._edge.sharpest_per_mm(float(np.copysign(strain, self.target[site])))
        return (AtMost("tightest radius", format_safe(1.0 / abs(sharpest), up=True)),)

    def side_effects(self, work: Array) -> dict[str, Any]:
        """See :class:`core.kinds.base.Part`; of the heel line, > 0 towards +z, by bending and twisting
        together. Both as the elastic balance and linear torsion give them."""
        strain = work / self.work_per_strain()
        twist = self._moved.twist_rad @ strain
        return {
            "bow_mm": float(middle_over_ends(self._moved.out_of_plane_mm) @ strain),
            "twist_along_rad": twist,
            "twist_rad": float(np.ptp(twist)),
            "sides": self._sides(),
        }

    def other_edge(self) -> OtherEdge | None:
        """See :class:`core.kinds.base.Part`."""
        return self._other_edge

    @cached_property
    def _other_edge(self) -> OtherEdge | None:
        other = self.section.other
        if self.beyond is None or other is None:
            return None
        moved = self._moved_by(self.beyond)
        bow, inward = middle_over_ends(moved.out_of_plane_mm), middle_over_ends(moved.in_plane_mm)
        upright = other.rectangle.free_edge == "z1"
        as_work = self._as_work(self.beyond, other.width_mm)
        return OtherEdge(other.name, upright, bow, -inward, moved.twist_rad, as_work)

    def _as_work(self, effect: StrokeEffect, flange_mm: float) -> Array:
        """(n, n) work that moves the bar in the plane as this stroke of unit strain does on a flange so wide.

        Its kink is work as it is; how its twist moves the heel line beyond what the twist of as much work on
        the worked edge would, is put into work that leaves the same at the stations of the target.
        """
        to_end = np.minimum(self.stations_mm, self.line.length_mm - self.stations_mm)
        kinks = np.diag(effect.kink_per_strain_rad * end_loss(to_end, flange_mm))
        if effect.warping is None:
            return kinks
        at = self.stations_mm
        twists = effect.warping.twist_per_strain(at, at, self.line.length_mm)
        beyond = effect.warping.heel_lever_mm * twists - self._heel_motion(at) @ kinks
        now = self._worked(self.target, np.zeros(len(self.seat_sd)), at)
        return kinks + self._left_by(now, beyond, np.zeros_like(beyond))

    def _sides(self) -> tuple[str, str]:
        """Where the middle stands out to, for a bow > 0 and < 0."""
        if self.section.other is None:
            left = "with the worked edge on your left"
            return f"upwards, {left}", f"downwards, {left}"
        return f"towards the {self.section.other.name}", f"away from the {self.section.other.name}"

    @cached_property
    def _moved(self) -> HeelMovement:
        return self._moved_by(self.effect)

    def _moved_by(self, effect: StrokeEffect) -> HeelMovement:
        """At even places along the bar, both ends and the middle among them."""
        along = np.linspace(0.0, self.line.length_mm, PLACES)
        return beam_movement(effect, along, self.stations_mm, self.line.length_mm, self.patch_length_mm)

    def cautions(self) -> list[str]:
        """What the whole job does unasked that the operator should know beforehand, as sentences."""
        twist = self.side_effects(self.target)["twist_rad"]
        if twist <= LINEAR_TWIST_RAD:
            return []
        return [
            f"Worked on one flange, this {self.section.shape} turns about its length by some "
            f"{np.degrees(twist):.0f}\N{DEGREE SIGN} ({twist:.2f} rad) over the whole job; twist is reckoned "
            f"well only to about {LINEAR_TWIST_RAD:g} rad, so expect gaps that differ from those foretold. "
            + (UNTWISTED if self.section.shape == "channel" else WATCHED)
        ]

    def heading_rad(self, at_mm: Array) -> Array:
        """(r,) of the target line."""
        return self.line.heading_rad(at_mm)

    @property
    def clear_mm(self) -> float:
        """Two widths of the worked flange: one is nearly enough by finite elements."""
        return 2.0 * self.section.flange_mm

    @property
    def worked_depth_mm(self) -> float:
        """Width of the worked flange."""
        return self.section.flange_mm

    @cached_property
    def inside_radius_mm(self) -> float:
        """The line is that of the heel; the worked edge lies a flange nearer to the centre."""
        along = np.linspace(0.0, self.line.length_mm, CLOSELY)
        tightest = float(np.max(self.line.curvature_per_mm(along)))
        return 1.0 / tightest - self.section.flange_mm if tightest > 0.0 else float("inf")

    @property
    def inside_angle_rad(self) -> float:
        """Walls stand square to each other; nothing stands beside a flat bar."""
        return np.pi / 2 if len(self.section.rectangles) > 1 else np.pi

    def offcut(self, length_mm: float, at_mm: Array) -> SectionPart:
        """See :class:`core.kinds.base.Part`."""
        return replace(self, line=from_segments([(length_mm, None)]), stations_mm=at_mm)

    def outline(self) -> Array:
        """(m, 2) points of the target line, mm."""
        return self.line.point_mm(np.linspace(0.0, self.line.length_mm, 121))

    def _twists(self, at: Array) -> Array:
        """(r, n) twist at points of the target by a stroke of unit strain at each station, rad."""
        warping = self.effect.warping
        if warping is None:
            return np.zeros((len(at), len(self.stations_mm)))
        return warping.twist_per_strain(at, self.stations_mm, self.line.length_mm)

    def _heel_motion(self, at: Array) -> Array:
        """(r, n) inward motion of the heel line by twisting, mm per unit of work."""
        warping = self.effect.warping
        lever = 0.0 if warping is None else warping.heel_lever_mm
        return self._twists(at) * (lever / self.effect.kink_per_strain_rad)

    def _worked(self, done: Array, seat: Array, at: Array) -> Linearised:
        """The straight stock after this work: hinges turn it, and twisting moves its heel line."""
        deviation, influence, seating = self._bar.linearise(done, seat, at)
        if self.effect.warping is None:
            return Linearised(deviation, influence, seating)
        heel = self._heel_motion(at)
        return Linearised(deviation - heel @ done, influence + heel, seating)

    def _work_asked(self, headings: Array) -> Array:
        """(n,) work that brings the bar to its target: the headings, or less where it twists along."""
        if self.effect.warping is None:
            return headings
        asked = headings.copy()
        for _ in range(4):
            now = self._worked(asked, np.zeros(len(self.seat_sd)), self.stations_mm)
            asked = asked + self._left_by(now, now.deviation_mm, asked)
        return asked

    def _left_by(self, now: Linearised, deviation_mm: Array, so_far: Array) -> Array:
        """(n, ...) work that takes these deviations (n, ...) away, however the bar is seated, and keeps what
        is done so far (n, ...) smooth."""
        even = 1e-2 * np.diff(np.eye(len(so_far)), 2, axis=0) * self.line.length_mm
        q, _ = np.linalg.qr(now.seating)
        off = deviation_mm - q @ (q.T @ deviation_mm)
        slope = now.influence - q @ (q.T @ now.influence)
        right = np.concatenate([off, -even @ so_far])
        return np.asarray(np.linalg.lstsq(np.vstack([slope, even]), right, rcond=None)[0])
