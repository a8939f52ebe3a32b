"""Set-up of every kind of part: from a blank form to a part, its pictures, and another one like it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from shopapp.presenters import setup_draft, setup_like, sheet_pictures
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.setup_draft import Draft
from shopapp.presenters.setup_kinds import KINDS, steps
from tests.made_up import bowl, flange
from tests.presenters.conftest import Clock

TYPED: dict[str, dict[str, str]] = {
    "flange": {
        "choose": "form=rim",
        "outline.rim": "300",
        "height": "20",
        "thickness": "1,5",
        "inside_radius": "3",
    },
    "dish": {"choose": "form=cap", "shape.radius": "300", "shape.depth": "60", "thickness": "1.5"},
}


@pytest.fixture
def setup() -> SetupPresenter:
    return SetupPresenter(Session(core.Shop(core.MemoryFolder()), now=Clock()))


def filled(setup: SetupPresenter, kind: str) -> Any:
    setup.press(f"choose:kind={kind}")
    setup.change("name", "Court part 1")
    for name, text in TYPED[kind].items():
        if name == "choose":
            setup.press(f"choose:{text}")
        else:
            setup.change(name, text)
    return setup.view()


def named(view: Any) -> list[str]:
    return [field.name for field in view.fields]


@pytest.mark.parametrize("kind", KINDS)
def test_every_harmless_form_is_a_job(kind: str) -> None:
    for form in KINDS[kind].forms:
        draft = Draft(choices={"kind": kind, "form": form})
        assert core.job(setup_draft.harmless(draft)).kind == kind


@pytest.mark.parametrize("kind", TYPED)
def test_from_typing_to_a_part(setup: SetupPresenter, kind: str) -> None:
    view = filled(setup, kind)
    assert [key.text for key in view.steps] == list(steps(KINDS[kind]).values())
    view = setup.press("step:plan")
    assert view.complaints == ()
    assert setup.press("start").go == "part"
    job = setup.session.job
    assert (job.kind, job.name) == (kind, "Court part 1")
    # The next new part is of the same kind, and asks for its own sizes.
    assert setup.view().title == "Name" and setup._draft.choice("kind") == kind
    assert setup._draft.texts.get("height", "") == setup._draft.texts.get("shape.radius", "") == ""


def test_a_flange_asks_for_its_own(setup: SetupPresenter) -> None:
    filled(setup, "flange")
    assert named(setup.press("step:line")) == ["form", "outline.rim"]
    view = setup.press("step:section")
    assert named(view)[:5] == ["height", "angle", "inside_radius", "thickness", "start_angle"]
    assert "turn" not in [key.name for key in setup.press("step:line").keys]
    template = next(f for f in setup.press("step:stations").fields if f.name == "template")
    assert [key.text for key in template.choices] == ["square"] and template.choices[0].chosen


def test_the_side_says_what_the_edge_does(setup: SetupPresenter) -> None:
    filled(setup, "flange")
    assert "it gets shorter (shrink)" in setup.press("step:line").side_text
    setup.press("choose:form=hole")
    setup.change("outline.hole", "200")
    assert "it gets longer (stretch)" in setup.view().side_text


def test_complaints_stand_at_their_fields(setup: SetupPresenter) -> None:
    filled(setup, "flange")
    setup.press("step:section")
    view = setup.change("height", "4")
    found = {field.name: field.complaint for field in view.fields if field.complaint}
    assert set(found) == {"height"} and "where the bend ends" in found["height"]
    filled(setup, "dish")
    setup.press("step:line")
    setup.change("shape.depth", "400")
    found = {field.name: field.complaint for field in setup.view().fields if field.complaint}
    assert set(found) == {"shape.depth"}


@pytest.mark.parametrize(
    "document",
    [
        flange(),
        bowl(),
        bowl(shape={"diameter_mm": 400, "depth": "60 mm"}),
        bowl(shape={"crown_radius": "800 mm", "knuckle_radius": "154 mm", "diameter": "1 m"}, pitch="60 mm"),
        bowl(shape={"profile_mm": [[0, 0], [60, 4.5], [120, 19], [170, 42], [200, 64]]}, pitch="30 mm"),
        flange(outline={"segments": [["200 mm", None], ["250 mm", "-150 mm"], ["200 mm", None]]}),
    ],
)
def test_another_one_like_it_is_the_same_part(document: dict[str, Any]) -> None:
    again = core.job(setup_draft.document(setup_like.like(document)))
    first = core.job(document)
    np.testing.assert_allclose(again.part.target, first.part.target, rtol=1e-9)
    assert again.part.length_mm == pytest.approx(first.part.length_mm)
    assert (again.template.name, again.gauge.name) == (first.template.name, first.gauge.name)


def test_a_flange_is_drawn_across_its_edge(setup: SetupPresenter) -> None:
    filled(setup, "flange")
    view = setup.press("step:section")
    drawing = view.pictures[0].drawing
    (metal,) = drawing.metal
    # The free edge of an upright flange 20 mm high, over the outer face of the plate.
    assert metal[-1] == pytest.approx((-0.75, 20.0), abs=1e-9)
    assert drawing.thickness_mm == 1.5 and drawing.sizes[0].text == "20 mm"
    assert "Turned to 90°" in view.pictures[0].said[0][0]


def test_a_bend_joins_plate_and_flange_without_a_kink() -> None:
    """Its length is that of the bend's middle line; neighbours turn by equal angles."""
    bend = core.job(flange()).part.bend  # type: ignore[attr-defined]
    points = sheet_pictures.across(bend, np.radians(60.0))
    ways = np.diff(points, axis=0)
    turns = np.diff(np.unwrap(np.arctan2(ways[:, 1], ways[:, 0])))
    assert turns.sum() == pytest.approx(np.radians(60.0))
    assert turns.max() < np.radians(60.0 / 15.0)
    arc = np.hypot(*ways[1:-1].T).sum()
    assert arc == pytest.approx((bend.inside_mm + 0.5 * bend.thickness_mm) * np.radians(60.0), rel=1e-3)


def test_a_disc_is_drawn_with_its_rings(setup: SetupPresenter) -> None:
    filled(setup, "dish")
    setup.press("step:section")
    drawing = setup.view().pictures[0].drawing
    job = core.job(setup_draft.document(setup._draft))
    assert len(drawing.thin) == len(job.part.sites) - 1
    assert max(x for x, _ in drawing.worked[0]) == pytest.approx(job.part.rings_mm[-1])  # type: ignore[attr-defined]
