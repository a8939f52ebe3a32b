"""From the flat disc to the dish, however far: the shape that rings of changed metal pull a sheet into.

A ring's strain is that of its metal half-way across it. From there to the middle of the next ring strokes go
over evenly from one count to the other; within the first middle they are alike. From the last middle to the
rim they go over evenly to a share of the last ring's count that the finished dish sets (:func:`rim_share`): a
dome thins out to nothing at its rim, an edge that is shrunk is worked hardest there. Whatever the counts of a
pass, no metal is worked less than not at all, and strokes of several passes lie as those of one. (Alike
across every ring, with a step at each mark, the dish would be left off by centimetres where rings are wide.)
The hoops want to lie at rho exp(e), and where the meridian can follow, its
slope is cos phi = dr/ds. Where it cannot, the sheet's bending and its give along the meridian and round the
hoop decide (:mod:`core.geometry.revolved_shell`). The search for that shape begins hollow up, for a disc has
two sides to go to.

A stroke covers a patch and reaches half its depth to either side, at the rim over the edge: what goes over
with a kink is rounded by so much.

Metal is worked in many small strokes, each of which lets it flow at the curvature that it has just then. Of a
dish whose passes are not known the sheet is taken to have set to the curvature of the shape that it should
have when so much is done, in the mean of all rings: flat at first, that of the finished dish at last, which
is then free of stress. Where passes are known, what it has set to follows from them (:class:`SetSheet`): each
sets it to a good part of the shape that it leaves.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from core.geometry.blank import Blank
from core.geometry.line import Array
from core.geometry.revolved_shell import Expansion, RevolvedShell, Strain, mesh

CELL = 0.15  # length of an element over sqrt(R t)
MOST_CELLS = 160  # about, on the whole meridian
LEAST_SHARE = 1e-3  # of the work: nearer to flat, the curvature that the metal sets to grows without bound
MOST_AT_RIM = 2.0  # times the strokes of the last ring
NOTHING = 1e-6  # strain
CRUSHED = 0.2  # of the length of an element: no start for a search
FINE = 4000  # places where strokes are laid out
LEAST_SLOPE_RAD = 1e-3  # that the search begins with, so that it finds the side
FOLLOWED = 0.005  # strain by which a sheet is followed from the shape it had: it snaps no sooner than it must
SETS, FLOWS = 0.6, 0.005  # share of the bending left that a pass sets, of more strain than this (no source)
# Strain of two passes or so. What n equal ones bend, each sets by SETS to what all before it left, so that at
# last 1/(SETS n) of it is not set.
SETTLES = 0.05


def drawn(disc: RevolvedShell, strain: Strain) -> Expansion:
    """About the shape, hollow up, that a flat disc takes on when its elements strain so much."""
    return disc.equilibrium(_laid(disc, strain), strain)


def rim_share(blank: Blank, edges_mm: Array) -> float:
    """Strokes at the rim over those half-way across the last ring: as the finished dish asks for there, at
    most MOST_AT_RIM; 1 where it asks for nothing."""
    last = 0.5 * (edges_mm[-1] + edges_mm[-2])
    half, rim = blank.hoop_strain(blank.along_mm(np.array([last, edges_mm[-1]])))
    return float(np.clip(rim / half, 0.0, MOST_AT_RIM)) if abs(half) > NOTHING else 1.0


def going_over(edges_mm: Array, at_mm: Array, at_rim: float) -> Array:
    """(m, n) shares, none below 0, that the strains of the n rings between these radii have in metal at
    others (m,): at the middle of a ring its own, from there to the next going over evenly, at the rim this
    share of the last ring's."""
    middle = 0.5 * (edges_mm[1:] + edges_mm[:-1])
    knots, ends = np.append(middle, edges_mm[-1]), np.vstack([np.eye(len(middle)), np.zeros(len(middle))])
    ends[-1, -1] = at_rim
    return np.column_stack([np.interp(at_mm, knots, each) for each in ends.T])


def reaching(edges_mm: Array, cells_mm: Array, at_rim: float, depth_mm: float) -> Array:
    """(m, n) the same of m elements between nodes (m + 1,), by strokes that reach half this depth to either
    side of where they are put."""
    if depth_mm == 0.0:
        return going_over(edges_mm, 0.5 * (cells_mm[1:] + cells_mm[:-1]), at_rim)
    fine = np.linspace(0.0, edges_mm[-1], FINE + 1)
    shares = going_over(edges_mm, fine, at_rim)
    summed = np.vstack([np.zeros((1, shares.shape[1])), np.cumsum(0.5 * (shares[1:] + shares[:-1]), axis=0)])
    middle = 0.5 * (cells_mm[1:] + cells_mm[:-1])
    ends = np.clip(middle[:, None] + 0.5 * np.array([-depth_mm, depth_mm]), 0.0, edges_mm[-1])
    inner, outer = (np.column_stack([np.interp(at, fine, each) for each in summed.T]) for at in ends.T)
    return np.asarray((outer - inner) * fine[1] / np.diff(ends, axis=1))


