"""Set-up: typed fields become a job; all complaints at once, each beside its field, nothing typed is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.reachable import reach
from shopapp.presenters import belongings, setup_draft, setup_like
from shopapp.presenters.pieces import OVER
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.setup_kinds import BAR, steps
from tests.made_up import LINES, SECTIONS, rib
from tests.presenters.conftest import RIB, Clock, a_pass, key, settled

STEPS = steps(BAR)


@pytest.fixture
def empty(folder: core.MemoryFolder, clock: Clock, advise: Callable[..., None]) -> Iterator[Session]:
    with core.Shop(folder, now=clock) as shop:
        yield Session(shop, now=clock, who="A. Worker")


@pytest.fixture
def setup(empty: Session) -> SetupPresenter:
    return SetupPresenter(empty)


def fill(setup: SetupPresenter, **other: str) -> None:
    texts = {
        "name": "Shutter rib 3",
        "line.radius": "1500",
        "line.length": "1,2 m",
        "section.worked": "40",
        "section.other": "40",
        "section.thickness": "1.5",
    }
    for name, text in {**texts, **{k.replace("__", "."): v for k, v in other.items()}}.items():
        setup.change(name, text)


def field(view: Any, name: str) -> Any:
    cells = [] if view.table is None else [cell for row in view.table.rows for cell in row]
    return next(f for f in (*view.fields, *cells) if f.name == name)


def drawn(view: Any) -> list[str]:
    """What kinds of pictures there are."""
    return [type(picture.drawing).__name__ for picture in view.pictures]


def test_a_blank_form_does_not_shout(setup: SetupPresenter) -> None:
    view = setup.view()
    assert [k.text for k in view.steps] == list(STEPS.values())
    told = [(f.label, f.value, f.complaint) for f in view.fields]
    assert told == [("What is made", "section", ""), ("Name of the part", "", "")]
    assert view.outline is None
    assert [k.text for k in view.keys if k.main] == ["On: Line"]


def test_the_plan_tells_how_far_the_part_could_go(
    setup: SetupPresenter, empty: Session, advise: Callable[..., None]
) -> None:
    advise(reach=reach(core.job(RIB)))
    fill(setup)
    setup.press("step:plan")
    settled(empty)
    (found,) = [f for f in setup.view().preview if f.label == "Tightest radius"]
    assert found.value.startswith("about ") and "25 % of natural edge strain in the whole job" in found.value


def test_a_plan_that_ends_outside_says_so(setup: SetupPresenter, empty: Session, advise: Any) -> None:
    advise(remaining=(a_pass(gap=6.45),))
    fill(setup)
    setup.press("step:plan")
    settled(empty)
    (end,) = [f for f in setup.view().preview if f.label == "Widest gap then"]
    assert (end.value, end.state) == ("6.45 ± 0.10 mm, outside 0.50 mm", OVER)


def test_from_typing_to_a_part(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    view = setup.press("step:line")
    assert view.line_text == "1200.0 mm along the edge, 30 stations"
    assert view.outline is not None
    view = setup.press("step:plan")
    assert (view.complaints, view.busy) == ((), "Working out the plan …")
    settled(empty)
    view = setup.view()
    assert [(f.label, f.value) for f in view.preview] == [
        ("Plan", "1 pass, 24 strokes"),
        ("Pass 1", "shrink, medium bite, 24 strokes"),
        ("Widest gap then", "0.42 ± 0.10 mm"),
    ]
    assert setup.press("start").go == "part"
    assert empty.job.name == "Shutter rib 3"
    assert empty.job.part.length_mm == pytest.approx(1200.0)
    assert empty.job.tool.strain_per_stroke == pytest.approx(0.004)
    assert field(setup.view(), "name").value == ""


def test_the_line_is_drawn_before_the_rest_is_right(setup: SetupPresenter) -> None:
    """Sagitta of the drawn arc: h = R - sqrt(R^2 - (c/2)^2), any geometry text."""
    setup.press("step:line")
    setup.press("choose:form=chord")
    setup.change("line.chord", "1000")
    view = setup.change("line.rise", "60")
    assert view.outline is not None
    points = np.array(view.outline.points)
    chord = points[-1] - points[0]
    offset = (points - points[0]) @ np.array([-chord[1], chord[0]]) / np.hypot(*chord)
    assert np.hypot(*chord) == pytest.approx(1000.0, rel=1e-9)
    assert np.max(np.abs(offset)) == pytest.approx(60.0, rel=1e-3)


ARC_OF_OFFSETS = tuple((f"{x}", f"{60 - 60 * (x / 250 - 1) ** 2:.3f}") for x in range(0, 501, 50))
"""A hump of 60 mm over 500 mm, made up, from its first end to its last: it turns right"""


def typed_offsets(setup: SetupPresenter) -> Any:
    fill(setup)
    setup.press("step:line")
    view = setup.press("choose:form=offsets")
    while len(view.table.rows) < len(ARC_OF_OFFSETS):
        view = setup.press("row_add")
    for i, row in enumerate(ARC_OF_OFFSETS):
        for k, text in enumerate(row):
            view = setup.change(f"line.offsets[{i}][{k}]", text)
    return view


def area_between(view: Any) -> float:
    """Signed area from the line to the drawn worked edge by the shoelace formula, > 0 where that is left."""
    closed = np.array([*view.outline.points, *view.outline.worked[::-1]])
    x, y = closed.T
    return float(0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))


def test_the_worked_side_is_said_and_drawn(setup: SetupPresenter) -> None:
    """A radius above 0 has the worked edge at its inside, which is the side of its centre: nearer to it."""
    fill(setup)
    view = setup.press("step:line")
    assert view.side_text == "The worked edge is on the inside of the curve: this closes (shrink)."
    centre = np.array([0.0, 1500.0])
    edge = np.hypot(*(np.array(view.outline.worked) - centre).T)
    assert np.all(edge < 1500.0 - 10.0)
    assert area_between(view) > 0
    assert [arrows for _, arrows in view.outline.arrows] == ["together"]
    assert [text for _, text in view.outline.ends] == ["1", "30"]
    view = setup.change("line.radius", "-1500")
    assert view.side_text == "The worked edge is on the outside of the curve: this opens (stretch)."
    edge = np.hypot(*(np.array(view.outline.worked) + centre).T)
    assert np.all(edge > 1500.0 + 10.0)
    assert [arrows for _, arrows in view.outline.arrows] == ["apart"]


@pytest.mark.parametrize(
    ("form", "typed", "turned"),
    [
        ("length", {"line.radius": "1500", "line.length": "1200"}, {"line.radius": "-1500"}),
        ("angle", {"line.radius": "\u22121,5 m", "line.angle": "46"}, {"line.radius": "1,5 m"}),
        ("chord", {"line.chord": "1000", "line.rise": "+60"}, {"line.rise": "-60"}),
    ],
)
def test_one_key_turns_the_line_over(
    setup: SetupPresenter, form: str, typed: dict[str, str], turned: dict[str, str]
) -> None:
    fill(setup)
    setup.press("step:line")
    setup.press(f"choose:form={form}")
    for name, text in typed.items():
        view = setup.change(name, text)
    before = view.side_text
    view = setup.press("turn")
    for name, text in turned.items():
        assert field(view, name).value == text
    assert {before, view.side_text} == {
        "The worked edge is on the inside of the curve: this closes (shrink).",
        "The worked edge is on the outside of the curve: this opens (stretch).",
    }
    assert setup.press("turn").side_text == before


def test_a_hump_of_offsets_opens_and_turned_over_closes(setup: SetupPresenter, empty: Session) -> None:
    """The same curve as chord and rise closes; as offsets from its chord it opens, and says so at once."""
    view = typed_offsets(setup)
    left = "Walk from the first point to the last: the worked edge is at your left hand. "
    assert view.side_text == left + "The worked edge is on the outside of the curve: this opens (stretch)."
    view = setup.press("turn")
    assert view.side_text.endswith("this closes (shrink).")
    assert [row[1].value for row in view.table.rows][:3] == ["0.000", "-21.600", "-38.400"]
    setup.press("start")
    assert np.all(empty.job.part.target > 0)


def test_a_line_that_bends_both_ways_says_where_it_does_which(setup: SetupPresenter) -> None:
    fill(setup)
    setup.press("step:line")
    setup.press("choose:form=segments")
    for i, row in enumerate((("400", "1500"), ("200", ""), ("400", "-900"))):
        for k, text in enumerate(row):
            view = setup.change(f"line.segments[{i}][{k}]", text)
    assert "closes (shrink) at stations 1 to 10 and opens (stretch) at stations 16 to 25." in view.side_text
    assert [arrows for _, arrows in view.outline.arrows] == ["together", "apart"]
    view = setup.press("turn")
    assert "closes (shrink) at stations 16 to 25 and opens (stretch) at stations 1 to 10." in view.side_text
    assert [row[1].value for row in view.table.rows] == ["-1500", "", "900"]


def test_nothing_is_there_to_turn_in_a_blank_form(setup: SetupPresenter) -> None:
    view = setup.press("step:line")
    assert (key(view, "turn").enabled, key(view, "turn").why) == (False, "no line is typed yet")
    assert all(k.name != "turn" for k in setup.press("step:section").keys)


def test_what_governs_comes_before_what_it_governs(setup: SetupPresenter) -> None:
    orders = {step: [f.name for f in setup.press(f"step:{step}").fields] for step in STEPS}
    assert orders["line"] == ["form", "line.radius", "line.length"]
    sizes = ["section.worked", "section.other", "section.thickness"]
    assert orders["section"] == ["shape", *sizes, "material", "finish"]
    assert orders["stations"] == ["pitch", "tolerance", "template", "gauge"]
    setup.press("step:section")
    view = setup.press("choose:shape=channel")
    assert [f.name for f in view.fields][:2] == ["shape", "flanges"]
    setup.press("step:stations")
    names = [f.name for f in setup.press("choose:template=sweep").fields]
    assert names.index("template") < names.index("template.sweep")


@pytest.mark.parametrize("section", SECTIONS)
def test_the_section_step_draws_the_section(setup: SetupPresenter, empty: Session, section: str) -> None:
    """The drawn rectangles fill the section's area; what is worked lies at the far side from the heel."""
    empty.like = rib(section=SECTIONS[section])
    view = setup.press("step:section")
    assert view.outline is None
    profile = view.pictures[0].drawing
    area = sum((y1 - y0) * (z1 - z0) for y0, z0, y1, z1 in profile.rectangles)
    assert area == pytest.approx(core.job(rib(section=SECTIONS[section])).part.section.area_mm2)
    free_edge = max(y1 for _, _, y1, _ in profile.rectangles)
    assert len(profile.worked) == (2 if section == "channel, both" else 1)
    assert all((y1, y1 - y0) == (free_edge, 15.0) for y0, _, y1, _ in profile.worked)
    assert setup.press("step:line").pictures == ()


