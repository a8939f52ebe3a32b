"""What a reader found in a drawing."""

from __future__ import annotations

from dataclasses import dataclass

from core.linefiles.figure import Figure


@dataclass(frozen=True)
class Drawn:
    """figures : in the drawing's own unit; unit_mm : that unit, None where it says none; left_out :
    sentences"""

    figures: tuple[Figure, ...]
    unit_mm: float | None
    left_out: tuple[str, ...]
