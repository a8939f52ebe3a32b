"""Target lines, cross-sections and exact bar geometry. Numbers are in mm and rad."""

from core.geometry.line import TargetLine
from core.geometry.segments import SegmentLine, from_arc, from_chord_rise, from_segments

__all__ = ["SegmentLine", "TargetLine", "from_arc", "from_chord_rise", "from_segments"]
