"""How a dish can go out of round without any of its metal changing length: its inextensional modes.

With n lobes, by angle theta round the axis, a point at arc length s of the meridian moves by p cos(n theta)
away from the axis, q cos(n theta) along it and v sin(n theta) round it. None of the three strains of the
middle surface changes where (A. E. H. Love, A Treatise on the Mathematical Theory of Elasticity, on thin
shells, from memory; signs as in :mod:`core.geometry.meridian`)::

    hoop                p + n v = 0
    along the meridian  r' p' + z' q' = 0
    shear               r v' - r' v = n (r' p + z' q)

Two equations of first order in v and q, of which one solution is finite at the pole. For a sphere it is Lord
Rayleigh's (Proc. London Math. Soc. 13 (1881) 4, from memory): the surface moves outward by
(n + cos phi) tan^n(phi/2).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from core.geometry.meridian import Meridian

Array = NDArray[np.float64]
# Places along the meridian, as shares of its length: in proportion to s near the pole, evenly further out.
SHARES = np.concatenate([np.geomspace(1e-3, 0.1, 140)[:-1], np.linspace(0.1, 1.0, 361)])
LEAST_SLOPE = 0.05  # of the steepest, at the rim, and in proportion to s further in


@dataclass(frozen=True)
class LobedMode:
    """The mode with so many lobes, 1 mm outward (along the normal) at the rim of its highest meridian.

    radial_mm : of the rim, away from the axis; axial_mm : of the rim, > 0 up
    """

    lobes: int
    radial_mm: float
    axial_mm: float
    _over_power: Array

    def outward_mm(self, share: Array) -> Array:
        """(r,) along the outward normal, at these shares (r,) of the meridian's length, 0 at the pole."""
        return np.asarray(np.interp(share, SHARES, self._over_power) * share**self.lobes)


def lobed_mode(meridian: Meridian, lobes: int) -> LobedMode:
    """The mode of this dish with n >= 2 lobes.

    Flat sheet bends any way, and where a meridian is level or dips, the equations say nothing or stand still:
    it is taken to rise a little there (``LEAST_SLOPE``), so that a flat middle moves as that of a shallow
    cap.
    """
    length, n = meridian.length_mm, lobes
    s = np.empty(2 * len(SHARES) - 1)  # ends and middles
    s[::2], s[1::2] = length * SHARES, 0.5 * length * (SHARES[1:] + SHARES[:-1])
    given = meridian.slope_rad(s)
    slope = np.maximum(given, LEAST_SLOPE * float(np.max(np.abs(given))) * s / length)
    r = meridian.points_mm(s)[:, 0] + _summed(s, np.cos(slope) - np.cos(given))
    out, up = np.cos(slope), np.sin(slope)
    rates = np.empty((len(s), 2, 2))  # of v and q by s
    rates[:, 0] = (1.0 / r)[:, None] * np.column_stack([-(n**2 - 1) * out, n * up])
    rates[:, 1] = (n * out / up)[:, None] * rates[:, 0]
    at_start = s[0] ** (n + 1) * np.array([1.0, (n + 1) / up[0]])
    v, q = _marched(rates, at_start, np.diff(s[::2])).T
    along = slope[::2]
    outward = -n * v * np.sin(along) - q * np.cos(along)
    size = outward[-1]
    over_power = outward / (size * SHARES**n)
    return LobedMode(n, float(-n * v[-1] / size), float(q[-1] / size), over_power)


def _summed(s: Array, values: Array) -> Array:
    """(k,) integral from the pole (m,) by the trapezoidal rule; next to the pole the values are small."""
    pieces = 0.5 * (values[1:] + values[:-1]) * np.diff(s)
    return np.concatenate([[0.0], np.cumsum(pieces)])


def _marched(rates: Array, start: Array, steps: Array) -> Array:
    """(m + 1, 2) solution of y' = A y by the classical rule of Runge and Kutta; rates : (2 m + 1, 2, 2) at
    the ends and the middles of m steps (m,)."""
    first, middle, last = rates[:-2:2], rates[1::2], rates[2::2]
    h, one = steps[:, None, None], np.eye(2)
    k2 = middle @ (one + 0.5 * h * first)
    k3 = middle @ (one + 0.5 * h * k2)
    k4 = last @ (one + h * k3)
    over = one + h / 6.0 * (first + 2.0 * k2 + 2.0 * k3 + k4)  # what each step makes of where it begins
    v, q = start.tolist()
    found = [(v, q)]
    for (v_by_v, v_by_q), (q_by_v, q_by_q) in over.tolist():
        v, q = v_by_v * v + v_by_q * q, q_by_v * v + q_by_q * q
        found.append((v, q))
    return np.array(found)
