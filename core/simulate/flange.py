"""A flange that answers strokes and can be measured; geometry and metal are its own.

Along a fine row of places every stroke adds to the strain of the free edge, and the turn that goes with it is
summed up in small steps, less the spring-back. The strip then settles where hoop stress, the bend as it was
set and twist balance (finite differences). Not simulated: the plate's own bow, folds in the edge, and gross
misreadings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.jobtypes import Tool
from core.readings.gauges import GAUGES, Gauge
from core.simulate import metal
from core.simulate.reading import read_off
from core.simulate.truth import Truth, Wander

Array = NDArray[np.float64]
CELL_MM = 5.0
STEPS = 50  # in which the turn of a pass is summed up
FLATTEST_RAD = np.radians(2.0)  # a flatter flange would turn by any amount
START_SD_RAD, START_WAVE_MM = np.radians(1.0), 150.0  # of the angle tipped by hand, wavy along the outline
SPRING_BACK = (0.02, 0.08)  # share of the turn of a pass that is lost once the tool lets go


@dataclass(frozen=True)
class Pressed:
    """How one action strikes the edge.

    edge_per_strain : strain of the free edge by a patch of unit strain all along; fold_per_strain_rad : where
    the tool folds
    """

    tool: Tool
    edge_per_strain: float
    fold_per_strain_rad: float


@dataclass(frozen=True)
class Edge:
    """The plate on the bench, as plain numbers.

    ends_mm : (n, 2) of each sector; curvature_per_mm : (n,) > 0 convex; folded : (n,) where the tool folds;
    sides : (n,) +1 where shrinking turns up; closed : comes back to its start; height_mm : over the outer
    face; arm_mm : of the blank beyond the outline; arc_mm : length of the bend;
    pressed : by action, how its tool strikes
    """

    ends_mm: Array
    curvature_per_mm: Array
    folded: NDArray[np.bool_]
    sides: Array
    closed: bool
    height_mm: float
    arm_mm: float
    thickness_mm: float
    arc_mm: float
    angle_rad: float
    start_rad: float
    poisson: float
    pressed: Mapping[str, Pressed]
    gauge: Gauge


class SimulatedFlange:
    """One flange. Same edge, truth, seed and calls: same answers."""

    def __init__(self, edge: Edge, truth: Truth, seed: int) -> None:
        self.edge, self.truth = edge, truth
        self._metal_rng, self._reading_rng = np.random.default_rng(seed).spawn(2)
        width = edge.ends_mm[:, 1] - edge.ends_mm[:, 0]
        counts = np.maximum(np.ceil(width / CELL_MM).astype(int), 2)
        self._of = np.repeat(np.arange(len(width)), counts)
        self._cell = width[self._of] / counts[self._of]
        self._at = np.cumsum(self._cell) - 0.5 * self._cell
        middle = edge.ends_mm.mean(axis=1)
        self._width = width
        tipped = Wander.draw(self._metal_rng, START_SD_RAD, START_WAVE_MM)
        self._free = edge.start_rad + self._wandering(tipped, self._at)
        self._strain = np.zeros(len(width))
        self._uneven = np.exp(self._wandering(truth.unevenness, middle))
        self._back = self._metal_rng.uniform(*SPRING_BACK)
        self._template = self._wandering(truth.template_error, middle)

    def work(self, action: str, bite: str, strokes: Sequence[int]) -> None:
        """Run one pass: whole strokes at every sector. Raises InputError for counts that do not fit, KeyError
        for an action or a bite that the tool does not have."""
        truth, by = self.truth, self.edge.pressed[action]
        m = metal.counted(strokes, len(self._width))
        beside = metal.beside_worked(m, truth.neighbour_loss, self.edge.closed)
        done = metal.drawn_sums(m, truth, self._metal_rng) * beside
        strain = metal.SIGNS[action] * self.first_stroke(action, bite) * done
        self._turn(strain, by)
        self._strain = self._strain + np.abs(strain) * by.edge_per_strain

    def first_stroke(self, action: str, bite: str) -> Array:
        """(n,) true strain of the patch, now, over the whole of each sector, by one stroke there, without its
        scatter."""
        tool, truth = self.edge.pressed[action].tool, self.truth
        strength = truth.bite_work(bite, tool.bites[bite]) * tool.strain_per_stroke
        softness = 1.0 / (1.0 + self._strain / truth.hardening_strain)
        own = truth.common * truth.action[action] * self._uneven * softness * (1.0 - self._back)
        return np.asarray(strength * own * tool.patch_length_mm / self._width)

    def smooth(self, bite: str, strokes: Sequence[int], action: str = "shrink") -> None:
        """Light strokes over the faces: a little work of either sign, errors as in :meth:`work`."""
        edge, truth, rng, by = self.edge, self.truth, self._metal_rng, self.edge.pressed[action]
        sums = metal.drawn_sums(metal.counted(strokes, len(self._width)), truth, rng)
        share = truth.smoothing * rng.normal(size=len(sums)) + truth.smoothing_alike * rng.normal()
        one = truth.bite_work(bite, by.tool.bites[bite]) * by.tool.strain_per_stroke * truth.common
        self._turn(edge.sides * one * sums * share * by.tool.patch_length_mm / self._width, by)

    def anneal(self) -> None:
        """Soften the edge; its shape stays."""
        self._strain = np.zeros_like(self._strain)

    def angles_rad(self) -> Array:
        """(n,) true angle at the middle of every sector."""
        settled = self._settled()
        return np.asarray(np.interp(self.edge.ends_mm.mean(axis=1), self._at, settled))

    def own_angles_rad(self) -> Array:
        """(n,) mean angle at which every sector would stand by itself, not held by its neighbours."""
        sums = np.bincount(self._of, self._free * self._cell)
        return np.asarray(sums / self._width)

    def true_deviation_mm(self) -> Array:
        """(n,) true gap at the tip in the middle of every sector, < 0 where it is turned too far."""
        return np.asarray(self.edge.height_mm * np.sin(self.edge.angle_rad - self.angles_rad()))

    def gaps(self, gauge: Gauge | None = None) -> list[float | str | None]:
        """One reading a sector with the square, as an operator gives it: mm rounded to the gauge's step, or
        "beyond". gauge : none for the job's."""
        true = self.true_deviation_mm() + self._template
        return read_off(true, gauge or self.edge.gauge, False, self._reading_rng)

    def gaps_by_any_gauge(self, *, reseat: bool = True) -> tuple[list[float | str | None], list[str | None]]:
        """A round as it is really taken: the job's gauge, and the steel rule where that ends; with the name
        of the gauge at each sector where it was not the job's. reseat : no matter, a square has no play."""
        fine, coarse = self.gaps(), self.gaps(GAUGES["steel rule"])
        far = [gap == "beyond" for gap in fine]
        gaps = [rough if beyond else gap for gap, rough, beyond in zip(fine, coarse, far, strict=True)]
        return gaps, ["steel rule" if beyond else None for beyond in far]

    def widest_gap_mm(self) -> float:
        """True widest gap from the middle of the first sector to that of the last, or all round, either
        way."""
        first, last = self.edge.ends_mm.mean(axis=1)[[0, -1]]
        covered = ((self._at >= first) & (self._at <= last)) | self.edge.closed
        lacks = self.edge.angle_rad - self._settled()[covered]
        return float(np.max(np.abs(self.edge.height_mm * np.sin(lacks))))

    def _wandering(self, of: Wander, at_mm: Array) -> Array:
        """(r,) what wanders along the outline, back to where it began where that is closed."""
        if not self.edge.closed:
            return of(at_mm)
        length = float(self._width.sum())
        share = at_mm / length
        both = (1.0 - share) * of(at_mm) + share * of(at_mm - length)
        return np.asarray(both / np.hypot(1.0 - share, share))

    def _turn(self, strain: Array, by: Pressed) -> None:
        """Let these strains of the patches (n,), > 0 shortened, turn the strip place by place."""
        edge, of = self.edge, self._of
        folded, bend = edge.folded[of], edge.curvature_per_mm[of]
        fold = (edge.sides * strain * by.fold_per_strain_rad)[of]
        step = (strain * by.edge_per_strain)[of] / STEPS
        turned = ~folded
        for _ in range(STEPS):
            now = np.maximum(self._free[turned], FLATTEST_RAD)
            reach = edge.arm_mm * bend[turned]
            rate = (1.0 + reach * np.cos(now)) / (reach * np.sin(now))
            self._free[turned] += step[turned] * rate
        self._free = self._free + np.where(folded, fold, 0.0)

    def _settled(self) -> Array:
        """(c,) angle of every place where hoop stress, bend and twist balance; stiffnesses over E."""
        edge, cell = self.edge, self._cell
        leaning = edge.curvature_per_mm[self._of] * np.sin(np.clip(self._free, FLATTEST_RAD, np.pi / 2))
        hoop = edge.thickness_mm * edge.height_mm**3 / 3.0 * leaning**2
        kept = hoop + edge.thickness_mm**3 / (12.0 * (1.0 - edge.poisson**2) * edge.arc_mm)
        twist = edge.thickness_mm**3 * edge.height_mm / (6.0 * (1.0 + edge.poisson))
        between = twist / (0.5 * (cell + np.roll(cell, -1)))
        between[-1] *= edge.closed
        matrix = np.diag(kept * cell + between + np.roll(between, 1))
        here = np.arange(len(cell))
        np.add.at(matrix, (here, np.roll(here, -1)), -between)
        np.add.at(matrix, (np.roll(here, -1), here), -between)
        return np.asarray(np.linalg.solve(matrix, kept * cell * self._free))
