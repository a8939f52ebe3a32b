"""Templates: which points of the part a reading compares, and with what sign.

A reading is a linear combination of signed deviations at a few points of the target line, so that
every kind of part and every kind of template meet in one formula: reading = combine @ deviation(points).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Layout:
    """Points of the target (k,) in mm, and the (r, k) combination that makes the r readings.

    readable : (r,) False where this template cannot be offered up (a sweep overhanging the end)
    """

    points_mm: Array
    combine: Array
    readable: NDArray[np.bool_]


@dataclass(frozen=True)
class Template:
    """A template as offered up.

    name : "inside" (lies in the hollow, gap = deviation), "outside" (lies on the back,
    gap = -deviation), "layout line" (part laid on a drawn line, signed) or "sweep" (short template of
    chord_mm moved along, signed: > 0 where the part is still too open)
    rigid : touches and never overlaps, so that no gap is negative
    sd_mm : standard uncertainty of the template's own shape
    """

    name: str
    sign: float
    rigid: bool
    chord_mm: float = 0.0
    sd_mm: float = 0.04

    def layout(self, stations_mm: Array, length_mm: float) -> Layout:
        """Where it compares, for readings at these stations of a target of this length."""
        n = len(stations_mm)
        if not self.chord_mm:
            return Layout(stations_mm, self.sign * np.eye(n), np.ones(n, dtype=bool))
        half = 0.5 * self.chord_mm
        points = np.concatenate([stations_mm - half, stations_mm, stations_mm + half])
        combine = np.hstack([0.5 * np.eye(n), -np.eye(n), 0.5 * np.eye(n)])
        readable = (points[:n] >= -1e-9) & (points[2 * n :] <= length_mm + 1e-9)
        return Layout(np.clip(points, 0.0, length_mm), combine, readable)


INSIDE = Template("inside", 1.0, True)
OUTSIDE = Template("outside", -1.0, True)
LAYOUT_LINE = Template("layout line", 1.0, False)
# Templates that a job can name; a sweep is named with its chord.
TEMPLATES = {t.name: t for t in (INSIDE, OUTSIDE, LAYOUT_LINE)}


def sweep(chord_mm: float) -> Template:
    """A short template of this chord, moved along; its reading is mid-chord, ends touching."""
    return Template("sweep", 1.0, False, chord_mm)
