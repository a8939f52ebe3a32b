"""How a finished dish gives way when the metal of one of its rings changes a little.

What a ring's strain does to the surface, free of stress, is the membrane's answer; the sheet's bending
smooths it over a length of sqrt(R t) and smooths its jumps away. Both come out of one banded solve, the
linear answer of :mod:`core.geometry.revolved_shell` about the dish as it should be.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from core.geometry.line import Array
from core.geometry.meridian import Meridian
from core.geometry.revolved_shell import RevolvedShell, Strain, mesh

CELL = 0.08  # length of an element over sqrt(R t)


@dataclass(frozen=True)
class RingInfluence:
    """Outward motion per unit of hoop strain (> 0 longer) of each of n rings, the pole held.

    s_mm : (m + 1,) places along the meridian; outward_mm : (m + 1, n); axial_mm : (m + 1,) outward motion
    where the whole dish is shifted along its axis by 1 mm, outward at the pole
    """

    s_mm: Array
    outward_mm: Array
    axial_mm: Array

    def at(self, s_mm: Array) -> Array:
        """(r, n) at other places."""
        return np.column_stack([np.interp(s_mm, self.s_mm, ring) for ring in self.outward_mm.T])


def ring_influence(
    meridian: Meridian, edges_mm: Array, thickness_mm: float, poisson: float, along: float = 0.0
) -> RingInfluence:
    """Influence of rings, even across each.

    edges_mm : (n + 1,) ends of the rings along the meridian, rising, first 0 and last the rim; along : strain
    along the meridian over the strain of the hoop, 0 or 1 for strokes that strain alike either way.
    """
    curvature = np.max(np.abs(meridian.curvature_per_mm(np.linspace(0.0, meridian.length_mm, 201))))
    s = mesh(edges_mm, CELL * float(np.sqrt(thickness_mm / curvature)))
    nodes, slope = meridian.points_mm(s), meridian.slope_rad(s)
    ring = np.searchsorted(edges_mm[1:-1], 0.5 * (s[1:] + s[:-1]))
    hoop = np.eye(len(edges_mm) - 1)[ring]
    shell = RevolvedShell(nodes, thickness_mm, poisson)
    none = np.zeros(len(ring))
    moved = shell.slopes(shell.expanded(nodes, Strain(none, none)), Strain(hoop, along * hoop))
    outward = np.sin(slope)[:, None] * moved[:, 0] - np.cos(slope)[:, None] * moved[:, 1]
    return RingInfluence(s, outward, np.cos(slope))