def test_of_a_section_that_is_not_complete_an_example_is_drawn(setup: SetupPresenter) -> None:
    view = setup.press("step:section")
    assert (drawn(view), view.outline) == (["Profile", "CurveDrawing"], None)
    assert view.pictures[0].said[0][0].startswith("An example")


def test_warnings_begin_with_a_capital(setup: SetupPresenter) -> None:
    """One point of the table is off by 3 mm: the core's doubt about it is shown as a sentence."""
    typed_offsets(setup)
    setup.change("line.offsets[5][1]", "63")
    view = setup.press("step:plan")
    assert any("off the curve of its neighbours" in w for w in view.warnings)
    assert all(w[0] == w[0].upper() for w in view.warnings)


def test_all_complaints_at_once_each_at_its_field(setup: SetupPresenter) -> None:
    fill(
        setup,
        line__radius="30",
        section__thickness="-1.5",
        tool__patch_length="20 kg",
        pitch="2 m",
        tolerance="0.5 0",
    )
    view = setup.press("step:plan")
    assert [k.text for k in view.steps] == [
        "Name",
        "Line (1)",
        "Section (1)",
        "Tool (1)",
        "Machine",
        "Stations (2)",
        "Checks",
        "Plan",
    ]
    assert len(view.complaints) == 5
    assert (
        "Section, thickness: “-1.5 mm”: more than 0.00 mm and at most 25.00 mm is wanted" in view.complaints
    )
    assert not key(view, "start").enabled
    view = setup.press("step:section")
    bad = field(view, "section.thickness")
    assert (bad.value, bad.complaint) == (
        "-1.5",
        "“-1.5 mm”: more than 0.00 mm and at most 25.00 mm is wanted",
    )
    assert field(view, "section.worked").complaint == ""
    view = setup.press("step:line")
    assert field(view, "line.radius").complaint.startswith(
        "“30 mm”: a radius, to either side, of more than the worked flange"
    )


