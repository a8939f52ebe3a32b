"""How a simulated disc goes out of round, by strokes that are not quite even round its rings.

Nothing of the estimator is known here. Where strokes are more than in the mean, the sheet gives way by
several times what the same strokes do all round, in bending that stretches no metal: for a sphere Lord
Rayleigh's modes, outward by (n + cos phi) tan^n(phi/2) (Proc. London Math. Soc. 13 (1881) 4, from memory),
here of the sphere through the pole and the rim of what the disc shall become. By finite elements a rim shrunk
by 1 %, by 20 % more on two sides than between, is 4 mm oval on a radius of some 200 mm: five times as much
outward, in amplitude, as radius times strain.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.geometry.meridian import Meridian
from core.simulate.truth import Truth

Array = NDArray[np.float64]
NUMBERS = (2, 3)
STIFFER = (1.0, 0.5)  # how far lobes of each number give way against two
HALF_ROUND = 2.0 / np.pi  # first harmonic of strokes on every other arc of the rim
ARCS_OFF_RAD = np.radians(4.0)  # by which arcs are laid out amiss (sd)


class Lobes:
    """Of one disc. rim_mm : radius of its rim as it shall become; high_mm : (2,) complex, outward at the rim,
    c e^(i n theta0) where c stands out most."""

    def __init__(self, line: Meridian, truth: Truth, rng: np.random.Generator) -> None:
        (rim, depth), self._truth, self._rng = line.points_mm(line.length_mm), truth, rng
        self.rim_mm, self._rim_rad = float(rim), 2.0 * float(np.arctan2(depth, rim))
        self.high_mm = np.zeros(len(NUMBERS), complex)

    def outward_mm(self, share: Array, at_rad: float) -> Array:
        """(r,) outward at these shares (r,) of the meridian's length, on the meridian at this angle."""
        return np.asarray(self.modes(share) @ self._at(at_rad))

    def diameters_mm(self, at_rad: Array) -> Array:
        """(k,) by which diameters of the rim are more than in the mean."""
        return np.array([self._radial() @ (self._at(a) + self._at(a + np.pi)) for a in at_rad])

    def heights_mm(self, at_rad: Array) -> Array:
        """(k,) by which the rim is higher than in the mean, of both ends of a diameter: w and u of these
        modes are (n + cos phi) and -sin phi times tan^n(phi/2), and up is -w cos phi + u sin phi."""
        n, cos = np.array(NUMBERS), np.cos(self._rim_rad)
        up = -(n * cos + 1.0) / (n + cos)
        return np.array([0.5 * up @ (self._at(a) + self._at(a + np.pi)) for a in at_rad])

    def worked(self, strain: Array, share: Array) -> None:
        """After a pass that was to shorten rings at these shares (n,) of the length by this strain (n,): it
        was uneven as the sheet is, alike in all passes, and as the hand was in this one."""
        truth, modes = self._truth, self.modes(share)
        hand = self._rng.normal(size=(len(NUMBERS), 2)) @ np.array([1.0, 1.0j])
        uneven = np.asarray(truth.sheet_uneven) + truth.hand_uneven * hand
        self._give_way(uneven * (strain @ modes) / modes.sum(axis=0))

    def struck(self, strain: float, share: Array, lobes: int, at_rad: float) -> None:
        """After strokes on so many arcs, half of the outermost ring, the middle of one at this angle."""
        modes = self.modes(share)
        k = NUMBERS.index(lobes)
        at = at_rad + ARCS_OFF_RAD * float(self._rng.normal()) / lobes
        uneven = np.zeros(len(NUMBERS), complex)
        uneven[k] = HALF_ROUND * strain * np.exp(1j * lobes * at) * modes[-1, k] / modes[:, k].sum()
        self._give_way(uneven)

    def _give_way(self, uneven: Array) -> None:
        """Shorter on one side draws the rim in there."""
        self.high_mm = self.high_mm - self._truth.gives_way * np.array(STIFFER) * self.rim_mm * uneven

    def _at(self, at_rad: float) -> Array:
        return np.real(self.high_mm * np.exp(-1j * np.array(NUMBERS) * at_rad))

    def modes(self, share: Array) -> Array:
        """(r, 2) outward, 1 at the rim."""
        n, phi = np.array(NUMBERS), np.append(share, 1.0)[:, None] * self._rim_rad
        shape = (n + np.cos(phi)) * np.tan(0.5 * phi) ** n
        return np.asarray(shape[:-1] / shape[-1])

    def _radial(self) -> Array:
        """(2,) of the rim away from the axis, of what goes outward there."""
        n = np.array(NUMBERS)
        return np.asarray(n * np.sin(self._rim_rad) / (n + np.cos(self._rim_rad)))


def laid_over(nodes: Array, outward_mm: Array) -> Array:
    """(m, 2) a section whose nodes (m, 2) stand outward by so much (m,) more."""
    along = np.gradient(nodes, axis=0)
    along = along / np.hypot(*along.T)[:, None]
    return np.asarray(nodes + outward_mm[:, None] * np.column_stack([along[:, 1], -along[:, 0]]))
