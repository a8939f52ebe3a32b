"""Whether a template that touches all along its stretch can be laid to a part at all.

Moved square to its middle such a template clears the part everywhere as long as it turns by no more than
half a turn. Beyond that it clears one side of the hoop and runs into the other: a part closed a little
too far, or not far enough for a template on its back, takes it in no way, and there is nothing to read.
"""

from __future__ import annotations

from math import degrees, pi
from typing import Any

import numpy as np

from core.errors import InputError
from core.kinds.base import LaidAlong, Part, ReadOnMeridians
from core.readings.templates import Template

PLACES = 721
NO_DEPTH = (
    "a short sweep tells how far the meridian bends over its chord, neither how deep the dish is nor what "
    "its rim does"
)
HALF_TURN = pi * (1.0 + 1e-6)


def check_laying(part: Part, template: Template, field: str, shown: Any) -> None:
    """Raises InputError when the part cannot be read with this template, or turns too far for it.

    shown : the template as given, for the error.
    """
    if template.name not in part.templates:
        why = f": {NO_DEPTH}" if template.chord_mm and isinstance(part, ReadOnMeridians) else ""
        raise InputError(field, shown, f"one of {', '.join(part.templates)} is wanted{why}")
    turn = turn_under(part, template)
    if turn <= HALF_TURN:
        return
    over = f"over {template.chord_mm:g} mm " if template.chord_mm else ""
    instead = (
        "a shorter one" if template.chord_mm else '"layout line", or a sweep such as {"sweep": "200 mm"},'
    )
    wanted = (
        f"{over}the line turns by {degrees(turn):.0f}°, and a template that touches can be laid to half a "
        f"turn, 180°, at most; {instead} is wanted"
    )
    raise InputError(field, shown, wanted)


def turn_under(part: Part, template: Template) -> float:
    """Largest turn of the target under the template, rad; 0 where it is not laid along an edge."""
    if not isinstance(part, LaidAlong):
        return 0.0
    reach = part.length_mm if template.rigid else min(template.chord_mm, part.length_mm)
    heading = part.heading_rad(np.linspace(0.0, part.length_mm, PLACES))
    cells = int(np.ceil(reach / part.length_mm * (PLACES - 1) - 1e-9))
    under = np.lib.stride_tricks.sliding_window_view(heading, cells + 1)
    return float(np.max(under.max(axis=1) - under.min(axis=1)))