def test_nothing_is_said_of_a_size_that_nobody_typed(setup: SetupPresenter) -> None:
    """A radius has to be wider than the flange; that is told once there is one."""
    setup.change("line.radius", "-9")
    assert "line.radius" not in {error.field for error in setup._check().complaints}
    for name in ("worked", "other"):
        setup.change(f"section.{name}", "40")
    setup.change("section.thickness", "1.5")
    told = {error.field: error.expected for error in setup._check().complaints}
    assert "to either side, of more than the worked flange, 40.00 mm" in told["line.radius"]


def offsets(setup: SetupPresenter, rows: list[tuple[str, str]]) -> Any:
    """The view with these rows typed into the table of offsets, one after the other."""
    setup.press("step:line")
    setup.press("choose:form=offsets")
    for i, row in enumerate(rows):
        for k, text in enumerate(row):
            setup.change(f"line.offsets[{i}][{k}]", text)
    return setup.view()


def test_a_line_that_turns_back_is_named_before_the_section_is_typed(setup: SetupPresenter) -> None:
    """Not "the line is straight", which is said of the harmless line that took its place."""
    view = offsets(setup, [("0", "0"), ("100", "8448"), ("200", "14")])
    assert (
        "turns back on itself at point 2 (100 mm, 8448 mm); are the points in order?" in view.table.complaint
    )
    assert "worked flange" not in view.table.complaint
    assert view.outline is None
    assert "straight" not in view.side_text


