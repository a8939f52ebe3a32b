"""A disc that answers strokes and can be measured.

It knows nothing of the estimator. The sheet is the shell of :mod:`core.geometry.revolved_shell`, but its
metal is its own: strokes lie where they were put and each reaches as far as the tool's patch, each pass sets
the sheet to a good part of the curvature that it has just then, and the disc is not quite flat to begin with.
Strokes are not quite even round the rings, which makes it lobed (:mod:`core.simulate.lobes`). Not simulated:
a rim that wrinkles, counts that go over from ring to ring otherwise than they should.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from core.geometry.disc_to_dish import drawn
from core.geometry.meridian import Meridian
from core.geometry.revolved_shell import RevolvedShell, Strain
from core.jobtypes import Tool
from core.readings.gauges import GAUGES, Gauge
from core.readings.templates import INSIDE, Template
from core.simulate import metal
from core.simulate.lobes import Lobes, laid_over
from core.simulate.reading import COARSE, read_off, whole_round
from core.simulate.section import Section
from core.simulate.truth import Truth

Array = NDArray[np.float64]
CELLS = 140
FINE = 10  # places to a cell where strokes are laid out
ROUND_DEG = 15.0  # between meridians where the widest gap is looked for
LITTLE = 0.005  # strain by which the sheet is followed
SETS = 0.5  # share of the bending left that a pass of many strokes sets (common practice, no source)


@dataclass(frozen=True)
class Disc:
    """The disc on the bench, as plain numbers.

    line : the meridian that it shall become; along : (n,) strain that a stroke in each ring makes along the
    meridian, over that round the hoop; rings_mm : (n + 1,) radii on the disc between rings; rim_share :
    strokes at the rim over those half-way across the last ring, as whoever works it is told; places_mm : (n,)
    where gaps are read, along the meridian; tools : by action
    """

    line: Meridian
    along: Array
    rings_mm: Array
    rim_share: float
    places_mm: Array
    thickness_mm: float
    poisson: float
    tools: Mapping[str, Tool]
    template: Template = INSIDE
    gauge: Gauge = GAUGES["steel rule"]


class SimulatedDish:
    """One disc. Same disc, truth, seed and calls: same answers. lobes : what is not even all round"""

    def __init__(self, disc: Disc, truth: Truth, seed: int) -> None:
        self.disc, self.truth = disc, truth
        # Apart, so that the metal answers the same however often it is measured.
        self._metal_rng, self._reading_rng, round_it = np.random.default_rng(seed).spawn(3)
        self.lobes = Lobes(disc.line, truth, round_it)
        rho = np.linspace(0.0, disc.rings_mm[-1], CELLS + 1)
        self._middles, cell = 0.5 * (rho[1:] + rho[:-1]), rho[1]
        self._flat = np.column_stack([rho, np.zeros_like(rho)])
        self._ring_mm = 0.5 * (disc.rings_mm[1:] + disc.rings_mm[:-1])
        bend = np.abs(truth.stock_curvature(self._middles)) + 1e-6
        self._set = np.cumsum(bend) * cell  # hollow up
        slope = np.column_stack([np.cos(self._set), np.sin(self._set)])
        self._nodes = np.vstack([np.zeros((1, 2)), np.cumsum(slope * cell, axis=0)])
        self._share = self._ring_mm / disc.rings_mm[-1]
        self._metal = Strain(np.zeros(CELLS), np.zeros(CELLS))
        self._strain = np.zeros(len(self._ring_mm))
        self._work = np.zeros(len(self._ring_mm))
        self._uneven = np.exp(truth.unevenness(self._ring_mm))
        self._seat: tuple[Template, float, float] | None = None

    def work(self, action: str, bite: str, strokes: Sequence[int]) -> None:
        """Run one pass: whole strokes on every spot of every ring. Raises InputError for counts that do not
        fit, KeyError for an action or a bite that the tool does not have."""
        m = metal.counted(strokes, len(self._ring_mm))
        done = self._sums(m, action) * metal.beside_worked(m, self.truth.neighbour_loss)
        strain = metal.SIGNS[action] * self.first_stroke(action, bite) * done
        self._shorten(strain, action)
        self.lobes.worked(strain, self._share)

    def strike_arcs(self, action: str, bite: str, lobes: int, at_deg: float, strokes: int) -> None:
        """Strokes on every spot of as many arcs of the rim as there are lobes, half of it in all, the middle
        of one at this angle; errors as in :meth:`work`."""
        m = np.zeros(len(self._ring_mm))
        m[-1] = metal.counted([strokes], 1)[0]
        strain = metal.SIGNS[action] * self.first_stroke(action, bite) * self._sums(m, action)
        self._shorten(0.5 * strain, action)
        self.lobes.struck(float(strain[-1]), self._share, lobes, float(np.radians(at_deg)))

    def smooth(self, bite: str, strokes: Sequence[int], action: str = "shrink") -> None:
        """Light strokes over the faces: a little work of either sign, errors as in :meth:`work`.

        action : whose tool it is done with
        """
        truth, rng = self.truth, self._metal_rng
        m = metal.counted(strokes, len(self._ring_mm))
        share = truth.smoothing * rng.normal(size=len(m)) + truth.smoothing_alike * rng.normal()
        self._shorten(self.first_stroke(action, bite) * self._sums(m, action) * share, action)

    def _sums(self, m: Array, action: str) -> Array:
        """(n,) work of m strokes on every spot against one; all round a ring their scatter nearly cancels."""
        spots = float(self._spots(action).mean())
        even = replace(self.truth, scatter=self.truth.scatter / spots**0.5)
        return metal.drawn_sums(m, even, self._metal_rng)

    def _spots(self, action: str) -> Array:
        """(n,) spots side by side round each ring."""
        return np.maximum(2.0 * np.pi * self._ring_mm / self.disc.tools[action].patch_length_mm, 1.0)

    def anneal(self) -> None:
        """Soften the disc: what earlier strokes have hardened is as new; its shape stays."""
        self._strain = np.zeros_like(self._strain)

    def first_stroke(self, action: str, bite: str) -> Array:
        """(n,) true hoop strain, now, of a ring by one stroke on every spot of it, without its scatter."""
        tool, truth = self.disc.tools[action], self.truth
        strength = truth.bite_work(bite, tool.bites[bite]) * tool.strain_per_stroke
        covered = np.minimum(tool.patch_depth_mm / np.diff(self.disc.rings_mm), 1.0)
        softness = 1.0 / (1.0 + self._strain / truth.hardening_strain)
        return covered * strength * truth.common * truth.action[action] * self._uneven * softness

    def work_done(self) -> Array:
        """(n,) hoop strain put in so far by strokes in each ring, shrinking positive."""
        return self._work.copy()

    def gaps(
        self,
        template: Template | None = None,
        gauge: Gauge | None = None,
        reseat: bool = True,
        at_deg: float = 0.0,
    ) -> list[float | str | None]:
        """One reading a ring, along one meridian, as an operator gives it: see ``SimulatedBar.gaps``."""
        template = template or self.disc.template
        true = self._offer(template, reseat, float(np.radians(at_deg)))
        return read_off(true, gauge or self.disc.gauge, template.rigid, self._reading_rng)

    def gaps_by_any_gauge(
        self, template: Template | None = None, reseat: bool = True, at_deg: float = 0.0
    ) -> tuple[list[float | str | None], list[str | None]]:
        """A whole round as it is really taken: the job's gauge, and the steel rule where that ends."""
        fine = self.gaps(template, reseat=reseat, at_deg=at_deg)
        return whole_round(fine, self.gaps(template, GAUGES[COARSE], reseat=False, at_deg=at_deg))

    def diameters(self, at_deg: Sequence[float], gauge: Gauge | None = None) -> list[float]:
        """Of the rim, mm, across at these angles, as read with a steel rule or this gauge."""
        true = 2.0 * self._nodes[-1, 0] + self.lobes.diameters_mm(np.radians(at_deg))
        return self._felt(true, gauge or GAUGES[COARSE])

    def heights(self, at_deg: Sequence[float], gauge: Gauge | None = None) -> list[float]:
        """Of the rim over the middle, mm, under a straight-edge across at these angles, read so too."""
        true = self._nodes[-1, 1] - self._nodes[0, 1] + self.lobes.heights_mm(np.radians(at_deg))
        return self._felt(true, gauge or GAUGES[COARSE])

    def _felt(self, true_mm: Array, gauge: Gauge) -> list[float]:
        felt = true_mm + gauge.repeatability_mm * self._reading_rng.normal(size=len(true_mm))
        return [round(float(np.round(each / gauge.step_mm) * gauge.step_mm), 10) for each in felt]

    def widest_gap_mm(self, template: Template | None = None, at_deg: Sequence[float] | None = None) -> float:
        """True widest gap against the meridian as drawn, under the best seating, first ring to last.

        at_deg : meridians that it is looked at; all round, every 15 degrees, where none are given
        """
        angles = np.arange(0.0, 360.0, ROUND_DEG) if at_deg is None else np.asarray(at_deg, dtype=float)
        angles = angles if np.any(self.lobes.high_mm) else angles[:1]
        return max(self._widest_mm(template or self.disc.template, float(a)) for a in np.radians(angles))

    def _widest_mm(self, template: Template, at_rad: float) -> float:
        section = self._section(at_rad)
        return float(np.max(np.abs(section.away(section.along(), section.rest(template)))))

    def _section(self, at_rad: float | None) -> Section:
        """On one meridian; None: what is even all round."""
        nodes = self._nodes
        if at_rad is not None and np.any(self.lobes.high_mm):
            nodes = laid_over(nodes, self.lobes.outward_mm(np.linspace(0.0, 1.0, len(nodes)), at_rad))
        return Section(self.disc.line, self.disc.places_mm, nodes)

    def true_deviation_mm(self) -> Array:
        """(n,) true outward deviation at the rings under the best seating of the disc's own template, of
        what is even all round; NaN where the disc lies too aslant to be measured."""
        section = self._section(None)
        away, held = section.met(self.disc.places_mm, section.rest(self.disc.template))
        return np.where(held, away, np.nan)

    def points_mm(self) -> Array:
        """(m, 2) true points of the disc's section from its pole, r and z."""
        return self._nodes.copy()

    def _shorten(self, work: Array, action: str) -> None:
        """Put this hoop strain (n,) into the rings, > 0 shorter, and let the sheet find its shape and set to
        it."""
        off = self.truth.placement_mm * self._metal_rng.normal(size=len(work)) / np.sqrt(self._spots(action))
        depth = self.disc.tools[action].patch_depth_mm
        hoop, along = (self._laid_out(each, off, depth) for each in (work, self.disc.along * work))
        self._follow(-hoop, -along)
        self._work = self._work + work
        self._strain = self._strain + np.abs(work)
        self._seat = None

    def _laid_out(self, work: Array, off_mm: Array, depth_mm: float) -> Array:
        """(m,) where this work (n,) comes to lie in the metal: fed over evenly from the middle of one ring,
        off its mark by so much, to that of the next, and to its share at the rim. A patch reaches half its
        depth to either side, at the rim over the edge.
        """
        knots, rim = self._ring_mm + off_mm, float(self.disc.rings_mm[-1])
        fine = np.linspace(0.0, rim, FINE * CELLS + 1)
        lies = np.interp(fine, [*knots, rim], [*work, self.disc.rim_share * work[-1]])
        summed = np.concatenate([[0.0], np.cumsum(0.5 * (lies[1:] + lies[:-1]) * fine[1])])
        ends = np.clip(self._middles[:, None] + 0.5 * np.array([-depth_mm, depth_mm]), 0.0, rim)
        return np.asarray(np.diff(np.interp(ends, fine, summed), axis=1)[:, 0] / np.diff(ends, axis=1)[:, 0])

    def _follow(self, more: Array, along: Array) -> None:
        """Let the metal (m,) strain by so much more round the hoop and along the meridian, little by little
        as strokes do it, and the sheet go along: it snaps to another shape only where the one it has holds no
        longer. From flat, hollow up. The more of it flowed, the more the sheet sets to its shape.
        """
        shell = RevolvedShell(self._flat, self.disc.thickness_mm, self.disc.poisson, self._set)
        parts = int(np.ceil(np.max(np.abs(more)) / LITTLE)) or 1
        for _ in range(parts):
            self._metal = Strain(self._metal.hoop + more / parts, self._metal.meridian + along / parts)
            begun = bool(self._strain.any())
            at = shell.equilibrium(self._nodes, self._metal) if begun else drawn(shell, self._metal)
            self._nodes = at.nodes_mm
        steps = np.diff(self._nodes, axis=0)
        flowed = SETS * (1.0 - np.exp(-np.max(np.abs(more)) / LITTLE))
        self._set = self._set + flowed * (np.arctan2(steps[:, 1], steps[:, 0]) - self._set)

    def _offer(self, template: Template, reseat: bool, at_rad: float) -> Array:
        """(n,) true gaps as the template lies now; NaN where there is nothing to read."""
        section = self._section(at_rad)
        if reseat or self._seat is None or self._seat[:2] != (template, at_rad):
            shift = section.rest(template, self.truth.template_error(section.along()))
            if not template.rigid:
                shift += self.truth.seat_mm * float(self._reading_rng.normal())
            self._seat = (template, at_rad, shift)
        at = self.disc.places_mm
        away, held = section.met(at, self._seat[2])
        return np.where(held, template.sign * (away - self.truth.template_error(at)), np.nan)
