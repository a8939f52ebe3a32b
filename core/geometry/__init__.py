"""Target lines, cross-sections and exact bar geometry. Numbers are in mm and rad."""

from core.geometry.curve import SplineLine
from core.geometry.line import TargetLine
from core.geometry.offsets import from_offsets
from core.geometry.segments import SegmentLine, from_arc, from_chord_rise, from_segments

__all__ = [
    "SegmentLine",
    "SplineLine",
    "TargetLine",
    "from_arc",
    "from_chord_rise",
    "from_offsets",
    "from_segments",
]
