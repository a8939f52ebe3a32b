"""How far off template and geometry of a dish are, however often it is read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from core.geometry.meridian import Meridian

Array = NDArray[np.float64]
SHAPE_OFF = 0.02  # of a gap, far from done and where the rim will stand upright: slopes change fast there
POLE_OFF_MM = 0.06  # at the pole, hardly worked
RIM_REACH, POLE_REACH = 1.5, 1.0  # over sqrt(R t), that the sheet's own bending reaches there
# Of by how much the meridian's bend changes, times r t, some three times the square of how far a shell of
# that radius bends by itself: a sheet sets to a knuckle no more sharply. Of simulated dished ends, worked to
# 0.05 % of the target, 250 to 800 mm across, with knuckles of 25 to 60 mm in sheet of 1 and 2 mm, 0.03 to
# 0.07, of one 0.014; by patches 7.5 to 25 mm deep and in rings 15 to 30 mm wide much the same.
BEND_OFF = 0.042
# Over the thickness: the rim's edge as cut, and simulated dishes, which are so much lower; across it either
# edge may have been measured over, and simulated rims flare by 0.6 in the mean square, domes by up to 1.7.
HEIGHT_OFF, ACROSS_OFF = 0.35, 1.0


def bend_off_mm(meridian: Meridian, thickness_mm: float, at_mm: Array, width_mm: Array) -> Array:
    """(n,) the part of it that comes with a meridian whose bend changes within a ring, at its place and of
    its width (n,), or beside it as far as a sheet bends by itself."""
    own = np.sqrt(meridian.points_mm(at_mm)[:, 0] * thickness_mm)
    beside = at_mm[:, None] + np.linspace(-1.0, 1.0, 9) * (own + width_mm)[:, None]
    bend = meridian.curvature_per_mm(np.clip(beside, 0.0, meridian.length_mm).ravel())
    return np.asarray(BEND_OFF * np.ptp(bend.reshape(beside.shape), axis=1) * own**2)


@dataclass(frozen=True)
class Known:
    """How simulated dishes differ from a geometry, sd. everywhere_mm : with the template's own; at_rim,
    to_come : over the thickness at the rim, at last and what is added far from done; domed, domed_to_come :
    the same everywhere, where the middle is stretched; bend : share of what a sharp bend is off by"""

    everywhere_mm: float
    at_rim: float
    to_come: float
    domed: float
    domed_to_come: float
    bend: float


# Of one that takes the sheet to set to the target's shape, whose rim flares until it has; and of one that
# knows the passes of a dish made by both actions.
BY_TARGET = Known(0.01, 0.02, 0.05, 0.0, 0.0, 1.0)
BY_PASSES = Known(0.03, 0.05, 0.05, 0.02, 0.2, 0.25)


@dataclass(frozen=True)
class ShapeOff:
    """What is off along a dish. variance : (n,) of what is so whatever is read; at_rim_mm : (n,) thickness,
    dying away from the rim; thickness_mm, depth_mm : of the dish; of_gap : share of a gap when all is still
    to come; known : by which geometry"""

    variance: Array
    at_rim_mm: Array
    thickness_mm: float
    depth_mm: float
    of_gap: float
    known: Known

    @classmethod
    def along(
        cls, meridian: Meridian, thickness_mm: float, at_mm: Array, bend_off: Array, known: Known
    ) -> Self:
        """At places (n,) along the meridian. bend_off : (n,) see :func:`bend_off_mm`"""

        def beside(s_mm: float, reach: float) -> Array:
            """(n,) 1 at this place of the meridian, dying away over how far a sheet bends by itself there."""
            bend = abs(float(meridian.curvature_per_mm(s_mm)))
            length = reach * np.sqrt(thickness_mm / max(bend, 1.0 / meridian.length_mm))
            return np.asarray(np.exp(-np.abs(at_mm - s_mm) / length))

        rim_mm, bend = meridian.length_mm, known.bend * bend_off
        return cls(
            known.everywhere_mm**2 + (POLE_OFF_MM * beside(0.0, POLE_REACH)) ** 2 + bend**2,
            thickness_mm * beside(rim_mm, RIM_REACH),
            thickness_mm,
            meridian.rim_mm[1],
            SHAPE_OFF * float(np.sin(meridian.slope_rad(rim_mm))) ** 4,
            known,
        )

    def sd_mm(self, gaps_mm: Array) -> Array:
        """(n,) standard deviation of what is off where such gaps (n,) are read (NaN: none)."""
        known = self.known
        to_come = min(float(np.nanmax(np.abs(gaps_mm), initial=0.0)) / self.depth_mm, 1.0)
        at_rim = (known.at_rim + known.to_come * to_come) * self.at_rim_mm
        domed = (known.domed + known.domed_to_come * to_come) * self.thickness_mm
        gaps = self.of_gap * to_come * np.nan_to_num(gaps_mm)
        return np.asarray(np.sqrt(self.variance + at_rim**2 + gaps**2 + domed**2))
