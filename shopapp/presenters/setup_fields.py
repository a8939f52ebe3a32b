"""The fields of the set-up, step by step. A field's name is its path in the job document."""

from __future__ import annotations

from dataclasses import dataclass

import core

STEPS = {
    "job": "Job",
    "line": "Line",
    "section": "Section",
    "tool": "Tool",
    "stations": "Stations",
    "plan": "Plan",
}


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


@dataclass(frozen=True)
class Form:
    """One way to give the line: its fields, its table if it has one; side : where the worked edge is, for
    what has no sign that says so"""

    label: str
    fields: tuple[Field, ...] = ()
    table: Table | None = None
    side: str = ""


OUTSIDE = "− for worked edge outside"
LEFT = "Walk from the first point to the last: the worked edge is at your left hand."
RADIUS = Field("line.radius", f"Radius, {OUTSIDE}", hint="1500", harmless="20000 mm")
POINTS = (("x, mm", False), ("y, mm", False))
BLANK = (("", ""),) * 3
STRAIGHT = (("0", "0"), ("300", "0"), ("600", "0"), ("1000", "0"))

FORMS: dict[str, Form] = {
    "length": Form(
        "Radius and length",
        (RADIUS, Field("line.length", "Length along the curve", hint="1200", harmless="1000 mm")),
    ),
    "angle": Form(
        "Radius and angle",
        (RADIUS, Field("line.angle", "Angle of bend", "deg", hint="46", harmless="3 deg")),
    ),
    "chord": Form(
        "Chord and rise",
        (
            Field("line.chord", "Chord", hint="1000", harmless="1000 mm"),
            Field("line.rise", f"Rise, {OUTSIDE}", hint="60", harmless="1 mm"),
        ),
    ),
    "segments": Form(
        "Segments",
        side="From first to last, the worked edge is at your left hand. Radius below 0: outside; "
        "blank: straight.",
        table=Table(
            "line.segments",
            (("length, mm", False), ("radius, mm", True)),
            BLANK,
            (("1000", "20000"),),
        ),
    ),
    "offsets": Form("Offsets", side=LEFT, table=Table("line.offsets", POINTS, BLANK, STRAIGHT)),
    "traced": Form(
        "Traced points",
        (Field("line.tracing_sd", "Tracing may be off by", first="0.3", harmless="0.3 mm"),),
        Table("line.traced", POINTS, BLANK, STRAIGHT),
        LEFT,
    ),
}

SIZE_LABELS = {
    "worked": "Worked flange",
    "other": "Other flange",
    "other_flange": "Other flange",
    "flange": "Flange",
    "web": "Web",
    "depth": "Depth, worked edge up",
    "thickness": "Thickness",
}
MAY_BE_BLANK = {"Z": ("other_flange",)}
"""sizes that a shape may have besides; left blank, the flanges are alike"""
FLANGES = {"both": "Both flanges worked", "one": "One flange worked"}


def sizes(shape: str) -> tuple[Field, ...]:
    """The sizes that a section of this shape has, all over the outside."""
    extra = MAY_BE_BLANK.get(shape, ())
    return tuple(
        Field(
            f"section.{name}",
            SIZE_LABELS[name],
            hint=_size_hint(name, name in extra),
            harmless="0.5 mm" if name == "thickness" else "60 mm",
            may_be_blank=name in extra,
        )
        for name in (*core.SHAPES[shape], *extra)
    )


def _size_hint(name: str, may_be_blank: bool) -> str:
    if may_be_blank:
        return "25; blank where it is the same"
    return "1.5" if name == "thickness" else "40"


NAME = Field("name", "Name of the part", "", "text", hint="Shutter rib 3", harmless="part")
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
PITCH = Field("pitch", "Pitch of the stations", first="40", harmless="10 mm")
TOLERANCE = Field("tolerance", "Widest gap allowed", first="0.5", harmless="0.5 mm")
SWEEP = Field("template.sweep", "Chord of the sweep", first="200", harmless="50 mm")
SWEEP_NAME = "sweep"
SPACINGS = {"given": "As in the part before", "pitch": "By pitch"}
