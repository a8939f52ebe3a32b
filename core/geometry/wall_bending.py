"""How the walls of a twisting section bend near the bar's free end.

Away from the ends every wall is twisted with the section and carries its share of the torque as twisting
moment, which needs a pair of forces at the free edges (Kirchhoff). At the bar's end nothing provides them:
the walls turn back there, the corners turn with them, and over a short reach the torque is missing. The
walls are plates held at the section's corners (folded plate, each wall a cubic across); along the bar the
answer is a sum of fading exponentials.

Source: S. P. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells (2nd ed. 1959, from memory),
strain energy of bending and corner forces; V. Z. Vlasov's reduction to ordinary equations.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from core.geometry.line import Array
from core.geometry.section import Section

GAUSS = np.polynomial.legendre.leggauss(4)  # exact for products of cubics


@dataclass(frozen=True)
class EndLayer:
    """What a free end does to a bar that is twisted at a rate of one; x is the distance from the end.

    rate_per_mm : (m,) how fast each term exp(-rate x) fades
    missing_mm : (m,) terms of the torque that is missing between x and the bar's inside, over its torsion
        stiffness
    corner_mm : (m,) terms of the turn of the heel's corner against the section
    """

    rate_per_mm: NDArray[np.complex128]
    missing_mm: NDArray[np.complex128]
    corner_mm: NDArray[np.complex128]

    @property
    def reach_mm(self) -> float:
        """The bar warps as if it were shorter by this at the end."""
        return float(self.missing(0.0))

    def missing(self, from_end_mm: ArrayLike) -> Array:
        """(...) how much of the reach lies further inside, mm."""
        return self._sum(self.missing_mm, from_end_mm)

    def corner_turn(self, from_end_mm: ArrayLike) -> Array:
        """(...) turn of the heel's corner against the section, rad per rad/mm of twist away from the end."""
        return self._sum(self.corner_mm, from_end_mm)

    def _sum(self, terms: NDArray[np.complex128], from_end_mm: ArrayLike) -> Array:
        distance = np.asarray(from_end_mm, dtype=float)[..., None]
        return np.asarray(np.real(np.exp(-self.rate_per_mm * distance) @ terms))


def end_layer(section: Section, j_mm4: float, poisson: float) -> EndLayer:
    """The free end of a section that is twisted; the heel's corner is node 0 of the middle line."""
    numbers = _unknowns(section)
    bend, mixed, twist, across, pull = _stiffness(section, numbers, poisson)
    size = len(pull)
    # bend q_xxxx + (mixed + mixed^T - twist) q_xx + across q = 0, with q = shape exp(-rate x)
    inverse = np.linalg.inv(bend)
    lower = np.hstack([-inverse @ across, -inverse @ (mixed + mixed.T - twist)])
    companion = np.vstack([np.hstack([np.zeros((size, size)), np.eye(size)]), lower])
    squares, vectors = np.linalg.eig(companion)
    rates = np.sqrt(squares.astype(complex))  # the root with a real part above 0 fades
    shapes = vectors[:size]
    # free of moment, and of the force that the twist of 1 rad/mm would need
    moment = bend @ shapes * rates**2 + mixed @ shapes
    shear = (twist @ shapes - moment) * rates
    load = np.concatenate([np.zeros(size), pull])
    modes = shapes * np.linalg.solve(np.vstack([moment, shear]), load.astype(complex))
    plate_over_torsion = section.thickness_mm**3 / (6.0 * (1.0 - poisson) * j_mm4)
    return EndLayer(rates, plate_over_torsion * (pull @ modes), modes[numbers[0, 1]])


def _unknowns(section: Section) -> dict[tuple[int, int], int]:
    """Number of each unknown by (node, 0 deflection or 1 turn); a corner does not deflect."""
    ends = [node for wall in section.walls for node in (wall.start, wall.end)]
    free = [
        (node, kind)
        for node in range(len(section.nodes_mm))
        for kind in (0, 1)
        if kind == 1 or ends.count(node) == 1
    ]
    return {unknown: i for i, unknown in enumerate(free)}


def _stiffness(
    section: Section, numbers: dict[tuple[int, int], int], poisson: float
) -> tuple[Array, Array, Array, Array, Array]:
    """Energies per plate stiffness: of q_xx q_xx, q_xx q, q_x q_x, q q, and of q_x with a twist of 1."""
    size = len(numbers)
    bend, mixed, twist, across = (np.zeros((size, size)) for _ in range(4))
    pull = np.zeros(size)
    nodes = np.array(section.nodes_mm)
    for wall in section.walls:
        length = float(np.hypot(*(nodes[wall.end] - nodes[wall.start])))
        pick = np.zeros((4, size))
        for row, unknown in enumerate([(wall.start, 0), (wall.start, 1), (wall.end, 0), (wall.end, 1)]):
            if unknown in numbers:
                pick[row, numbers[unknown]] = 1.0
        for place, weight in zip(*GAUSS, strict=True):
            deflection, slope, curvature = (f @ pick for f in cubics(0.5 * (place + 1.0), length))
            w = 0.5 * weight * length
            bend += w * np.outer(deflection, deflection)
            mixed += w * poisson * np.outer(deflection, curvature)
            twist += w * 2.0 * (1.0 - poisson) * np.outer(slope, slope)
            across += w * np.outer(curvature, curvature)
            pull += w * 2.0 * (1.0 - poisson) * slope
    return bend, mixed, twist, across, pull


def cubics(u: float, length: float) -> tuple[Array, Array, Array]:
    """Values, slopes and curvatures at share u of a wall of unit deflection and turn at its two ends."""
    value = [1 - 3 * u**2 + 2 * u**3, length * u * (1 - u) ** 2, u**2 * (3 - 2 * u), length * u**2 * (u - 1)]
    slope = [6 * u * (u - 1) / length, 1 - 4 * u + 3 * u**2, 6 * u * (1 - u) / length, u * (3 * u - 2)]
    curvature = [
        (12 * u - 6) / length**2,
        (6 * u - 4) / length,
        (6 - 12 * u) / length**2,
        (6 * u - 2) / length,
    ]
    return np.array(value), np.array(slope), np.array(curvature)