def test_what_no_harmless_template_helps_against_is_told_on_the_line(setup: SetupPresenter) -> None:
    """The template's step was not visited yet; without this nothing would say why no line is drawn."""
    view = offsets(setup, [("0", "0"), ("100", "14"), ("200", "8448")])
    view = setup.press("row_add")
    setup.change("line.offsets[3][0]", "300")
    view = setup.change("line.offsets[3][1]", "9")
    assert view.outline is None
    assert any("the line turns by 278°" in told for told in view.complaints)


def test_a_line_that_hangs_on_the_section_says_so(setup: SetupPresenter) -> None:
    """A radius of 50 mm goes with some flanges: it is neither wrong nor drawn while none is typed."""
    setup.press("step:line")
    setup.change("line.radius", "50")
    view = setup.change("line.length", "60")
    assert view.outline is None
    assert view.line_text.startswith("Drawn once the step “Section” is filled in")
    assert "straight" not in view.side_text and view.side_text == ""
    for name, text in {"worked": "20", "other": "20", "thickness": "1"}.items():
        view = setup.change(f"section.{name}", text)
    assert view.outline is not None
    assert view.line_text.startswith("60.00 mm")


def test_a_point_twice_is_marked_where_it_is(setup: SetupPresenter) -> None:
    view = offsets(setup, [("0", "0"), ("100", "20"), ("100", "20")])
    assert "a point other than the one before it" in field(view, "line.offsets[2][0]").complaint