def _laid(disc: RevolvedShell, strain: Strain) -> Array:
    """(m + 1, 2) the shape that a flat disc would take on if it had no stiffness."""
    rho = disc.nodes_mm[:, 0]
    radius = np.concatenate([[0.0], disc.radius_mm * np.exp(strain.hoop)])
    at_nodes = np.interp(rho, np.concatenate([[0.0], disc.radius_mm]), radius)
    at_nodes[-1] = 2.0 * radius[-1] - at_nodes[-2]
    length = disc.step_mm * np.exp(strain.meridian)
    slope = np.arccos(np.clip(np.diff(at_nodes) / length, 0.0, np.cos(LEAST_SLOPE_RAD)))
    steps = length[:, None] * np.column_stack([np.cos(slope), np.sin(slope)])
    return np.vstack([np.zeros((1, 2)), np.cumsum(steps, axis=0)])


@dataclass(frozen=True)
class SetSheet:
    """What a sheet has set to by the passes that it had.

    set_rad : (m,) slopes of its elements at which nothing is bent; done : (n,) strain of the rings, and
    nodes_mm : (m + 1, 2) the shape, when it was struck last, None before that; goes_on : whether it
    goes on setting as it is worked on from there, and not in the next pass alone
    """

    set_rad: Array
    done: Array
    nodes_mm: Array | None = None
    goes_on: bool = False


