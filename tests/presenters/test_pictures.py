"""Pictures of the set-up as view states, against values worked out by hand."""

from __future__ import annotations

from math import exp, log
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import (
    axes,
    machine_picture,
    metal_picture,
    pictures,
    profiles,
    setup_kinds,
    tool_picture,
)
from shopapp.presenters.complaints import Checked
from shopapp.presenters.picture_views import CurveDrawing, MachineDrawing, StrengthDrawing, ToolDrawing
from shopapp.presenters.pieces import OK, OVER, PLAIN
from tests.made_up import SECTIONS, bowl, rib

OWN = {"name": "own sheet", "E": "70 GPa", "poisson": 0.33}
"""a metal of which only the needed figures are known"""


def job(**changes: Any) -> core.Job:
    return core.job(rib(**changes))


def tool(**changes: Any) -> dict[str, Any]:
    return {**rib()["tool"], **changes}


def test_the_patch_of_the_tool() -> None:
    """20 x 15 mm with a quarter free; 0.4 % of 20 mm is 0.08 mm at bite 1, 0.032 at 0.4, 0.144 at 1.8."""
    bites = {"light": 0.4, "medium": 1.0, "heavy": 1.8}
    made = job(tool=tool(patch_length="20 mm", patch_depth="15 mm", strain_per_stroke=0.004, bites=bites))
    picture = tool_picture.picture(made, section_known=True)
    arrows = (("together", "Shrink"), ("apart", "Stretch"))
    assert picture.drawing == ToolDrawing(20.0, 15.0, 5.0, 40.0, arrows, "20 mm", "15 mm", "40 mm")
    assert [text for text, _ in picture.said] == [
        "Gripping face; drawn to scale.",
        "A stroke: 0.03 to 0.14 mm, first guess.",
    ]


def test_a_tool_of_one_action_and_one_bite() -> None:
    made = job(tool=tool(actions=["shrink"], face="smooth", bites={"one": 1.0}, patch_length="25 mm"))
    picture = tool_picture.picture(made, section_known=False)
    assert picture.drawing.arrows == (("together", "Shrink"),)
    assert picture.drawing.flange_mm is None
    assert [text for text, _ in picture.said] == [
        "Smooth face; the flange is not typed yet.",
        "A stroke: 0.1 mm, first guess.",
    ]


def test_the_machine_as_it_is_given() -> None:
    """400 MPa at 2 mm: of 5754-O, 190 to 240 MPa, bending leaves 2 sqrt(400/215) = 2.73 mm, the cautious rule
    for a softer metal (common practice, as core.forming.capacity has it)."""
    machine = {"throat": "120 mm", "rated_thickness": "2 mm", "rated_strength": "400 MPa"}
    picture = machine_picture.picture(job(machine=machine), section_known=True)
    drawing = picture.drawing
    assert (drawing.reach_mm, drawing.throat_mm, drawing.thickness_mm) == (15.0, 120.0, 1.5)
    assert drawing.takes_mm == pytest.approx(2.0 * (400.0 / 215.0) ** 0.5)
    assert (drawing.deep, drawing.thick) == (OK, OK)
    assert picture.said == (
        ("105 mm of throat to spare.", PLAIN),
        ("Aluminium 5754-O to 2.73 mm by its rating, a guard.", PLAIN),
    )


def test_a_machine_that_is_too_small() -> None:
    """The table of the machine comes before its rating; both excesses in numbers, with their state."""
    machine = {"throat": "10 mm", "rated_thickness": "9 mm", "thickness_limits": {"aluminium": "1.2 mm"}}
    picture = machine_picture.picture(job(machine=machine), section_known=True)
    assert (picture.drawing.deep, picture.drawing.thick) == (OVER, OVER)
    assert picture.said == (
        ("5 mm too deep for the throat.", OVER),
        ("0.3 mm too thick by its table.", OVER),
    )


def test_the_innermost_ring_of_a_disc_goes_deepest_into_the_throat() -> None:
    """Rings of 30 mm on a disc of 386.1 mm: the second wants work, and its middle lies 115 mm or so in."""
    shape = {"radius": "300 mm", "depth": "60 mm"}
    for throat, state in (("400 mm", OK), ("100 mm", OVER)):
        dish = core.job(bowl(shape=shape, pitch="30 mm", machine={"throat": throat}))
        wanting = np.abs(dish.part.target) > 0.02 * np.abs(dish.part.target).max()
        assert dish.part.sites.inward_mm is not None
        deepest = float(dish.part.sites.inward_mm[wanting].max())
        drawing = machine_picture.picture(dish, section_known=True).drawing
        assert (drawing.reach_mm, drawing.deep) == (pytest.approx(deepest), state)
        assert (drawing.reach_name, drawing.jaws_mm) == ("innermost ring", dish.tool.patch_depth_mm)
        assert bool(core.refit(dish, []).misfits) == (state == OVER)


