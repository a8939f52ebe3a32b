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
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from core.geometry.banded import BandedCholesky
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
        count = len(step)
        corner = 2 * np.arange(count)[:, None] + np.arange(-2, 2)  # r, z of both ends; the pole is no unknown
        self._unknown, self._size = corner, 2 * count

    def equilibrium(self, start_mm: Array, strain: Strain) -> Array:
        """Shape (m + 1, 2) of least energy that is reached downhill from a start of the same form.

        Newton's method, damped where the energy is not convex or would rise.
        """
        shape, damping = np.array(start_mm, dtype=float), 0.0
        energy, pull, stiffness = self._expand(shape, strain)
        for _ in range(MOST_STEPS):
            factors, damping = _factors(stiffness, damping)
            step = -factors.solve(pull)
            tried = shape.copy()
            tried[1:] += step.reshape(-1, 2)
            after = self._expand(tried, strain) if np.all(tried[1:, 0] > 0.0) else None
            if after is None or not after[0] <= energy + 1e-13 * abs(energy):
                if damping > MOST_DAMPING or np.max(np.abs(step)) < SETTLED_MM:
                    break
                damping = _more(damping)
                continue
            shape, (energy, pull, stiffness) = tried, after
            damping = 0.0 if damping <= FIRST_DAMPING else EASING * damping
            if np.max(np.abs(step)) < SETTLED_MM and damping == 0.0:
                break
        return shape

    def energy(self, shape_mm: Array, strain: Strain) -> float:
        """Of a shape, so that two equilibria can be compared."""
        return self._expand(shape_mm, strain)[0]

    def slopes(self, shape_mm: Array, strain: Strain, rates: Strain, set_rate: Array | None = None) -> Array:
        """(m + 1, 2, n) motion of the nodes about a shape in equilibrium, per unit of each of n further
        changes.

        Where the shape is about to snap to another one, as only metal strained quite unevenly is, they are
        damped. rates : (m, n) how much each change strains the elements; set_rate : (m, n) how far it moves
        the slope that they have set to, rad.
        """
        _, _, stiffness = self._expand(shape_mm, strain)
        stretch, hoop, turn = self._rates(shape_mm)
        along = each_times(self.weight, rates.meridian + self.poisson * rates.hoop)
        round_it = each_times(self.weight, rates.hoop + self.poisson * rates.meridian)
        push = stretch[:, :, None] * along[:, None, :] + hoop[:, :, None] * round_it[:, None, :]
        if set_rate is not None:
            now = np.angle(_complex_steps(shape_mm))
            push -= turn[:, :, None] * self._bending.unset(now, set_rate)[:, None, :]
        pull = np.zeros((self._size + 2, push.shape[2]))
        np.add.at(pull, self._unknown + 2, push)
        factors, _ = _factors(stiffness, 0.0)
        moved = np.zeros((len(self.nodes_mm), 2, push.shape[2]))
        moved[1:] = factors.solve(pull[2:]).reshape(-1, 2, push.shape[2])
        return moved

    def _rates(self, shape: Array) -> tuple[Array, Array, Array]:
        """(m, 4) slopes of ln length, ln radius and turn of each element by r, z of its two ends."""
        inverse = 1.0 / _complex_steps(shape)
        stretch = np.stack([-inverse.real, inverse.imag, inverse.real, -inverse.imag], axis=1)
        turn = np.stack([-inverse.imag, -inverse.real, inverse.imag, inverse.real], axis=1)
        hoop = 1.0 / (shape[1:, 0] + shape[:-1, 0])
        none = np.zeros_like(hoop)
        return stretch, np.stack([hoop, none, hoop, none], axis=1), turn

    def _expand(self, shape: Array, strain: Strain) -> tuple[float, Array, Array]:
        """Energy, its slopes (2 m,) and its second slopes (2 m, 2 m) by the nodes beyond the pole."""
        nu, step = self.poisson, _complex_steps(shape)
        a = np.log(np.abs(step) / self.step_mm) - strain.meridian
        b = np.log(_middle(shape[:, 0]) / self.radius_mm) - strain.hoop
        force, hoop_force = self.weight * (a + nu * b), self.weight * (b + nu * a)
        bent, moment, bending, tie = self._bending.energy(np.angle(step))
        energy = 0.5 * float(force @ a + hoop_force @ b) + bent
        stretch, hoop, turn = self._rates(shape)
        pull = force[:, None] * stretch + hoop_force[:, None] * hoop + moment[:, None] * turn
        own = _outer(self.weight, stretch, stretch) + _outer(self.weight, hoop, hoop)
        crossed = _outer(nu * self.weight, stretch, hoop)
        own += crossed + crossed.transpose(0, 2, 1) + _outer(bending, turn, turn)
        own += _curved(step, force, moment) - _outer(hoop_force, hoop, hoop)
        mixed = _outer(tie, turn[:-1], turn[1:])
        return energy, self._gathered(pull), self._assembled(own, mixed)

    def _gathered(self, pull: Array) -> Array:
        flat = (self._unknown + 2).ravel()
        return np.asarray(np.bincount(flat, pull.ravel(), self._size + 2)[2:], dtype=float)

    def _assembled(self, own: Array, mixed: Array) -> Array:
        """The whole matrix from blocks of the elements (m, 4, 4) and of neighbours (m - 1, 4, 4)."""
        size, at = self._size + 2, self._unknown + 2
        places = [
            (at[:, :, None] * size + at[:, None, :]).ravel(),
            (at[:-1, :, None] * size + at[1:, None, :]).ravel(),
            (at[:-1, :, None] + at[1:, None, :] * size).ravel(),
        ]
        values = np.concatenate([own.ravel(), mixed.ravel(), mixed.ravel()])
        whole = np.bincount(np.concatenate(places), values, size * size).reshape(size, size)
        return np.ascontiguousarray(whole[2:, 2:])


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


def _outer(factor: Array, one: Array, other: Array) -> Array:
    return np.asarray(factor[:, None, None] * one[:, :, None] * other[:, None, :])


def _curved(step: NDArray[np.complex128], force: Array, moment: Array) -> Array:
    """(m, 4, 4) of a force times the second slopes of ln length and a moment times those of the turn."""
    second = -1.0 / step**2  # of ln step = ln length + i turn
    rr = force * second.real + moment * second.imag
    rz = -force * second.imag + moment * second.real
    inner = np.stack([np.stack([rr, rz], axis=1), np.stack([rz, -rr], axis=1)], axis=1)
    return np.block([[inner, -inner], [-inner, inner]])


def _factors(stiffness: Array, damping: float) -> tuple[BandedCholesky, float]:
    """Factors of a stiffness that is damped by at least so much, and by what makes it convex."""
    diagonal = np.arange(len(stiffness))
    most = np.max(np.abs(stiffness[diagonal, diagonal]))
    while True:
        damped = stiffness.copy()
        damped[diagonal, diagonal] += damping * most
        try:
            return BandedCholesky(damped), damping
        except np.linalg.LinAlgError:
            if damping > MOST_DAMPING:
                raise
            damping = _more(damping)


def _more(damping: float) -> float:
    return max(FIRST_DAMPING, HARDER * damping)
