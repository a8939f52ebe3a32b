"""The fields of the set-up, step by step. A field's name is its path in the job document."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Field:
    """kind : "text" or "number"; harmless : goes with almost any other value, to find what else is wrong;
    first : what a new form starts with; may_be_blank : then it is left out of the document"""

    name: str
    label: str
    unit: str = "mm"
    kind: str = "number"
    hint: str = ""
    first: str = ""
    harmless: str = ""
    may_be_blank: bool = False


@dataclass(frozen=True)
class Table:
    """Rows of typed numbers. columns : (heading, may be left blank)"""

    name: str
    columns: tuple[tuple[str, bool], ...]
    first: tuple[tuple[str, ...], ...]
    harmless: tuple[tuple[str, ...], ...]


NAME = Field("name", "Name of the part", "", "text", hint="Shutter rib 3", harmless="part")
BATCH = Field(
    "batch", "Batch of the metal", "", "text", hint="as on its certificate; may be blank", may_be_blank=True
)
TOOL = (
    Field(
        "tool.name", "Name of the tool set", "", "text", hint="ribs, small; may be blank", may_be_blank=True
    ),
    Field("tool.patch_length", "Patch length of one stroke", first="20", harmless="5 mm"),
    Field("tool.patch_depth", "Patch depth from the edge", first="15", harmless="5 mm"),
    Field("tool.strain_per_stroke", "Strain of one stroke, first guess", "%", first="0.4", harmless="0.4 %"),
    Field("tool.strokes_per_minute", "Stroke rate", "strokes/min", first="120", harmless="120"),
    Field("tool.face", "Tool face", "", "text", first="gripping", harmless="gripping"),
)
BITES = Table(
    "tool.bites",
    (("bite", False), ("strength", False), ("ram setting", True)),
    (("light", "0.4", ""), ("medium", "1.0", ""), ("heavy", "1.8", "")),
    (("medium", "1.0", ""),),
)
SETTINGS = "tool.settings"
"""last column of the bites, a field of its own in the document"""
MACHINE = (
    Field("machine.name", "Machine", "", "text", hint="bench machine; all may be blank", may_be_blank=True),
    Field("machine.throat", "Throat of the machine", hint="150", may_be_blank=True),
    Field("machine.rated_thickness", "Rated thickness", hint="1.5", may_be_blank=True),
    Field("machine.rated_strength", "Rated for tensile strength", "MPa", hint="400", may_be_blank=True),
)
CHECKS = Table("checks", (("check, limits, gauge, parts", False),), (("",),), (("",),))
PART_NUMBER = Field("set.part", "This part's number in its set", "", hint="3", may_be_blank=True)
PARTS_IN_ALL = Field("set.of", "Parts in the set", "", hint="6", may_be_blank=True)
PLACE = (PART_NUMBER, PARTS_IN_ALL)
TOLERANCE = Field("tolerance", "Widest gap allowed", first="0.5", harmless="0.5 mm")
SWEEP = Field("template.sweep", "Chord of the sweep", first="200", harmless="50 mm")
SWEEP_NAME = "sweep"
SPACINGS = {"given": "As in the part before", "pitch": "By pitch"}
