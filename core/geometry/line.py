"""What every target line offers, and how a line goes on past its ends.

Axes: x, y in the plane of curvature. ``s`` is arc length from the line's first end. Curvature
is > 0 where the worked edge is on the inside of the curve: heading increases, the line turns left
and the centre is on the left. The left normal is (-sin psi, cos psi); "outward" is the right one.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


class TargetLine(Protocol):
    """The line that the heel of the finished bar should follow.

    Beyond either end a line goes on as the circle (or straight) that it has at that end.
    """

    @property
    def length_mm(self) -> float:
        """Arc length from end to end, mm."""
        ...

    @property
    def warnings(self) -> tuple[str, ...]:
        """What looks doubtful about the line as given, one sentence each."""
        ...

    @property
    def smoothing_sd_mm(self) -> float:
        """How far off the line itself may be, measured or smoothed (standard deviation, mm); 0 if exact."""
        ...

    def heading_rad(self, s_mm: ArrayLike) -> Array:
        """(...) direction of the tangent at arc length ``s_mm``, rad from the x axis, continuous."""
        ...

    def curvature_per_mm(self, s_mm: ArrayLike) -> Array:
        """(...) curvature at arc length ``s_mm``, 1/mm; at a joint the value just beyond it."""
        ...

    def point_mm(self, s_mm: ArrayLike) -> Array:
        """(..., 2) point at arc length ``s_mm``, mm."""
        ...


def arc_step(heading_rad: ArrayLike, curvature_per_mm: ArrayLike, step_mm: ArrayLike) -> Array:
    """(..., 2) displacement along a circle (or a straight, curvature 0) in closed form.

    The chord of an arc of length ``step_mm`` is step * sin(a)/a with half angle a = curvature * step/2
    and lies at the heading in the middle of the arc.
    """
    step = np.asarray(step_mm, dtype=float)
    half = 0.5 * np.asarray(curvature_per_mm, dtype=float) * step
    chord = step * np.sinc(half / np.pi)
    direction = np.asarray(heading_rad, dtype=float) + half
    return np.stack([chord * np.cos(direction), chord * np.sin(direction)], axis=-1)
