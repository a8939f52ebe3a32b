"""Two originals side by side: how far they differ, and the mean of both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from core.geometry.line import Array
from core.originals.job_fields import original_as
from core.originals.measured import Measured, laid_on, normals, rms
from core.originals.original import Original

BEYOND = 3.3  # standard deviations: a chance of 1 % over some ten places that can differ by themselves


@dataclass(frozen=True, eq=False)
class SideBySide:
    """Two originals laid on each other as well as a rigid motion can.

    along_mm : (n,) along the first; apart_mm : (n,) how far the second lies to the left of it; sd_mm : (n,)
    how far that may be off; length_apart_mm : the second less the first; mean : of both
    """

    along_mm: Array
    apart_mm: Array
    sd_mm: Array
    length_apart_mm: float
    mean: Measured

    def line_as(self, part: str = "line") -> dict[str, Any]:
        """Their mean as the field "line", "outline" or "shape" of a job; raises as :func:`original_as`."""
        return original_as(part, self.mean)

    @property
    def sd_of_mean_mm(self) -> float:
        """How far their mean may be off, standard deviation, root mean square along it."""
        return 0.5 * rms(self.sd_mm)

    @property
    def beyond_doubt(self) -> bool:
        """Whether they differ somewhere by more than the measuring explains."""
        return bool(np.max(np.abs(self.apart_mm) / np.maximum(self.sd_mm, 1e-9)) > BEYOND)


def side_by_side(first: Original, second: Original) -> SideBySide:
    """Compare at equal shares of the length of both, each walked in the same direction."""
    one, other = first.measured, second.measured
    moved = laid_on(other.points_mm, one.points_mm)
    apart = np.sum((moved - one.points_mm) * normals(one.points_mm), axis=1)
    both = one.covariance + other.covariance
    mean = Measured(
        0.5 * (one.points_mm + moved),
        0.25 * both,
        0.5 * (one.bend_per_mm + other.bend_per_mm),
        0.5 * np.hypot(one.bend_sd, other.bend_sd),
    )
    steps = np.hypot(*np.diff(one.points_mm, axis=0).T)
    return SideBySide(
        np.concatenate([[0.0], np.cumsum(steps)]),
        apart,
        np.sqrt(np.maximum(np.diag(both), 0.0)),
        other.length_mm - one.length_mm,
        mean,
    )
