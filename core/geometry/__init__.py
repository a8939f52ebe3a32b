"""Target lines, cross-sections and exact bar geometry. Numbers are in mm and rad."""

from core.geometry.curve import SplineLine
from core.geometry.heel import HeelMovement, beam_movement, heel_movement
from core.geometry.line import TargetLine
from core.geometry.offsets import from_offsets
from core.geometry.section import Section
from core.geometry.section_shapes import section_from
from core.geometry.segments import SegmentLine, from_arc, from_chord_rise, from_segments
from core.geometry.stroke import StrokeEffect, end_loss, stroke_effect
from core.geometry.torsion import Warping
from core.geometry.traced import from_traced

__all__ = [
    "HeelMovement",
    "Section",
    "SegmentLine",
    "SplineLine",
    "StrokeEffect",
    "TargetLine",
    "Warping",
    "beam_movement",
    "end_loss",
    "from_arc",
    "from_chord_rise",
    "from_offsets",
    "from_segments",
    "from_traced",
    "heel_movement",
    "section_from",
    "stroke_effect",
]
