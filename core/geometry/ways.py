"""The ways in which the metal of a flat disc may go along the meridian as a dish is made of it.

A ring at radius rho of the disc comes to lie at arc length s of the meridian, at radius r. Its hoop strain is
e = ln(r/rho), natural, > 0 longer; along the meridian it strains by a share k of that, ds = (r/rho)^k d(rho):

* :class:`AreaKept`: k = -1, and the thickness is kept: rho^2 = 2 * integral of r ds;
* :class:`EdgeAndMiddle`: there is a neutral ring, at s0, that keeps its size. Inside it strokes strain alike
  either way, k = 1: the middle is stretched, most at the pole,
  ln rho = ln r(s0) - integral of ds/r from s to s0. Outside it the meridian keeps its length, k = 0: the edge
  is shrunk, rho = r(s0) + s - s0. Since dr/ds is 1 at most, no hoop inside is shortened and none outside is
  lengthened. At the ring itself both strains are none and d(rho)/ds is 1 from either side. With the neutral
  ring at the pole the edge alone is shrunk, rho = s; with it at the rim all is domed, and the rim kept.

Of a sphere (phi = s/R)::

    area kept           rho = 2 R sin(phi/2)                                 e = ln cos(phi/2)
    inside phi0         rho = R sin(phi0) tan(phi/2)/tan(phi0/2)             e = 2 ln(cos(phi/2)/cos(phi0/2))
    outside             rho = R (sin(phi0) + phi - phi0)                     e = ln(R sin(phi)/rho)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from core.geometry.line import Array
from core.geometry.meridian import Meridian

_GAUSS = np.polynomial.legendre.leggauss(3)


class Way(Protocol):
    """One way. Places of the meridian are given as shares of its length, 0 at the pole, 1 at the rim."""

    def flat_mm(self, meridian: Meridian, s_mm: Array) -> Array:
        """(n,) rho of what comes to lie at these arc lengths, rising in small steps from 0 to the rim."""
        ...

    def along(self, share: ArrayLike) -> Array:
        """(...) k there."""
        ...

    @property
    def kept(self) -> float | None:
        """Place of a ring between pole and rim that keeps its size, None where there is none."""
        ...

    def disc_of_sphere(self, rim_rad: Array) -> Array:
        """(n,) radius of the disc over that of a sphere, of whose caps the rims have these slopes."""
        ...

    def most_of_sphere(self, rim_rad: Array, share: float) -> Array:
        """(n,) the largest hoop strain of such caps, an amount > 0, of those with the sign that it has at
        this place."""
        ...


@dataclass(frozen=True)
class AreaKept:
    """Everywhere, and the thickness with it."""

    def flat_mm(self, meridian: Meridian, s_mm: Array) -> Array:
        """See :class:`Way`."""
        return np.asarray(np.sqrt(2.0 * _summed(meridian, s_mm, "radius")))

    def along(self, share: ArrayLike) -> Array:
        """See :class:`Way`."""
        return np.full(np.shape(share), -1.0)

    @property
    def kept(self) -> float | None:
        """See :class:`Way`: the pole alone."""
        return None

    def disc_of_sphere(self, rim_rad: Array) -> Array:
        """See :class:`Way`."""
        return np.asarray(2.0 * np.sin(0.5 * rim_rad))

    def most_of_sphere(self, rim_rad: Array, share: float) -> Array:
        """See :class:`Way`."""
        return np.asarray(-np.log(np.cos(0.5 * rim_rad)))


@dataclass(frozen=True)
class EdgeAndMiddle:
    """The middle stretched out to the neutral ring, the edge beyond it shrunk. neutral : its share of the
    meridian, 0 to 1"""

    neutral: float

    def flat_mm(self, meridian: Meridian, s_mm: Array) -> Array:
        """See :class:`Way`."""
        at = self.neutral * s_mm[-1]
        kept = float(meridian.points_mm(at)[0])
        outside = kept + s_mm - at
        if self.neutral == 0.0:
            return np.asarray(outside)
        excess = _summed(meridian, s_mm, "excess")
        inside = kept * s_mm / at * np.exp(excess - np.interp(at, s_mm, excess))
        return np.asarray(np.where(s_mm < at, inside, outside))

    def along(self, share: ArrayLike) -> Array:
        """See :class:`Way`."""
        return np.where(np.asarray(share) <= self.neutral, 1.0, 0.0)

    @property
    def kept(self) -> float | None:
        """See :class:`Way`."""
        return self.neutral if 0.0 < self.neutral < 1.0 else None

    def disc_of_sphere(self, rim_rad: Array) -> Array:
        """See :class:`Way`."""
        kept = self.neutral * rim_rad
        return np.asarray(np.sin(kept) + rim_rad - kept)

    def most_of_sphere(self, rim_rad: Array, share: float) -> Array:
        """See :class:`Way`."""
        if self.along(share) > 0.0:
            return np.asarray(-2.0 * np.log(np.cos(0.5 * self.neutral * rim_rad)))
        return np.asarray(np.log(self.disc_of_sphere(rim_rad) / np.sin(rim_rad)))


LENGTH_KEPT, RIM_KEPT, AREA_KEPT = EdgeAndMiddle(0.0), EdgeAndMiddle(1.0), AreaKept()


def _summed(meridian: Meridian, s: Array, of: str) -> Array:
    """Integral from the pole to each place of r (of "radius"), or of 1/r - 1/s (of "excess")."""
    half = 0.5 * np.diff(s)
    at = s[:-1, None] + half[:, None] * (1.0 + _GAUSS[0])
    radius = meridian.points_mm(at)[..., 0]
    value = radius if of == "radius" else 1.0 / radius - 1.0 / at
    return np.concatenate([[0.0], np.cumsum(half * (value @ _GAUSS[1]))])


def tightest_sphere_mm(way: Way, disc_radius_mm: float, strain: float, share: float) -> float:
    """Radius of the deepest cap of a sphere that a disc makes with no hoop strained further than this, either
    way; at least that of the hemisphere. share, and a neutral ring : as in :func:`steepest_rim_rad`."""
    rim_rad = steepest_rim_rad(way, strain, share)
    return float(disc_radius_mm / way.disc_of_sphere(np.array([rim_rad]))[0])


def steepest_rim_rad(way: Way, strain: float, share: float) -> float:
    """Slope of that cap at its rim, at most that of the hemisphere, whatever the disc's size.

    share : place of the meridian, whose sign of strain it is about; a neutral ring keeps its own
    """
    rim_rad = np.linspace(2e-6, 0.5 * np.pi, 2001)
    return float(np.interp(strain, way.most_of_sphere(rim_rad, share), rim_rad))