class RingedDisc:
    """The disc for one dish, marked out in n rings.

    edges_mm : (n + 1,) radii of the rings on the disc, rising, first 0 and last the disc's. Strains are
    natural, > 0 longer, of the hoop half-way across a ring; along the meridian they come with the share that
    the blank's way has there, wherever strokes of the ring go over to. along : (n,) that share;
    asked : (n,) strains that come nearest to what the target asks for everywhere; rim_share : see
    :func:`rim_share`; patch_depth_mm : see :func:`reaching`.
    """

    def __init__(
        self,
        blank: Blank,
        edges_mm: Array,
        thickness_mm: float,
        poisson: float,
        patch_depth_mm: float = 0.0,
    ) -> None:
        self.blank, self.edges_mm = blank, edges_mm
        self._thickness_mm, self._poisson = thickness_mm, poisson
        length = blank.meridian.length_mm
        curvature = blank.meridian.curvature_per_mm(np.linspace(0.0, length, 201))
        tightest = 1.0 / max(float(np.max(np.abs(curvature))), 1.0 / length)
        longest = max(CELL * float(np.sqrt(tightest * thickness_mm)), blank.radius_mm / MOST_CELLS)
        self.flat_mm = mesh(edges_mm, longest)
        self._nodes = np.column_stack([self.flat_mm, np.zeros_like(self.flat_mm)])
        target = blank.meridian.points_mm(blank.along_mm(self.flat_mm))
        steps, middle = np.diff(target, axis=0), 0.5 * (self.flat_mm[1:] + self.flat_mm[:-1])
        self._slope = np.arctan2(steps[:, 1], steps[:, 0])
        hoop = np.log(0.5 * (target[1:, 0] + target[:-1, 0]) / middle)
        self.rim_share = rim_share(blank, edges_mm)
        self._own = reaching(edges_mm, self.flat_mm, self.rim_share, patch_depth_mm)
        self.along = blank.along(blank.along_mm(0.5 * (edges_mm[1:] + edges_mm[:-1])))
        weight = np.sqrt(np.diff(self.flat_mm))
        self.asked: Array = np.linalg.lstsq(weight[:, None] * self._own, weight * hoop, rcond=None)[0]
        self._rates = Strain(self._own, self._own * self.along)

    def share(self, done: Array) -> float:
        """How much of all that the dish asks for is done, 0 to 1 and beyond."""
        return float(done @ self.asked / (self.asked @ self.asked))

    def wide_rings_mm(self) -> tuple[float, float]:
        """How far off the finished dish is, outward, since strokes go over evenly between rings and the
        target does not quite: the largest of it, either way, and at which arc length. Axial shift out; each
        ring has what it asks for.
        """
        s = self.blank.along_mm(self.flat_mm)
        slope = self.blank.meridian.slope_rad(s)
        outward, axial = np.stack([np.sin(slope), -np.cos(slope)], axis=1), np.cos(slope)
        off = np.sum(outward * (self.finished.nodes_mm - self.blank.meridian.points_mm(s)), axis=1)
        off = off - axial * float(axial @ off / (axial @ axial))
        worst = int(np.argmax(np.abs(off)))
        return float(off[worst]), float(s[worst])

    @cached_property
    def finished(self) -> WorkedShape:
        """With what comes nearest to the target."""
        return self.shape(self.asked)

    def untouched(self) -> SetSheet:
        """The disc as cut."""
        return SetSheet(np.zeros_like(self._slope), np.zeros_like(self.asked))

    def struck(self, sheet: SetSheet, done: Array, nodes_mm: Array) -> SetSheet:
        """The sheet once it was worked on until its rings had strained by this (n,), in this shape."""
        if np.array_equal(done, sheet.done):
            return sheet
        flowed = float(np.max(np.abs(self._own @ (done - sheet.done))))
        steps = np.diff(nodes_mm, axis=0)
        bent = np.arctan2(steps[:, 1], steps[:, 0]) - sheet.set_rad
        return SetSheet(sheet.set_rad + SETS * -np.expm1(-flowed / FLOWS) * bent, done, nodes_mm)

    def shape(self, done: Array, start_mm: Array | None = None, sheet: SetSheet | None = None) -> WorkedShape:
        """What the disc looks like when its rings have strained by this (n,).

        start_mm : (m + 1, 2) nodes of nearly the same shape, where there is one: the search is shorter;
        sheet : what it has set to, where its passes are known
        """
        strain = Strain(self._own @ done, self._own @ (self.along * done))
        if sheet is not None:
            return self._as_set(sheet, done, strain, start_mm)
        share = self.share(done)
        set_rad = self._slope * np.sqrt(max(share, 0.0))
        shell = RevolvedShell(self._nodes, self._thickness_mm, self._poisson, set_rad)
        grading = self.asked / (self.asked @ self.asked)
        set_rate = np.outer(self._slope, grading) * 0.5 / np.sqrt(max(share, LEAST_SHARE))
        at = drawn(shell, strain) if start_mm is None else shell.equilibrium(start_mm, strain)
        return WorkedShape(shell, at, self._rates, set_rate)

    def _as_set(self, sheet: SetSheet, done: Array, strain: Strain, start_mm: Array | None) -> WorkedShape:
        """The same of a sheet that has set to this."""
        thickness = self._thickness_mm * self._stiff(sheet, done) ** 0.5
        shell = RevolvedShell(self._nodes, thickness, self._poisson, sheet.set_rad)
        if start_mm is not None and np.all(np.hypot(*np.diff(start_mm, axis=0).T) > CRUSHED * shell.step_mm):
            at = shell.equilibrium(start_mm, strain)
        elif sheet.nodes_mm is None or sheet.goes_on:
            at = drawn(shell, strain)
        else:
            at = self._followed(shell, sheet, sheet.nodes_mm, done)
        return WorkedShape(shell, at, self._rates, None)

    def _stiff(self, sheet: SetSheet, done: Array) -> float:
        """Share of its bending stiffness with which the sheet holds on to what it has set to: as it sets to a
        share of what it bends to on the way, it is bent by the rest alone."""
        if not sheet.goes_on:
            return 1.0
        to_come = float(np.max(np.abs(self._own @ (done - sheet.done))))
        return 1.0 / (1.0 + to_come / SETTLES)

    def _followed(self, shell: RevolvedShell, sheet: SetSheet, nodes_mm: Array, done: Array) -> Expansion:
        """About the shape that the one it had goes over to, strain by strain."""
        more = done - sheet.done
        steps = max(int(np.ceil(np.max(np.abs(more)) / FOLLOWED)), 1)
        for share in np.linspace(0.0, 1.0, steps + 1)[1:]:
            now = sheet.done + share * more
            at = shell.equilibrium(nodes_mm, Strain(self._own @ now, self._own @ (self.along * now)))
            nodes_mm = at.nodes_mm
        return at


@dataclass(frozen=True)
class WorkedShape:
    """The disc as it is; at : the energy about its shape, the rest is for its slopes."""

    shell: RevolvedShell
    at: Expansion
    rates: Strain
    set_rate: Array | None

    @property
    def nodes_mm(self) -> Array:
        """(m + 1, 2) r and z."""
        return self.at.nodes_mm

    @cached_property
    def slopes(self) -> NDArray[np.float64]:
        """(m + 1, 2, n) motion of the nodes per unit of further strain of each ring."""
        return self.shell.slopes(self.at, self.rates, self.set_rate)
