"""The flat disc that a dish is made from, and what its metal has to change by.

A ring at radius rho of the disc comes to lie at arc length s of the meridian, at radius r. Its hoop strain is
e = ln(r/rho), > 0 longer. How the metal goes along the meridian is the method: there it strains by a fixed
share k of its hoop strain, so that ds = (r/rho)^k d(rho)::

    k = 0    the meridian keeps its length: the edge is shrunk, rho = s (a sphere: e = ln(sin phi/phi))
    k = -1   the area is kept, and the thickness with it: rho^2 = 2 * integral of r ds
    k = 1    strokes strain alike either way: doming from the middle with the rim kept,
             ln rho = integral of ds/r (a sphere: rho in proportion to tan(phi/2))
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array
from core.geometry.meridian import Meridian

CELLS = 2000  # of the meridian
_GAUSS = np.polynomial.legendre.leggauss(3)
LENGTH_KEPT, AREA_KEPT, RIM_KEPT = 0.0, -1.0, 1.0


class Blank:
    """The disc for one dish and one method.

    along : k above, one of LENGTH_KEPT, AREA_KEPT, RIM_KEPT.
    """

    def __init__(self, meridian: Meridian, along: float) -> None:
        self.meridian, self.along = meridian, along
        self._s = np.linspace(0.0, meridian.length_mm, CELLS + 1)
        self._rho = _FLAT[along](meridian, self._s)

    @property
    def radius_mm(self) -> float:
        """Of the disc."""
        return float(self._rho[-1])

    def flat_mm(self, s_mm: ArrayLike) -> Array:
        """(...) radius on the disc of what comes to lie at arc length s."""
        return np.asarray(np.interp(np.asarray(s_mm, dtype=float), self._s, self._rho))

    def along_mm(self, flat_mm: ArrayLike) -> Array:
        """(...) arc length on the dish of what lies at this radius of the disc."""
        return np.asarray(np.interp(np.asarray(flat_mm, dtype=float), self._rho, self._s))

    def hoop_strain(self, s_mm: ArrayLike) -> Array:
        """(...) e = ln(r/rho), natural, > 0 longer; at the pole its limit."""
        s = np.maximum(np.asarray(s_mm, dtype=float), 1e-3 * self._s[1])
        return np.asarray(np.log(self.meridian.points_mm(s)[..., 0] / self.flat_mm(s)))


def _summed(meridian: Meridian, s: Array, of: str) -> Array:
    """Integral from the pole to each place of r (of "radius"), or of 1/r - 1/s (of "excess")."""
    half = 0.5 * np.diff(s)
    at = s[:-1, None] + half[:, None] * (1.0 + _GAUSS[0])
    radius = meridian.points_mm(at)[..., 0]
    value = radius if of == "radius" else 1.0 / radius - 1.0 / at
    return np.concatenate([[0.0], np.cumsum(half * (value @ _GAUSS[1]))])


def _area_kept(meridian: Meridian, s: Array) -> Array:
    return np.asarray(np.sqrt(2.0 * _summed(meridian, s, "radius")))


def _rim_kept(meridian: Meridian, s: Array) -> Array:
    excess = _summed(meridian, s, "excess")
    return np.asarray(meridian.rim_mm[0] * s / s[-1] * np.exp(excess - excess[-1]))


def _length_kept(meridian: Meridian, s: Array) -> Array:
    return s


_FLAT = {LENGTH_KEPT: _length_kept, AREA_KEPT: _area_kept, RIM_KEPT: _rim_kept}


def tightest_sphere_mm(along: float, disc_radius_mm: float, strain: float) -> float:
    """Radius of the deepest cap of a sphere that a disc makes with no hoop strained further than this, either
    way; at least that of the hemisphere. along : the method, as for :class:`Blank`.
    """
    half = 0.5 * steepest_rim_rad(along, strain)
    over_radius = {LENGTH_KEPT: 2.0 * half, AREA_KEPT: 2.0 * np.sin(half), RIM_KEPT: np.sin(2.0 * half)}
    return float(disc_radius_mm / over_radius[along])


def steepest_rim_rad(along: float, strain: float) -> float:
    """Slope of that cap at its rim, at most that of the hemisphere, whatever the disc's size."""
    half = np.linspace(1e-6, 0.25 * np.pi, 2001)
    most = {
        LENGTH_KEPT: np.log(2.0 * half / np.sin(2.0 * half)),
        AREA_KEPT: -np.log(np.cos(half)),
        RIM_KEPT: -2.0 * np.log(np.cos(half)),
    }[along]
    return float(2.0 * np.interp(strain, most, half))
