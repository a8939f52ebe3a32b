"""What strokes do to the simulated bar: how much they kink it, and over what length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.errors import InputError
from core.simulate.truth import Truth

Array = NDArray[np.float64]
SIGNS = {"shrink": 1.0, "stretch": -1.0}


@dataclass(frozen=True)
class Twist:
    """How a section that warps answers a stroke (thin-walled torsion, Vlasov).

    decay_mm : length over which the twist dies away; rate_per_strain : jump of the twist's rate at the
    stroke, rad/mm per unit of shortening; lever_mm, lever_out_mm : motion of the heel per rad of twist, in
    the plane and out of it
    end_mm : the bar warps as if it were shorter by this at each end, where its walls bend
    """

    decay_mm: float
    rate_per_strain: float
    lever_mm: float
    end_mm: float
    lever_out_mm: float = 0.0


def counted(strokes: Sequence[int], stations: int) -> Array:
    """(n,) strokes as floats. Raises InputError unless there is one whole number a station, from 0 up."""
    m = np.asarray(strokes, dtype=float)
    if m.shape != (stations,):
        raise InputError(
            "strokes", len(strokes), f"one whole number for each of {stations} stations is wanted"
        )
    if not np.all((m >= 0) & (m == np.round(m))):
        raise InputError("strokes", list(strokes), "whole numbers from 0 up are wanted")
    return m


def beside_worked(m: Array, loss: float, closed: bool = False) -> Array:
    """(n,) share of its work that a station keeps when its neighbours are worked in the same pass; closed :
    the last is the neighbour of the first."""
    worked = (m > 0).astype(float)
    beside = np.zeros_like(worked)
    beside[1:] += worked[:-1]
    beside[:-1] += worked[1:]
    if closed:
        beside[[0, -1]] += worked[[-1, 0]]
    return 1.0 - 0.5 * loss * beside


def drawn_sums(m: Array, truth: Truth, rng: np.random.Generator) -> Array:
    """(n,) work of m strokes against that of the first: each does less than the one before, and scatters."""
    most = int(m.max(initial=0.0))
    if not most:
        return np.zeros_like(m)
    order = np.arange(1, most + 1, dtype=float)
    each = order**truth.exponent - (order - 1.0) ** truth.exponent
    drawn = rng.normal(-0.5 * truth.scatter**2, truth.scatter, (len(m), most))
    sums: Array = np.sum(each * np.exp(drawn) * (order <= m[:, None]), axis=1)
    return sums


@dataclass(frozen=True)
class Places:
    """Where the strokes of a pass lie.

    at_mm : (n,) middle of each station's strokes; along_mm : (n,) length over which they follow one
    another; over_mm : length over which each of them bends the bar
    """

    at_mm: Array
    along_mm: Array
    over_mm: float

    def grown(self, s_mm: Array) -> Array:
        """(r, n) share of each station's kink that lies before s (r,)."""
        half = 0.5 * np.maximum(self.along_mm / self.over_mm, 1e-3)
        u = (s_mm[:, None] - self.at_mm) / self.over_mm
        return np.asarray((_sum_before(u + half) - _sum_before(u - half)) / (2.0 * half))


def spread_kinks(edges_mm: Array, places: Places, kinks_rad: Array) -> Array:
    """(c,) curvature on the cells: every kink spread over its places, none of it lost off the end."""
    grown = places.grown(edges_mm)
    grown = (grown - grown[0]) / (grown[-1] - grown[0])
    turned: Array = np.diff(grown, axis=0) @ kinks_rad
    return turned / np.diff(edges_mm)


def heel_aside(edges_mm: Array, places: Places, strains: Array, twist: Twist) -> tuple[Array, Array]:
    """(c+1,) mm each by which twisting about the shear centre moves the heel line towards the worked edge,
    and out of the plane.

    The heel moves sideways by lever * theta(s), where the jump of d theta/ds at a stroke is spread like
    the kink itself. The bar is free to warp at both ends; a stroke next to one does not twist it.
    """
    end = min(twist.end_mm, 0.25 * edges_mm[-1])
    length, k = edges_mm[-1] - 2.0 * end, 1.0 / twist.decay_mm
    middles = 0.5 * (edges_mm[1:] + edges_mm[:-1])[:, None] - end
    xi = np.minimum(np.maximum(places.at_mm[None, :] - end, 0.0), length)
    jump = places.grown(middles[:, 0] + end)
    before = -np.cosh(k * middles) * np.sinh(k * (length - xi)) / np.sinh(k * length)
    beyond = np.sinh(k * xi) * np.cosh(k * (length - middles)) / np.sinh(k * length)
    rate = ((1.0 - jump) * before + jump * beyond) @ strains * twist.rate_per_strain
    theta = np.concatenate([[0.0], np.cumsum(rate * np.diff(edges_mm))])
    return twist.lever_mm * theta, twist.lever_out_mm * theta


def _sum_before(u: Array) -> Array:
    """Integral up to u of the share 1/2 + v + sin(2 pi v)/(2 pi) of a raised cosine over -1/2..1/2."""
    v = np.minimum(np.maximum(u, -0.5), 0.5)
    inside = 0.125 + 0.5 * v + 0.5 * v**2 - (1.0 + np.cos(2.0 * np.pi * v)) / (4.0 * np.pi**2)
    return np.asarray(inside + np.maximum(u - 0.5, 0.0))