def test_an_edge_that_just_fits() -> None:
    picture = machine_picture.picture(job(machine={"throat": "15 mm"}), section_known=True)
    assert (picture.drawing.deep, picture.said[0][0]) == (OK, "0 mm of throat to spare.")


def test_a_machine_of_which_nothing_is_known() -> None:
    """The angle of 40 x 40 x 1.5 mm: its free edge at 0, its heel 40 mm before, the other flange upright."""
    picture = machine_picture.picture(job(), section_known=True)
    angle = ((-40.0, -0.75, 0.0, 0.75), (-40.0, 0.75, -38.5, 39.25))
    assert picture.drawing == MachineDrawing(
        15.0, None, 1.5, None, reach_text="15 mm", thickness_text="1.5 mm", section=angle
    )
    assert [text for text, _ in picture.said] == [
        "Throat not given: from the tool to the frame.",
        "How thick aluminium 5754-O may be is not known.",
    ]


def test_a_flange_beside_the_worked_one_ends_before_the_jaws() -> None:
    """A channel worked on one flange: the jaws take 15 of 30 mm, so the other is drawn 15 mm wide."""
    section = {"shape": "channel", "web": "60 mm", "flange": "30 mm", "thickness": "1.5 mm", "worked": "one"}
    drawing = machine_picture.picture(job(section=section), section_known=True).drawing
    assert [round(y1, 9) for _, _, y1, _ in drawing.section] == [0.0, -15.0, -28.5]


def test_the_curve_of_a_metal() -> None:
    """Hollomon: K eps^n, here 420 MPa and 0.3, to where the strip necks, eps = n (Considère)."""
    made = job(line={"radius": "-1500 mm", "length": "1200 mm"})
    picture = metal_picture.picture(made, part_known=True)
    drawing = picture.drawing
    assert isinstance(drawing, CurveDrawing)
    assert drawing.curve[0] == (0.0, 0.0)
    assert drawing.curve[-1] == pytest.approx((0.3, 420.0 * exp(0.3 * log(0.3))))
    strain, mpa = drawing.curve[30]
    assert mpa == pytest.approx(420.0 * strain**0.3)
    limit, part = drawing.marks
    assert (limit.strain, limit.text, limit.bold) == (pytest.approx(0.8 * log(1.14)), "anneal 10 %", True)
    assert drawing.ends[0] == pytest.approx(1.15 * 0.3)
    assert drawing.strain_ticks == (0.0, 0.1, 0.2, 0.3)
    assert drawing.stress_ticks == (0.0, 100.0, 200.0, 300.0)
    per_cent = part.text.removeprefix("this part ")
    assert picture.said[0] == (f"Stretching: anneal by 10 %; this part wants {per_cent} longer.", PLAIN)
    assert picture.said[1] == ("Proof from 80, tensile 190 to 240 MPa.", PLAIN)


def test_what_a_part_asks_for() -> None:
    """An edge that lies e outside of the line that keeps its length is stretched e/R. In an angle 40 x 40 x
    1.5 that edge is at most the flange's width from it, and at least half of that. Where the worked
    edge is inside, it is shrunk by as much."""
    action, outside = metal_picture.strain_asked(job(line={"radius": "-1500 mm", "length": "1200 mm"}))
    assert action == "stretch" and 0.5 * 40.0 / 1500.0 < outside < 40.0 / 1500.0 * 1.05
    bent = job(line={"radius": "1500 mm", "length": "1200 mm"})
    action, inside = metal_picture.strain_asked(bent)
    assert action == "shrink" and 0.5 * 40.0 / 1500.0 < inside < 40.0 / 1500.0 * 1.05
    said = metal_picture.picture(bent, True).said[0]
    assert said == (f"Shrinking: anneal by 21 %; this part wants {100.0 * inside:.2g} % shorter.", PLAIN)
    straight = job(line={"segments": [["1200 mm", None]]})
    assert metal_picture.picture(straight, True).said[0] == (
        "Stretching: anneal by 10 %; this part wants none.",
        PLAIN,
    )


def test_a_part_that_asks_for_more_than_the_metal_gives() -> None:
    """The job's own limit of 1 % against some 2 %."""
    line = {"radius": "-1500 mm", "length": "1200 mm"}
    made = job(line=line, limits={"stretch_since_anneal": "1 %"})
    text, state = metal_picture.picture(made, True).said[0]
    assert state == OVER and text.startswith("Stretching: anneal by 1 %; this part wants ")
    assert metal_picture.picture(made, False).said[0] == (
        "Stretching: anneal by 1 % of natural strain.",
        PLAIN,
    )


