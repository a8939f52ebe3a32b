"""A thin elastic shell of revolution whose metal has been lengthened or shortened, ring by ring.

The meridian is a chain of straight elements between nodes (r, z); r from the axis, z along it. Energy, over
Young's modulus, thickness and 2 pi / (1 - nu^2), for rotations of any size and elastic strains that are
small::

    1/2 sum of r l [ a^2 + 2 nu a b + b^2 + t^2/12 (m^2 + 2 nu m h + h^2) ]

with a, b the elastic strain (natural) along the meridian and round the hoop, what the metal's own change
leaves of it taken off, and m, h the changes of the two curvatures d(phi)/ds and sin(phi)/r; r and l of the
blank. Both rims are free; the pole is held on the axis. (Kirchhoff and Love's shell; E. Reissner, On
axisymmetrical deformations of thin shells of revolution, Proc. Symp. Appl. Math. 3 (1950) 27, from memory.)
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.geometry.banded import Banded, places
from core.geometry.shell_bending import Bending, each_times

Array = NDArray[np.float64]
LEAST_CELLS = 4  # of a ring
MOST_STEPS = 200
SETTLED_MM = 1e-5  # of a step; what is left then is its square
FIRST_DAMPING, MOST_DAMPING = 1e-9, 1e3  # of the largest stiffness
HARDER, EASING = 30.0, 0.01  # times the damping, after a step that failed and one that did not


@dataclass(frozen=True)
class Strain:
    """What the metal itself has changed by, natural strain, > 0 longer: hoop (m,), meridian (m,) of the
    elements."""

    hoop: Array
    meridian: Array


@dataclass(frozen=True)
class Expansion:
    """The energy about a shape nodes_mm (m + 1, 2): its slopes pull (2 m,) and second slopes stiffness
    (2 m, 2 m) by r and z of the nodes beyond the pole; rates : (m, 5, 4) see :func:`_rates`."""

    nodes_mm: Array
    energy: float
    pull: Array
    stiffness: Banded
    rates: Array


class RevolvedShell:
    """A blank of revolution cut into m elements.

    nodes_mm : (m + 1, 2) r and z of the blank from the pole (r = 0) outwards, free of stress; thickness_mm;
    poisson; set_rad : (m,) slope of the elements that the metal has set to, that of the blank if not given:
    there nothing is bent. Shapes are (m + 1, 2) like the blank, the pole where it was.
    """

    def __init__(
        self, nodes_mm: Array, thickness_mm: float, poisson: float, set_rad: Array | None = None
    ) -> None:
        self.nodes_mm, self.poisson = nodes_mm, poisson
        step = _complex_steps(nodes_mm)
        self.step_mm, self.radius_mm = np.abs(step), _middle(nodes_mm[:, 0])
        self.weight = self.radius_mm * self.step_mm
        set_to = np.angle(step) if set_rad is None else set_rad
        self._bending = Bending(nodes_mm[:, 0], self.step_mm, set_to, thickness_mm, poisson)

    def equilibrium(self, start_mm: Array, strain: Strain) -> Expansion:
        """About the shape of least energy that is reached downhill from a start (m + 1, 2) of the same form.

        Newton's method, damped where the energy is not convex or would rise.
        """
        now, damping = self.expanded(np.array(start_mm, dtype=float), strain), 0.0
        for _ in range(MOST_STEPS):
            step, damping = _solved(now.stiffness, -now.pull[:, None], damping)
            tried = now.nodes_mm.copy()
            tried[1:] += step.reshape(-1, 2)
            after = self.expanded(tried, strain) if np.all(tried[1:, 0] > 0.0) else None
            if after is None or not after.energy <= now.energy + 1e-13 * abs(now.energy):
                if damping > MOST_DAMPING or np.max(np.abs(step)) < SETTLED_MM:
                    break
                damping = _more(damping)
                continue
            now = after
            damping = 0.0 if damping <= FIRST_DAMPING else EASING * damping
            if np.max(np.abs(step)) < SETTLED_MM and damping == 0.0:
                break
        return now

    def slopes(self, at: Expansion, rates: Strain, set_rate: Array | None = None) -> Array:
        """(m + 1, 2, n) motion of the nodes about a shape in equilibrium, per unit of each of n further
        changes.

        Where the shape is about to snap to another one, as only metal strained quite unevenly is, they are
        damped. rates : (m, n) how much each change strains the elements; set_rate : (m, n) how far it moves
        the slope that they have set to, rad.
        """
        along = each_times(self.weight, rates.meridian + self.poisson * rates.hoop)
        round_it = each_times(self.weight, rates.hoop + self.poisson * rates.meridian)
        turned = np.zeros_like(along)
        if set_rate is not None:
            turned = -self._bending.unset(np.angle(_complex_steps(at.nodes_mm)), set_rate)
        push = at.rates[:, :3].transpose(0, 2, 1) @ np.stack([along, round_it, turned], axis=1)
        moved = np.zeros((len(self.nodes_mm), 2, push.shape[2]))
        moved[1:] = _solved(at.stiffness, _gathered(push), 0.0)[0].reshape(-1, 2, push.shape[2])
        return moved

    def expanded(self, shape: Array, strain: Strain) -> Expansion:
        """The energy about a shape (m + 1, 2)."""
        nu, step = self.poisson, _complex_steps(shape)
        a = np.log(np.abs(step) / self.step_mm) - strain.meridian
        b = np.log(_middle(shape[:, 0]) / self.radius_mm) - strain.hoop
        force, hoop_force = self.weight * (a + nu * b), self.weight * (b + nu * a)
        bent, moment, bending, tie = self._bending.energy(np.angle(step))
        rates, firm = _rates(shape, step), np.zeros((len(step), 5, 5))
        firm[:, 0, 0], firm[:, 1, 1], firm[:, 2, 2] = self.weight, self.weight - hoop_force, bending
        firm[:, 0, 1] = firm[:, 1, 0] = nu * self.weight
        curved = -(force - 1j * moment) / step**2  # by the second slopes of ln length and of the turn
        firm[:, 3, 3], firm[:, 4, 4] = curved.real, -curved.real
        firm[:, 3, 4] = firm[:, 4, 3] = -curved.imag
        turn = rates[:, 2]
        own = rates.transpose(0, 2, 1) @ (firm @ rates)
        mixed = (tie[:, None] * turn[:-1])[:, :, None] * turn[1:, None, :]
        pull = np.stack([force, hoop_force, moment], axis=1)[:, None, :] @ rates[:, :3]
        return Expansion(
            shape,
            0.5 * float(force @ a + hoop_force @ b) + bent,
            _gathered(pull.transpose(0, 2, 1))[:, 0],
            _assembled(own, mixed),
            rates,
        )


def mesh(edges_mm: Array, longest_mm: float) -> Array:
    """(m + 1,) nodes that fall on all edges (rising), in even steps of at most this length between them."""
    pieces = [
        np.linspace(a, b, max(LEAST_CELLS, int(np.ceil((b - a) / longest_mm))), endpoint=False)
        for a, b in pairwise(edges_mm)
    ]
    return np.concatenate([*pieces, edges_mm[-1:]])


def _complex_steps(nodes: Array) -> NDArray[np.complex128]:
    """(m,) from node to node, r + iz."""
    return np.asarray(np.diff(nodes[:, 0]) + 1j * np.diff(nodes[:, 1]))


def _middle(values: Array) -> Array:
    return np.asarray(0.5 * (values[1:] + values[:-1]))


def _rates(shape: Array, step: NDArray[np.complex128]) -> Array:
    """(m, 5, 4) slopes of ln length, ln radius and turn of each element, and of what it goes out and up, by r
    and z of its two ends."""
    inverse = 1.0 / step
    rates = np.zeros((len(step), 5, 4))
    rates[:, 0, 2], rates[:, 0, 3] = inverse.real, -inverse.imag
    rates[:, 2, 2], rates[:, 2, 3] = inverse.imag, inverse.real
    rates[:, 3:, 2:] = np.eye(2)
    rates[:, :, :2] = -rates[:, :, 2:]
    rates[:, 1] = np.array([1.0, 0.0, 1.0, 0.0]) / (shape[1:, :1] + shape[:-1, :1])
    return rates


@lru_cache(maxsize=16)
def _laid_out(count: int) -> NDArray[np.intp]:
    """Where the blocks of so many elements and those of neighbours, both ways, are kept in the matrix."""
    at = _unknowns(count)
    rows = np.concatenate([np.repeat(at, 4), np.repeat(at[:-1], 4), np.tile(at[1:], 4).ravel()])
    columns = np.concatenate([np.tile(at, 4).ravel(), np.tile(at[1:], 4).ravel(), np.repeat(at[:-1], 4)])
    return places(rows, columns, 2 * count)


def _unknowns(count: int) -> NDArray[np.intp]:
    """(m, 4) of r and z of both ends of an element; the pole, before all others, is none."""
    return np.asarray(2 * np.arange(count)[:, None] + np.arange(-2, 2))


def _assembled(own: Array, mixed: Array) -> Banded:
    """The whole matrix from blocks of the elements (m, 4, 4) and of neighbours (m - 1, 4, 4)."""
    values = np.concatenate([own.ravel(), mixed.ravel(), mixed.ravel()])
    return Banded.summed(_laid_out(len(own)), values, 2 * len(own))


def _gathered(ends: Array) -> Array:
    """(2 m, k) what the elements do to r and z of their ends (m, 4, k), summed over the nodes beyond the
    pole."""
    outer, inner = ends[:, 2:], ends[1:, :2]
    summed = outer.copy()
    summed[:-1] += inner
    return summed.reshape(-1, ends.shape[2])


def _solved(stiffness: Banded, pull: Array, damping: float) -> tuple[Array, float]:
    """(2 m, k) where pulls (2 m, k) move the nodes: stiffness damped by at least so much, and by what makes
    it convex; and that damping."""
    while True:
        most = np.max(np.abs(stiffness.diagonal)) if damping else 0.0
        try:
            return stiffness.damped(damping * most).solve(pull), damping
        except np.linalg.LinAlgError:
            if damping > MOST_DAMPING:
                raise
            damping = _more(damping)


def _more(damping: float) -> float:
    return max(FIRST_DAMPING, HARDER * damping)
