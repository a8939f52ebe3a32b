"""What a template laid along one meridian of a part shows of its lobes, for every kind of part.

Lobes are held as one vector: a and b of each lobed part (:class:`core.kinds.base.ReadOnMeridians`), in the
order of the part. A part that is not read on meridians has none.
"""

from __future__ import annotations

from functools import lru_cache
from math import degrees

import numpy as np

from core.kinds.base import Array, Part, ReadOnMeridians
from core.readings.templates import Template

MERIDIANS_KEPT = 64


def components(part: Part) -> int:
    """How many numbers the lobes of this part are."""
    return 2 * len(part.lobes) if isinstance(part, ReadOnMeridians) else 0


def lobe_sd_mm(part: Part) -> Array:
    """(c,) standard deviation of each, of stock."""
    return np.repeat(part.lobe_sd_mm, 2) if isinstance(part, ReadOnMeridians) else np.zeros(0)


def lobes_added_mm(part: Part, strain: Array) -> Array:
    """(c,) standard deviation of what a pass adds to each that strains its sites by this (n,)."""
    return np.repeat(part.lobes_added_mm(strain), 2) if isinstance(part, ReadOnMeridians) else np.zeros(0)


def waves(part: Part, meridian_rad: Array) -> Array:
    """(k, c) the share of each that stands at meridians (k,): cos and sin of so many lobes."""
    return _waves(part.lobes if isinstance(part, ReadOnMeridians) else (), meridian_rad)


def _waves(lobes: tuple[int, ...], meridian_rad: Array) -> Array:
    turns = np.multiply.outer(meridian_rad, np.array(lobes, dtype=float))
    return np.stack([np.cos(turns), np.sin(turns)], axis=-1).reshape(len(meridian_rad), 2 * len(lobes))


@lru_cache(maxsize=MERIDIANS_KEPT)
def _wave(lobes: tuple[int, ...], meridian_rad: float) -> Array:
    """(1, c) on one meridian: a refit asks for few of them, and often."""
    return _waves(lobes, np.array([meridian_rad]))


def meridian_deg(part: Part, meridian_rad: float) -> float | None:
    """The angle of a meridian as it is said; None for a part that is not read on them."""
    return round(degrees(meridian_rad), 6) if isinstance(part, ReadOnMeridians) else None


def lobe_rows(part: Part, template: Template, at_mm: Array, meridian_rad: float) -> Array:
    """(r, c) readings in mm at places along this meridian per mm of each.

    A sweep reads how far its middle falls short of what its ends ask for.
    """
    if not isinstance(part, ReadOnMeridians):
        return np.zeros((len(at_mm), 0))
    if template.chord_mm:
        near, far = (part.lobes_mm(at_mm + half * template.chord_mm) for half in (-0.5, 0.5))
        shown = 0.5 * (near + far) - part.lobes_mm(at_mm)
    else:
        shown = template.sign * part.lobes_mm(at_mm)
    return np.asarray(np.repeat(shown, 2, axis=1) * _wave(part.lobes, meridian_rad))