def test_a_metal_without_a_curve_has_bars_or_nothing() -> None:
    known = job(material={**OWN, "proof": "120 MPa", "tensile": {"low": "200 MPa", "high": "260 MPa"}})
    picture = metal_picture.picture(known, part_known=False)
    bars = (("proof", 120.0, 120.0), ("tensile", 200.0, 260.0))
    assert picture.drawing == StrengthDrawing(bars, (0.0, 100.0, 200.0, 300.0), 300.0)
    assert [text for text, _ in picture.said] == [
        "Stretching: limit not known.",
        "Proof 120, tensile 200 to 260 MPa.",
    ]
    assert metal_picture.picture(job(material=OWN), part_known=False) is None


@pytest.mark.parametrize(
    ("section", "sizes"),
    [
        ("angle", {"below": (0.0, 40.0, "40 mm"), "left": (0.0, 25.0, "25 mm")}),
        ("channel, both", {"below": (0.0, 30.0, "30 mm"), "left": (0.0, 60.0, "60 mm")}),
        ("T", {"below": (0.0, 40.0, "40 mm"), "left": (-15.0, 15.0, "30 mm")}),
        ("flat bar", {"below": (0.0, 30.0, "30 mm")}),
    ],
)
def test_sizes_of_a_section(section: str, sizes: dict[str, Any]) -> None:
    """As they are given, all over the outside."""
    profile = profiles.of_part(job(section=SECTIONS[section]))
    assert {s.side: (s.low_mm, s.high_mm, s.text) for s in profile.sizes} == sizes


def test_the_flange_of_a_z_that_points_away_has_its_size_above() -> None:
    """Web 60, worked flange 30, the other one 20, all over the outside; 1.5 mm thick."""
    z = {"shape": "Z", "web": "60 mm", "flange": "30 mm", "other_flange": "20 mm", "thickness": "1.5 mm"}
    picture = profiles.picture(job(section=z))
    found = {s.side: (s.low_mm, s.high_mm, s.text) for s in picture.drawing.sizes}
    assert found == {
        "below": (0.0, 30.0, "30 mm"),
        "left": (0.0, 60.0, "60 mm"),
        "above": (-18.5, 1.5, "20 mm"),
    }
    assert picture.said[0][0] == "Worked flange 30 mm, 1.5 mm thick; bold: the worked edge, 15 mm deep."


@pytest.mark.parametrize("shape", core.SHAPES)
def test_before_sizes_are_typed_an_example_says_what_they_are_called(shape: str) -> None:
    """Every size beside the drawing is one that the form asks for, none has a number."""
    form = setup_kinds.sizes(shape)
    section = {field.name.removeprefix("section."): field.harmless for field in form}
    made = job(section={**section, "shape": shape})
    missing = Checked(made, (core.InputError("section.thickness", "", "needs it"),))
    (drawn, *_) = pictures.of_step("section", missing)
    asked = {field.label.partition(",")[0].lower() for field in form}
    told = {size.text for size in drawn.drawing.sizes}
    assert told and told <= asked
    assert drawn.said[0][0].startswith("An example")
    assert pictures.of_step("section", Checked(made, ()))[0].drawing.sizes[0].text.endswith(" mm")


def test_only_what_is_typed_right_is_drawn() -> None:
    """A wrong throat takes the machine away; a wrong section the flange of the tool, and of the machine
    every size of it, not its shape."""
    right = job(machine={"throat": "120 mm"})
    for field, kinds in (
        ("machine.throat", [ToolDrawing]),
        ("tool.patch_length", [MachineDrawing]),
        ("tool.bites", [ToolDrawing, MachineDrawing]),
    ):
        checked = Checked(right, (core.InputError(field, "x", "a length is wanted"),))
        shown = [p for step in ("tool", "machine") for p in pictures.of_step(step, checked)]
        assert [type(p.drawing) for p in shown] == kinds
    checked = Checked(right, (core.InputError("section.worked", "x", "a length is wanted"),))
    assert pictures.of_step("tool", checked)[0].drawing.flange_mm is None
    drawing, said = (
        pictures.of_step("machine", checked)[0].drawing,
        pictures.of_step("machine", checked)[0].said,
    )
    assert (drawing.reach_text, drawing.thickness_mm) == ("", None) and len(drawing.section) == 2
    assert said[0][0] == "Throat 120 mm; the section is not typed yet."
    assert pictures.of_step("line", checked) == ()
    assert pictures.of_step("tool", Checked(None, ())) == ()


@pytest.mark.parametrize(
    ("end", "found"),
    [
        (0.345, (0.0, 0.1, 0.2, 0.3)),
        (0.06, (0.0, 0.02, 0.04, 0.06)),
        (350.0, (0.0, 100.0, 200.0, 300.0)),
        (8.0, (0.0, 2.0, 4.0, 6.0, 8.0)),
    ],
)
def test_ticks_are_round(end: float, found: tuple[float, ...]) -> None:
    assert axes.ticks(end) == pytest.approx(found)


@pytest.mark.parametrize(("value", "up"), [(237.0, 250.0), (306.0, 350.0), (95.0, 95.0), (0.97, 1.0)])
def test_rounding_up(value: float, up: float) -> None:
    assert axes.round_up(value) == pytest.approx(up)
