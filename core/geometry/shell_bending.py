"""What bending does to a chain of elements that makes up the meridian of a shell of revolution.

Only the slopes of the elements against the plane of the rim count: their differences are the curvature along
the meridian, their sines over the radius that round the hoop. Energies are over Young's modulus, thickness
and 2 pi/(1 - nu^2).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Bending:
    """Bending of m elements, written as squares, sum of (m + nu h)^2 at their ends and (1 - nu^2) h^2 on
    them: so the rim is free of moment by itself.

    node_radius_mm : (m + 1,) of the blank, first 0; step_mm : (m,) lengths; set_rad : (m,) slopes at which
    nothing is bent.
    """

    def __init__(
        self, node_radius_mm: Array, step_mm: Array, set_rad: Array, thickness_mm: float, poisson: float
    ) -> None:
        self._poisson, self._set_rad = poisson, set_rad
        self._radius_mm = 0.5 * (node_radius_mm[1:] + node_radius_mm[:-1])
        self._set_hoop = np.sin(set_rad) / self._radius_mm
        stiff = thickness_mm**2 / 12.0
        self._hoop_bending = self._radius_mm * step_mm * stiff * (1.0 - poisson**2)
        # Curvature along the meridian at the inner end of every element; the pole goes by symmetry.
        between = np.concatenate([0.5 * step_mm[:1], 0.5 * (step_mm[1:] + step_mm[:-1])])
        self._per_turn = 1.0 / between
        area = np.concatenate([step_mm[:1] ** 2 / 8.0, node_radius_mm[1:-1] * between[1:]])
        self._node_bending = area * stiff

    def energy(self, turn: Array) -> tuple[float, Array, Array, Array]:
        """Energy of bending, its slopes by the turn of the elements, second slopes, those of neighbours."""
        change = turn - self._set_rad
        hoop = np.sin(turn) / self._radius_mm - self._set_hoop
        at_node, there = self._moments(change, hoop)
        out, back, leans = self._levers(turn)
        bending = self._node_bending * out**2 + self._hoop_bending * leans**2
        bending[:-1] += self._node_bending[1:] * back**2
        lean_force = self._poisson * _inward(at_node) + there
        bending -= lean_force * np.sin(turn) / self._radius_mm
        energy = 0.5 * float(at_node**2 @ (1.0 / self._node_bending) + there @ hoop)
        tie = self._node_bending[1:] * out[1:] * back
        return energy, _turned(at_node, there, out, back, leans), bending, tie

    def _moments(self, change: Array, hoop: Array) -> tuple[Array, Array]:
        """(m, ...) moments at the inner ends of the elements, and those of the hoop alone, by changes of the
        turn and of the hoop's curvature (m, ...)."""
        before = np.concatenate([np.zeros_like(change[:1]), change[:-1]])  # the pole turns nothing
        there = np.concatenate([hoop[:1], 0.5 * (hoop[1:] + hoop[:-1])])
        both = each_times(self._per_turn, change - before) + self._poisson * there
        return each_times(self._node_bending, both), each_times(self._hoop_bending, hoop)

    def _levers(self, turn: Array) -> tuple[Array, Array, Array]:
        """Slopes of the curvature at the inner end by the element's own turn (m,) and by that of the one
        before (m - 1,), and of the hoop's curvature (m,)."""
        leans = np.cos(turn) / self._radius_mm
        own = 0.5 * leans
        own[0] = leans[0]
        return (
            self._per_turn + self._poisson * own,
            -self._per_turn[1:] + self._poisson * 0.5 * leans[:-1],
            leans,
        )

    def unset(self, turn: Array, set_rate: Array) -> Array:
        """(m, n) turning moment on the elements per unit of n changes (m, n) of the slope that they have set
        to, about their slope (m,)."""
        hoop = -each_times(np.cos(self._set_rad) / self._radius_mm, set_rate)
        at_node, there = self._moments(-set_rate, hoop)
        return _turned(at_node, there, *self._levers(turn))


def each_times(factor: Array, rows: Array) -> Array:
    """Every row (m, ...) times its own factor (m,)."""
    return np.asarray((factor * rows.T).T)


def _inward(at_node: Array) -> Array:
    """(m, ...) what the moments at the nodes are to the hoops of the elements beside them."""
    out: Array = 0.5 * at_node
    out[0] = at_node[0]
    out[:-1] += 0.5 * at_node[1:]
    return out


def _turned(at_node: Array, there: Array, out: Array, back: Array, leans: Array) -> Array:
    """(m, ...) moments as they turn the elements."""
    moment = each_times(out, at_node) + each_times(leans, there)
    moment[:-1] += each_times(back, at_node[1:])
    return moment
