"""What a kind of part is told besides its own fields: the tool's patch and the metal."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Setting:
    """Common fields of a job as a kind of part needs them.

    patch_length_mm, patch_depth_mm : what one stroke shortens or lengthens, depth from the free edge;
    strain_per_stroke : edge strain of one stroke at bite 1.0, first guess;
    poisson : of the metal; takes : by action that some tool of the job does, the natural strain that the
    metal takes in all
    """

    patch_length_mm: float
    patch_depth_mm: float
    strain_per_stroke: float
    poisson: float
    takes: Mapping[str, float]