def test_start_is_refused_while_something_is_wrong(setup: SetupPresenter, empty: Session) -> None:
    fill(setup, name="")
    view = setup.press("start")
    assert view.go == ""
    assert "first put right what is marked" in view.complaints
    assert empty.shop.parts() == []


def test_complaints_come_with_the_field_that_was_touched(setup: SetupPresenter) -> None:
    setup.press("step:line")
    view = setup.change("line.radius", "abc")
    assert field(view, "line.radius").complaint != ""
    assert field(view, "line.length").complaint == ""


def test_a_half_typed_form_outlives_the_app(setup: SetupPresenter, empty: Session) -> None:
    setup.change("name", "Shutter rib 3")
    setup.press("step:line")
    setup.press("choose:form=segments")
    setup.change("line.segments[0][0]", "400")
    again = SetupPresenter(Session(empty.shop, now=empty.now))
    assert field(again.view(), "name").value == "Shutter rib 3"
    view = again.press("step:line")
    assert field(view, "line.segments[0][0]").value == "400"


def test_segments_with_a_straight_between(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    setup.press("step:line")
    setup.press("choose:form=segments")
    for row, cells in enumerate([("400", "1500"), ("200", ""), ("400", "-900")]):
        for column, text in enumerate(cells):
            setup.change(f"line.segments[{row}][{column}]", text)
    setup.press("row_add")
    setup.press("start")
    assert empty.job.document["line"] == {
        "segments": [["400 mm", "1500 mm"], ["200 mm", None], ["400 mm", "-900 mm"]]
    }


def test_a_bad_offset_is_marked_in_its_cell(setup: SetupPresenter) -> None:
    fill(setup)
    setup.press("step:line")
    setup.press("choose:form=offsets")
    for row, cells in enumerate([("0", "0"), ("", ""), ("150", "7,5"), ("300", "x")]):
        if row == 3:
            setup.press("row_add")
        for column, text in enumerate(cells):
            setup.change(f"line.offsets[{row}][{column}]", text)
    view = setup.view()
    assert field(view, "line.offsets[3][1]").complaint.startswith("“x”")
    assert field(view, "line.offsets[2][1]").complaint == ""
    view = setup.press("row_drop:1")
    assert field(view, "line.offsets[2][1]").value == "x"


def test_other_shapes_ask_for_their_sizes(setup: SetupPresenter) -> None:
    setup.press("step:section")
    view = setup.press("choose:shape=channel")
    assert {f.name for f in view.fields} == {
        "section.flange", "section.web", "section.thickness", "shape", "flanges", "material", "finish",
    }  # fmt: skip
    chosen = next(f for f in view.fields if f.name == "shape")
    assert [k.text for k in chosen.choices if k.chosen] == ["Channel"]
    view = setup.press("choose:shape=flat bar")
    assert {f.name for f in view.fields} == {
        "section.depth",
        "section.thickness",
        "shape",
        "material",
        "finish",
    }


def test_bites_are_a_table(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    setup.press("step:tool")
    view = setup.change("tool.bites[1][1]", "0,4")
    assert view.table is not None
    setup.change("tool.bites[1][1]", "abc")
    assert field(setup.view(), "tool.bites[1][1]").complaint == "“abc”: a number such as 0.4 is wanted"
    setup.press("row_drop:1")
    setup.press("start")
    assert dict(empty.job.tool.bites) == {"light": 0.4, "heavy": 1.8}


def test_ram_settings_stand_beside_the_bites(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    setup.press("step:tool")
    setup.change("tool.bites[0][2]", "2,5")
    setup.change("tool.bites[1][2]", "notch 3")
    view = setup.change("tool.bites[2][2]", "5 kg")
    assert "'kg' is not a unit for a length" in field(view, "tool.bites[2][2]").complaint
    setup.change("tool.bites[2][2]", "")
    setup.press("start")
    settings = {name: setting.text for name, setting in empty.job.tool.settings.items()}
    assert settings == {"light": "2,5 mm", "medium": "notch 3"}


def test_a_machine_is_asked_for_and_may_be_left_blank(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    setup.press("step:machine")
    assert "machine" not in setup_draft.document(setup._draft)
    view = setup.change("machine.rated_strength", "350")
    assert "“Rated thickness” is wanted with it" in field(view, "machine.rated_strength").complaint
    for name, text in {"name": "bench machine", "rated_thickness": "0,5", "throat": "150"}.items():
        setup.change(f"machine.{name}", text)
    view = setup.press("step:plan")
    assert any("bench machine is rated for 0.50 mm at 350 MPa" in said for said in view.warnings)
    setup.press("start")
    assert empty.job.machine == core.Machine("bench machine", 150.0, 0.5, 350.0)
    fill(setup)
    setup.press("start")
    assert empty.job.machine == core.Machine("bench machine", 150.0, 0.5, 350.0)  # the next part's, too


def test_both_ends_of_what_a_machine_does_are_typed(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    setup.press("step:machine")
    setup.change("machine.feeds[1]", "40")
    setup.press("step:plan")
    view = setup.press("step:machine")
    assert "nothing is there" in field(view, "machine.feeds[0]").complaint
    view = setup.change("machine.feeds[0]", "60")
    assert field(view, "machine.feeds[0]").complaint.endswith("the lesser of the two first is wanted")
    setup.change("machine.feeds[0]", "2")
    setup.change("machine.stroke_rates[0]", "60")
    setup.change("machine.stroke_rates[1]", "240")
    setup.press("start")
    machine = empty.job.machine
    assert machine is not None
    assert (machine.feeds_mm_per_s, machine.stroke_rates) == ((2.0, 40.0), (60.0, 240.0))


def test_a_form_of_before_there_were_ram_settings_opens() -> None:
    stored = setup_draft.Draft(tables={"tool.bites": (("light", "0.4"), ("full", "1.2"))}).plain()
    made = setup_draft.document(setup_draft.from_plain(stored))
    assert made["tool"]["bites"] == {"light": "0.4", "full": "1.2"} and "settings" not in made["tool"]


def test_another_like_it_keeps_tool_and_machine() -> None:
    tool = {"settings": {"light": "2 mm", "heavy": "notch 3"}, "actions": ["shrink"], "free_length": "4 mm"}
    machine = {"name": "bench machine", "throat_mm": 150, "stroke_rates": [60, 400]}
    document = rib(machine=machine, finish="visible")
    document["tool"] |= {**tool, "change_time": "4 min"}
    first, again = core.job(document), core.job(setup_draft.document(setup_like.like(document)))
    assert (again.tool, again.machine, again.finish) == (first.tool, first.machine, first.finish)


def test_a_sweep_has_a_chord(setup: SetupPresenter, empty: Session) -> None:
    fill(setup)
    setup.press("step:stations")
    view = setup.press("choose:template=sweep")
    assert field(view, "template.sweep").value == "200"
    setup.change("template.sweep", "2 m")
    view = setup.view()
    assert "less than the length of the bar" in field(view, "template.sweep").complaint
    setup.change("template.sweep", "250")
    setup.press("start")
    assert empty.job.template.chord_mm == 250.0


def test_the_next_part_starts_with_the_same_machine(setup: SetupPresenter) -> None:
    fill(setup, tool__patch_length="25", tolerance="0.3")
    setup.press("start")
    assert field(setup.press("step:tool"), "tool.patch_length").value == "25"
    assert field(setup.press("step:stations"), "tolerance").value == "0.3"
    assert field(setup.press("step:line"), "line.radius").value == ""


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("section", SECTIONS)
def test_another_like_it_makes_the_same_part(line: str, section: str) -> None:
    document = rib(line=LINES[line], section=SECTIONS[section])
    again = core.job(setup_draft.document(setup_like.like(document)))
    first = core.job(document)
    assert again.name == "Shutter rib 4"
    assert again.tool == first.tool
    assert (again.template, again.gauge, again.tolerance_mm) == (first.template, first.gauge, 0.5)
    assert np.allclose(again.part.target, first.part.target, rtol=1e-12)
    assert again.part.section == first.part.section


def test_another_like_it_keeps_what_the_form_does_not_show(setup: SetupPresenter, empty: Session) -> None:
    metal = {"name": "own bronze", "E": "110 GPa", "poisson": 0.34}
    outside = {"name": "outside", "sd": "0.1 mm"}
    document = rib(material=metal, confidence=0.9, template=outside, note="from the roof")
    empty.like = document
    view = setup.press("step:section")
    metals = next(f for f in view.fields if f.name == "material")
    assert [k.text for k in metals.choices if k.chosen] == ["own bronze, own"]
    setup.press("start")
    kept = empty.job.document
    assert (kept["material"], kept["confidence"], kept["note"]) == (metal, 0.9, "from the roof")
    assert empty.job.template.sd_mm == pytest.approx(0.1)


def test_another_like_it_shows_a_metal_of_former_name_by_the_present_one(
    setup: SetupPresenter, empty: Session
) -> None:
    empty.like = rib(material="aluminium 1050-O")
    metals = next(f for f in setup.press("step:section").fields if f.name == "material")
    assert [k.text for k in metals.choices if k.chosen] == ["aluminium 1050A-O"]


def test_stations_given_one_by_one_are_kept(setup: SetupPresenter, empty: Session) -> None:
    places = [30, 100, 180, 300, 420, 600, 800, 1000, 1150]
    empty.like = rib(pitch=..., stations_mm=places)
    view = setup.press("step:stations")
    assert {f.name for f in view.fields} == {"tolerance", "spacing", "template", "gauge"}
    setup.press("start")
    assert list(empty.job.part.sites.position_mm) == places
    empty.like = rib(pitch=..., stations_mm=places)
    setup.press("step:stations")
    view = setup.press("choose:spacing=pitch")
    assert field(view, "pitch").value == "40"
    setup.press("start")
    assert len(empty.job.part.sites) == 30


@pytest.mark.parametrize(
    ("name", "following"),
    [("Rib 3", "Rib 4"), ("Rib 09 left", "Rib 10 left"), ("Rib", "Rib"), ("Frame 99", "Frame 100")],
)
def test_the_next_name(name: str, following: str) -> None:
    assert setup_like.next_name(name) == following


def test_all_keys_can_be_pressed(setup: SetupPresenter) -> None:
    for step in STEPS:
        view = setup.press(f"step:{step}")
        choices = [k for f in view.fields for k in f.choices]
        table = () if view.table is None else view.table.keys
        for one in (*view.keys, *view.steps, *choices, *table):
            assert one.name.partition(":")[0] in setup.touches


class TestChecks:
    """The checks of a new part, a line each."""

    def lines(self, setup: SetupPresenter, *lines: str) -> Any:
        fill(setup)
        setup.press("step:checks")
        for i, text in enumerate(lines):
            if i:
                setup.press("row_add")
            setup.change(f"checks[{i}][0]", text)
        return setup

    def begun(self, setup: SetupPresenter) -> core.Job:
        setup.press("step:plan")
        assert setup.press("start").go == "part"
        return setup.session.job

    def test_left_blank_the_usual_ones_are_asked_for(self, setup: SetupPresenter) -> None:
        job = self.begun(self.lines(setup))
        assert "checks" not in job.document
        assert job.checks == core.usual_checks(job.part)

    def test_a_line_says_limits_gauge_and_parts(self, setup: SetupPresenter, empty: Session) -> None:
        caliper = {"name": "caliper 4", "uncertainty": "0.02 mm", "calibrated": "2026-01-15"}
        belongings.keep(empty, "gauges", caliper)
        lines = (
            "hole positions, at most 0,3 mm, caliper 4, first and last",
            "joggle, 44° to 46°, bevel protractor, 1 in 5, photo",
            "length",
        )
        setup = self.lines(setup, *lines)
        setup.change("set.part", "2")
        setup.change("set.of", "6")
        setup.change("batch", "coil 17 ")
        job = self.begun(setup)
        assert job.document["batch"] == "coil 17"
        holes, joggle, length = job.checks
        assert (holes.high, holes.gauge, holes.sd) == (0.3, "caliper 4", 0.02)
        assert holes.sampling == "first and last"
        assert job.document["checks"][0]["gauge"] == caliper  # copied in
        assert (joggle.unit, joggle.sampling, joggle.photo) == ("°", 5, True)
        assert (joggle.low, joggle.high) == (pytest.approx(44.0), pytest.approx(46.0))
        assert length == replace(core.CHECKS[-2], required=True)
        assert job.place == core.SetPlace(2, 6)

    def test_a_wrong_line_is_marked_where_it_stands(self, setup: SetupPresenter) -> None:
        view = self.lines(setup, "twist, at most 1°", "", "width, at most 3 mm, thumb").view()
        assert view.table is not None
        assert [row[0].complaint for row in view.table.rows[:2]] == ["", ""]
        assert "uncertainty" in view.table.rows[2][0].complaint

    def test_the_usual_ones_can_be_listed_and_changed(self, setup: SetupPresenter) -> None:
        view = self.lines(setup).press("usual")
        assert view.table is not None
        texts = [row[0].value for row in view.table.rows]
        assert texts[0] == "section angle, 89.0° to 91.0°, bevel protractor"
        assert texts[1] == "twist, at most 1.0°, level on both ends"
        job = self.begun(setup)
        for made, usual in zip(job.checks, core.usual_checks(job.part), strict=True):
            assert (made.name, made.gauge, made.sd) == (usual.name, usual.gauge, usual.sd)
            assert made.high == (None if usual.high is None else pytest.approx(usual.high))

    def test_another_like_it_has_the_same_checks_under_the_next_number(
        self, setup: SetupPresenter, empty: Session
    ) -> None:
        corner = {
            "name": "corner",
            "quantity": "look",
            "good": ["clean"],
            "gauge": "eye",
            "label": "A corner",
        }
        checks = [corner, "twist"]
        document = {**RIB, "checks": checks, "set": {"part": 2, "of": 3, "id": "a"}}
        empty.like = document
        setup.press("step:checks")
        job = self.begun(setup)
        assert (job.document["checks"], job.place) == (checks, core.SetPlace(3, 3, "a"))
        empty.like = {**document, "set": {"part": 3, "of": 3, "id": "a"}, "checks": []}
        setup.press("step:checks")
        job = self.begun(setup)
        assert (job.document["checks"], job.place) == ([], None)

    def test_an_own_gauge_is_copied_into_the_job(self, setup: SetupPresenter, empty: Session) -> None:
        leaves = {"name": "feeler leaves", "calibrated": "2026-01-15", "interval_months": 12}
        belongings.keep(empty, "gauges", leaves)
        belongings.keep(empty, "gauges", {"name": "micrometer 1", "uncertainty": "0.01 mm"})
        fill(setup)
        view = setup.press("step:stations")
        texts = [key.text for key in field(view, "gauge").choices]
        assert "feeler leaves, own" in texts and "micrometer 1, own" not in texts
        setup.press("choose:gauge=feeler leaves")
        job = self.begun(setup)
        assert job.document["gauge"] == leaves
        assert job.gauge.calibration is not None
