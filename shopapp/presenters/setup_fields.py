"""The fields of the set-up, step by step. A field's name is its path in the job document."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Field:
    """kind : "text", "number" or "choice"; harmless : goes with almost any other value, to find what else is
    wrong; first : what a new form starts with; may_be_blank : then it is left out of the document; options :
    of a choice; beside : it shares its row with the field before"""

    name: str
    label: str
    unit: str = "mm"
    kind: str = "number"
    hint: str = ""
    first: str = ""
    harmless: str = ""
    may_be_blank: bool = False
    options: tuple[str, ...] = ()
    beside: bool = False


@dataclass(frozen=True)
class Table:
    """Rows of typed numbers. columns : (heading, may be left blank)"""

    name: str
    columns: tuple[tuple[str, bool], ...]
    first: tuple[tuple[str, ...], ...]
    harmless: tuple[tuple[str, ...], ...]


RATE, FEED = "strokes/min", "mm/s"
FACES = ("gripping", "smooth", "soft-faced")
BOTH = "shrink and stretch"
NAME = Field("name", "Name of the part", "", "text", hint="Shutter rib 3", harmless="part")
BATCH = Field("batch", "Batch of the metal", "", "text", hint="coil 17; may be blank", may_be_blank=True)
TOOL = (
    Field("tool.name", "Name", "", "text", hint="ribs; may be blank", may_be_blank=True),
    Field(*("tool.face", "Tool face", "", "choice", "", "gripping", "gripping"), options=FACES, beside=True),
    Field("tool.patch_length", "Patch length of one stroke", first="20", harmless="5 mm"),
    Field("tool.patch_depth", "Patch depth from the edge", first="15", harmless="5 mm", beside=True),
    Field("tool.strain_per_stroke", "Strain a stroke, first guess", "%", first="0.4", harmless="0.4 %"),
    Field("tool.strokes_per_minute", "Stroke rate", RATE, first="120", harmless="120", beside=True),
)
TOOL_MORE = (
    Field("tool.actions", "Does", "", "choice", first=BOTH, options=(BOTH, "shrink", "stretch")),
    Field("tool.change_time", "Time to change to it", "min", hint="5", may_be_blank=True, beside=True),
    Field("tool.smallest_flange", "Least flange that it enters", hint="12", may_be_blank=True),
    Field("tool.smallest_radius", "Least inside radius", hint="100", may_be_blank=True, beside=True),
    Field("tool.smallest_angle", "Least inside angle", "°", hint="75", may_be_blank=True),
    Field("tool.free_length", "Free between the gripping halves", hint="5", may_be_blank=True, beside=True),
)
"""what else the shop may keep of a tool set"""
BITES = Table(
    "tool.bites",
    (("bite", False), ("strength", False), ("ram setting", True)),
    (("light", "0.4", ""), ("medium", "1.0", ""), ("heavy", "1.8", "")),
    (("medium", "1.0", ""),),
)
SETTINGS = "tool.settings"
"""last column of the bites, a field of its own in the document"""
MACHINE = (
    Field("machine.name", "Name", "", "text", hint="bench machine; all may be blank", may_be_blank=True),
    Field("machine.throat", "Throat", hint="150", may_be_blank=True),
    Field("machine.rated_thickness", "Rated thickness", hint="1.5", may_be_blank=True, beside=True),
    Field("machine.rated_strength", "Rated for tensile strength", "MPa", hint="400", may_be_blank=True),
    Field("machine.stroke_rates[0]", "Slowest stroke rate", RATE, hint="60", may_be_blank=True),
    Field("machine.stroke_rates[1]", "Fastest stroke rate", RATE, hint="400", may_be_blank=True, beside=True),
    Field("machine.feeds[0]", "Slowest feed", FEED, hint="2", may_be_blank=True),
    Field("machine.feeds[1]", "Fastest feed", FEED, hint="60", may_be_blank=True, beside=True),
    Field("machine.settings_range[0]", "Least ram setting", hint="0", may_be_blank=True),
    Field("machine.settings_range[1]", "Largest ram setting", hint="6", may_be_blank=True, beside=True),
)
CHECKS = Table("checks", (("check, limits, gauge, parts", False),), (("",),), (("",),))
PART_NUMBER = Field("set.part", "This part's number in its set", "", hint="3", may_be_blank=True)
PARTS_IN_ALL = Field("set.of", "Parts in the set", "", hint="6", may_be_blank=True)
PLACE = (PART_NUMBER, PARTS_IN_ALL)
TOLERANCE = Field("tolerance", "Widest gap allowed", first="0.5", harmless="0.5 mm")
SWEEP = Field("template.sweep", "Chord of the sweep", first="200", harmless="50 mm")
SWEEP_NAME = "sweep"
SPACINGS = {"given": "As in the part before", "pitch": "By pitch"}
