"""Templates: where a reading compares, and with what sign."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Layout:
    """Places along the target (r,) in mm, and whether this template can be offered up there (r,)."""

    points_mm: Array
    readable: NDArray[np.bool_]


@dataclass(frozen=True)
class Template:
    """A template as offered up.

    name : "inside" (lies in the hollow, gap = deviation), "outside" (lies on the back,
    gap = -deviation), "layout line" (part laid on a drawn line, signed), "sweep" (short template of
    chord_mm moved along, signed: > 0 where the part is still too open) or "square" (one leg flat on the
    plate, slid up to the flange: > 0 at the tip where it lacks, < 0 at the bend where it is turned too far)
    rigid : touches and never overlaps, so that no gap is negative
    sd_mm : standard uncertainty of the template's own shape
    """

    name: str
    sign: float
    rigid: bool
    chord_mm: float = 0.0
    sd_mm: float = 0.04

    def layout(self, places_mm: Array, length_mm: float) -> Layout:
        """Where it can be read, of these places along a target of this length."""
        half = 0.5 * self.chord_mm
        readable = (places_mm - half >= -1e-9) & (places_mm + half <= length_mm + 1e-9)
        return Layout(places_mm, readable)


INSIDE = Template("inside", 1.0, True)
OUTSIDE = Template("outside", -1.0, True)
LAYOUT_LINE = Template("layout line", 1.0, False)
# A square is small and made true, off by 0.03 mm or so, but much alike from one sector to the next, which the
# estimator takes as chance at each: for its bands to hold that has to count for a little more.
SQUARE = Template("square", 1.0, False, sd_mm=0.035)
# Templates that a job can name: for a bar, where a sweep is named with its chord, and for a flange.
TEMPLATES = {t.name: t for t in (INSIDE, OUTSIDE, LAYOUT_LINE)}
ACROSS = {SQUARE.name: SQUARE}


def sweep(chord_mm: float) -> Template:
    """A short template of this chord, moved along; its reading is mid-chord, ends touching."""
    return Template("sweep", 1.0, False, chord_mm)
