"""The kinds of part as the set-up asks for them: the steps that differ, their fields and choices."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import core
from shopapp.presenters.setup_fields import SWEEP_NAME, Field, Table

Chosen = Callable[[str], str]
"""name of a choice -> what is chosen"""


@dataclass(frozen=True)
class Form:
    """One way to give the line: its fields, its table if it has one; side : where the worked edge is, for
    what has no sign that says so"""

    label: str
    fields: tuple[Field, ...] = ()
    table: Table | None = None
    side: str = ""

    @property
    def names(self) -> set[str]:
        """Paths of what it asks for."""
        return {spec.name for spec in self.fields} | ({self.table.name} if self.table else set())


@dataclass(frozen=True)
class Choice:
    """Something to pick. name : as the draft keeps it; path : in the document; options : value -> text"""

    name: str
    label: str
    path: str
    options: Mapping[str, str]


@dataclass(frozen=True)
class Kind:
    """label : as it is picked; steps : names of the steps that are its own; given_by, forms : the line, by
    name; choices, body : what the step of its cross-section asks for, by what is chosen so far; pitch : of
    its sites; templates : that it is read with; ways : by action, what the line makes of the edge; several,
    where : the same in pieces, what it is said of and what by action; gauge : that reaches its first gaps"""

    label: str
    steps: Mapping[str, str]
    given_by: str
    forms: Mapping[str, Form]
    choices: Callable[[Chosen], tuple[Choice, ...]]
    body: Callable[[Chosen], tuple[Field, ...]]
    pitch: Field
    templates: Mapping[str, str]
    ways: Mapping[str, str]
    several: str
    where: Mapping[str, str]
    gauge: str

    @property
    def line_part(self) -> str:
        """Part of the document that its line is in: "line", "outline", "shape"."""
        tables = (form.table for form in self.forms.values())
        return next(table.name.partition(".")[0] for table in tables if table is not None)


OUTSIDE = "− for worked edge outside"
LEFT = "Walk from the first point to the last: the worked edge is at your left hand."
RADIUS = Field("line.radius", f"Radius, {OUTSIDE}", hint="1500", harmless="20000 mm")
POINTS = (("x, mm", False), ("y, mm", False))
PIECES = (("length, mm", False), ("radius, mm", True))
BLANK = (("", ""),) * 3
BLANK_TRACED = (("", ""),) * 8  # as many as are wanted at least
STRAIGHT = tuple((str(125 * i), "0") for i in range(9))
LINES = {
    "length": Form(
        "Radius and length",
        (RADIUS, Field("line.length", "Length along the curve", hint="1200", harmless="1000 mm")),
    ),
    "angle": Form(
        "Radius and angle",
        (RADIUS, Field("line.angle", "Angle of bend", "°", hint="46", harmless="3 deg")),
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
        table=Table("line.segments", PIECES, BLANK, (("1000", "20000"),)),
    ),
    "offsets": Form(
        "Offsets",
        (Field("line.offsets_sd", "Line may be off by", hint="0.1; blank: exact", may_be_blank=True),),
        Table("line.offsets", POINTS, BLANK, STRAIGHT),
        LEFT,
    ),
    "traced": Form(
        "Traced points",
        (Field("line.tracing_sd", "Tracing may be off by", first="0.3", harmless="0.3 mm"),),
        Table("line.traced", POINTS, BLANK_TRACED, STRAIGHT),
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
SHAPE = Choice("shape", "Section", "section.shape", {shape: shape.capitalize() for shape in core.SHAPES})
FLANGES = Choice(
    "flanges", "Flanges", "section.worked", {"both": "Both flanges worked", "one": "One flange worked"}
)


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


BAR = Kind(
    label="Section bar",
    steps={"line": "Line", "section": "Section", "stations": "Stations"},
    given_by="Line given by",
    forms=LINES,
    choices=lambda chosen: (SHAPE, *((FLANGES,) if chosen("shape") in core.WORKED_FLANGES else ())),
    body=lambda chosen: sizes(chosen("shape")),
    pitch=Field("pitch", "Pitch of the stations", first="40", harmless="10 mm"),
    templates={
        **{name: name for name in ("inside", "outside", "layout line")},
        SWEEP_NAME: "sweep, moved along",
    },
    ways={
        "shrink": "The worked edge is on the inside of the curve: this closes (shrink).",
        "stretch": "The worked edge is on the outside of the curve: this opens (stretch).",
    },
    several="This",
    where={"shrink": "closes (shrink)", "stretch": "opens (stretch)"},
    gauge="feeler leaves",
)

LENGTHS = {"shrink": "gets shorter (shrink)", "stretch": "gets longer (stretch)"}
OUTLINES = {
    "segments": Form(
        "Segments",
        side="Radius above 0: the edge bulges out; below 0: it is hollow; blank: straight.",
        table=Table("outline.segments", PIECES, BLANK, (("1000", "20000"),)),
    ),
    "rim": Form(
        "Rim of a disc", (Field("outline.rim", "Diameter of the rim", hint="300", harmless="3000 mm"),)
    ),
    "hole": Form(
        "Edge of a hole", (Field("outline.hole", "Diameter of the hole", hint="200", harmless="3000 mm"),)
    ),
}
TURNED = (
    Field("height", "Height of the flange", hint="20", harmless="40 mm"),
    Field("angle", "Angle from the plate", "°", first="90", harmless="90 deg"),
    Field("inside_radius", "Inside radius of the bend", first="3", harmless="0.5 mm"),
    Field("thickness", "Thickness", hint="1.5", harmless="0.5 mm"),
    Field("start_angle", "Tipped before to", "°", hint="10; may be blank", may_be_blank=True),
)
FLANGE = Kind(
    label="Turned flange",
    steps={"line": "Outline", "section": "Flange", "stations": "Sectors"},
    given_by="Outline given by",
    forms=OUTLINES,
    choices=lambda chosen: (),
    body=lambda chosen: TURNED,
    pitch=Field("pitch", "Length of a sector, about", first="60", harmless="60 mm"),
    templates={"square": "square"},
    ways={
        "shrink": "The edge bulges out: it gets shorter (shrink).",
        "stretch": "The edge is hollow: it gets longer (stretch).",
    },
    several="The edge",
    where={**LENGTHS, "fold": "is folded up (fold)"},
    gauge="steel rule",
)

HOLLOW = "From the middle to the rim: distance from the axis, height over the middle."
AXIS = (("from axis, mm", False), ("height, mm", False))
CAP = (("0", "0"), ("100", "5"), ("200", "20"), ("300", "45"))
TRACED_CAP = tuple((str(40 * i), f"{0.8 * i * i:g}") for i in range(9))
SHAPES = {
    "cap": Form(
        "Sphere, depth",
        (
            Field("shape.radius", "Radius of the sphere", hint="300", harmless="1000 mm"),
            Field("shape.depth", "Depth", hint="60", harmless="100 mm"),
        ),
    ),
    "slope": Form(
        "Sphere, rim slope",
        (
            Field("shape.radius", "Radius of the sphere", hint="300", harmless="1000 mm"),
            Field("shape.angle", "Slope at the rim; 90: hemisphere", "°", hint="60", harmless="30 deg"),
        ),
    ),
    "rim": Form(
        "Rim and depth",
        (
            Field("shape.diameter", "Diameter of the rim", hint="400", harmless="800 mm"),
            Field("shape.depth", "Depth", hint="60", harmless="100 mm"),
        ),
    ),
    "end": Form(
        "Dished end",
        (
            Field("shape.diameter", "Diameter of the rim", hint="600", harmless="1000 mm"),
            Field("shape.crown_radius", "Crown radius", hint="600", harmless="1000 mm"),
            Field("shape.knuckle_radius", "Knuckle radius", hint="60", harmless="100 mm"),
            Field("shape.straight", "Straight flange", hint="20; may be blank", may_be_blank=True),
        ),
    ),
    "profile": Form(
        "Table",
        (Field("shape.profile_sd", "Table may be off by", hint="0.1; blank: exact", may_be_blank=True),),
        Table("shape.profile", AXIS, BLANK, CAP),
        HOLLOW,
    ),
    "traced": Form(
        "Traced points",
        (Field("shape.tracing_sd", "Tracing may be off by", first="0.3", harmless="0.3 mm"),),
        Table("shape.traced", AXIS, BLANK_TRACED, TRACED_CAP),
        HOLLOW,
    ),
}
METHOD = Choice("method", "How it is made", "method", {name: name.capitalize() for name in core.WAYS})
BOTH_WAYS = "shrink the edge and dome the middle"
DISC = Field("thickness", "Thickness of the disc", hint="1.5", harmless="1 mm")
RING = Field(
    "neutral_ring",
    "Ring that keeps its size, along the dish from the pole",
    hint="150; blank: by limits",
    may_be_blank=True,
)
DISH = Kind(
    label="Dish",
    steps={"line": "Shape", "section": "Disc", "stations": "Rings"},
    given_by="Shape given by",
    forms=SHAPES,
    choices=lambda chosen: (METHOD,),
    body=lambda chosen: (DISC, *((RING,) if chosen("method") == BOTH_WAYS else ())),
    pitch=Field("pitch", "Width of a ring", first="25", harmless="20 mm"),
    templates={name: name for name in ("inside", "outside", "layout line")},
    ways={
        "shrink": "The rings get shorter (shrink), the outer ones most.",
        "stretch": "The rings get longer (stretch), the inner ones most.",
    },
    several="The metal",
    where=LENGTHS,
    gauge="steel rule",
)

KINDS = {"section": BAR, "flange": FLANGE, "dish": DISH}
"""by the name that a document gives"""
KIND = Choice("kind", "What is made", "kind", {name: kind.label for name, kind in KINDS.items()})


def steps(kind: Kind) -> dict[str, str]:
    """All steps in their order, name -> text."""
    return {
        "job": "Name",
        "line": kind.steps["line"],
        "section": kind.steps["section"],
        "tool": "Tool",
        "machine": "Machine",
        "stations": kind.steps["stations"],
        "checks": "Checks",
        "plan": "Plan",
    }
