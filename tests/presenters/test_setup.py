"""Set-up: typed fields become a job; all complaints at once, each beside its field, nothing typed is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import setup_draft
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.setup_fields import STEPS
from tests.made_up import LINES, SECTIONS, rib
from tests.presenters.conftest import Clock, key, settled


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


def test_a_blank_form_does_not_shout(setup: SetupPresenter) -> None:
    view = setup.view()
    assert [k.text for k in view.steps] == list(STEPS.values())
    assert [(f.label, f.value, f.complaint) for f in view.fields] == [("Name of the part", "", "")]
    assert view.outline is None
    assert [k.text for k in view.keys if k.main] == ["On: Line"]


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
    assert setup.view().fields[0].value == ""


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
        "Job",
        "Line (1)",
        "Section (1)",
        "Tool (1)",
        "Stations (2)",
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
    assert field(view, "line.radius").complaint.startswith("“30 mm”: a radius of more than the worked flange")


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
    assert again.view().fields[0].value == "Shutter rib 3"
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
        "section.flange", "section.web", "section.thickness", "shape", "flanges", "material",
    }  # fmt: skip
    chosen = next(f for f in view.fields if f.name == "shape")
    assert [k.text for k in chosen.choices if k.chosen] == ["Channel"]
    view = setup.press("choose:shape=flat bar")
    assert {f.name for f in view.fields} == {"section.depth", "section.thickness", "shape", "material"}


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
    again = core.job(setup_draft.document(setup_draft.like(document)))
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
    assert [k.text for k in metals.choices if k.chosen] == ["own bronze"]
    setup.press("start")
    kept = empty.job.document
    assert (kept["material"], kept["confidence"], kept["note"]) == (metal, 0.9, "from the roof")
    assert empty.job.template.sd_mm == pytest.approx(0.1)


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
    assert setup_draft.next_name(name) == following


def test_all_keys_can_be_pressed(setup: SetupPresenter) -> None:
    for step in STEPS:
        view = setup.press(f"step:{step}")
        choices = [k for f in view.fields for k in f.choices]
        table = () if view.table is None else view.table.keys
        for one in (*view.keys, *view.steps, *choices, *table):
            assert one.name.partition(":")[0] in setup.touches
