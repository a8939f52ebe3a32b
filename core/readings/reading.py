"""What a template shows at places of a part, for every kind of part and of template."""

from __future__ import annotations

from typing import cast

import numpy as np

from core.kinds.base import Array, LaidAlong, Linearised, Part
from core.readings.templates import Template


def readings_of(part: Part, template: Template, work: Array, seat: Array, at_mm: Array) -> Linearised:
    """Readings (r,) in mm with their slopes, for this remaining work (n,) and seating (k,).

    A sweep, for parts with a bent edge, stands on the part by itself: no seating of the whole template
    changes what it shows.
    """
    if template.chord_mm:
        reading, slopes = cast(LaidAlong, part).sagitta(work, at_mm, template.chord_mm)
        return Linearised(reading, slopes, np.zeros((len(at_mm), len(part.seat_sd))))
    here = part.linearise(work, seat, at_mm)
    sign = template.sign
    return Linearised(sign * here.deviation_mm, sign * here.influence, sign * here.seating)
