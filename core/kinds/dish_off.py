"""How far off template and geometry of a dish are, however often it is read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import NDArray

from core.geometry.meridian import Meridian

Array = NDArray[np.float64]
# How simulated dishes differ from the geometry at its best: everywhere, with the template's own; as a share
# of a gap, far from done and where the rim will stand upright (slopes change fast there); over the thickness
# at the rim, which flares until it has set, at last and far from done; and at the pole, hardly worked.
SHAPE_OFF_MM, SHAPE_OFF = 0.01, 0.02
RIM_OFF, RIM_OFF_TO_COME = 0.02, 0.05
# Where edge and middle are made by an action each, what the rim has set to hangs on which came when: so
# simulated, caps that are worked to 0.05 % of the target are off there by 0.12 to 0.27 of the thickness.
RIM_OFF_BY_BOTH = 0.2
POLE_OFF_MM = 0.06
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
class ShapeOff:
    """What is off along a dish. variance : (n,) of what is so whatever is read; at_rim_mm : (n,) thickness,
    dying away from the rim; at_last : share of that at last; depth_mm : of the dish; of_gap : share of a gap
    when all is still to come"""

    variance: Array
    at_rim_mm: Array
    at_last: float
    depth_mm: float
    of_gap: float

    @classmethod
    def along(
        cls, meridian: Meridian, thickness_mm: float, at_mm: Array, bend_off: Array, both: bool
    ) -> Self:
        """At places (n,) along the meridian. bend_off : (n,) see :func:`bend_off_mm`; both : edge and middle
        are made by an action each"""

        def beside(s_mm: float, reach: float) -> Array:
            """(n,) 1 at this place of the meridian, dying away over how far a sheet bends by itself there."""
            bend = abs(float(meridian.curvature_per_mm(s_mm)))
            length = reach * np.sqrt(thickness_mm / max(bend, 1.0 / meridian.length_mm))
            return np.asarray(np.exp(-np.abs(at_mm - s_mm) / length))

        rim_mm = meridian.length_mm
        return cls(
            SHAPE_OFF_MM**2 + (POLE_OFF_MM * beside(0.0, POLE_REACH)) ** 2 + bend_off**2,
            thickness_mm * beside(rim_mm, RIM_REACH),
            RIM_OFF_BY_BOTH if both else RIM_OFF,
            meridian.rim_mm[1],
            SHAPE_OFF * float(np.sin(meridian.slope_rad(rim_mm))) ** 4,
        )

    def sd_mm(self, gaps_mm: Array) -> Array:
        """(n,) standard deviation of what is off where such gaps (n,) are read (NaN: none)."""
        to_come = min(float(np.nanmax(np.abs(gaps_mm), initial=0.0)) / self.depth_mm, 1.0)
        at_rim = (self.at_last + RIM_OFF_TO_COME * to_come) * self.at_rim_mm
        gaps = self.of_gap * to_come * np.nan_to_num(gaps_mm)
        return np.asarray(np.sqrt(self.variance + at_rim**2 + gaps**2))
