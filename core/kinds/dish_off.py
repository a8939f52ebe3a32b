"""How far off template and geometry of a dish are, however often it is read."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.geometry.meridian import Meridian

Array = NDArray[np.float64]
# How simulated dishes differ from the geometry at its best: everywhere, with the template's own; as a share
# of a gap, far from done and where the rim will stand upright (slopes change fast there); over the thickness
# at the rim, which flares until it has set, at last and far from done; and at the pole, hardly worked.
SHAPE_OFF_MM, SHAPE_OFF = 0.01, 0.02
RIM_OFF, RIM_OFF_TO_COME = 0.02, 0.05
POLE_OFF_MM = 0.06
RIM_REACH, POLE_REACH = 1.5, 1.0  # over sqrt(R t), that the sheet's own bending reaches there
# Over the thickness: the rim's edge as cut, and simulated dishes, which are so much lower; across it either
# edge may have been measured over, and simulated rims flare by 0.6 in the mean square, domes by up to 1.7.
HEIGHT_OFF, ACROSS_OFF = 0.35, 1.0


def shape_off_mm(meridian: Meridian, thickness_mm: float, at_mm: Array, gaps_mm: Array) -> Array:
    """(n,) standard deviation of what is off where such gaps (n,) are read (NaN: none). at_mm : (n,) places
    along the meridian"""

    def beside(s_mm: float, reach: float) -> Array:
        """(n,) 1 at this place of the meridian, dying away over how far a sheet bends by itself there."""
        bend = abs(float(meridian.curvature_per_mm(s_mm)))
        length = reach * np.sqrt(thickness_mm / max(bend, 1.0 / meridian.length_mm))
        return np.asarray(np.exp(-np.abs(at_mm - s_mm) / length))

    rim_mm = meridian.length_mm
    depth = float(meridian.points_mm(rim_mm)[1])
    to_come = min(float(np.nanmax(np.abs(gaps_mm), initial=0.0)) / depth, 1.0)
    at_rim = (RIM_OFF + RIM_OFF_TO_COME * to_come) * thickness_mm * beside(rim_mm, RIM_REACH)
    share = SHAPE_OFF * to_come * np.sin(meridian.slope_rad(rim_mm)) ** 4
    at_pole = POLE_OFF_MM * beside(0.0, POLE_REACH)
    gaps = share * np.nan_to_num(gaps_mm)
    return np.asarray(np.sqrt(SHAPE_OFF_MM**2 + at_pole**2 + at_rim**2 + gaps**2))
