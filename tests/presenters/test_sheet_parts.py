"""Parts of sheet on the screens that bars have: checks that make sense, strokes counted on every spot."""

from __future__ import annotations

from typing import Any

import pytest

import core
from shopapp.presenters import outlines, strips
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.made_up import bowl, flange, rib
from tests.presenters.conftest import Clock


@pytest.mark.parametrize(
    ("document", "names"),
    [
        (rib(), ["section angle", "twist", "flatness", "surface marks", "thickness"]),
        (flange(), ["plate", "height", "surface marks", "thickness"]),
        (bowl(), ["rim", "round", "surface marks", "thickness"]),
    ],
)
def test_checks_that_make_sense(document: dict[str, Any], names: list[str]) -> None:
    assert [check.name for check in core.job(document).checks] == names


def test_strokes_of_a_ring_are_for_every_spot_of_it() -> None:
    """A ring 20 mm of patch after another: way round over patch length, times the count."""
    job = core.job(bowl())
    sites = job.part.sites
    strokes = [0] * (len(sites) - 1) + [3]
    by_hand = 3 * sites.way_mm()[-1] / 20.0
    assert job.strokes_in_all("shrink", strokes) == pytest.approx(by_hand, abs=0.5)
    strip = strips.for_strokes(job, "shrink", strokes, ())
    assert strip.strokes[-1] == 3 and strip.scale_text == "strokes on each spot half-way across a ring"
    assert core.job(rib()).strokes_in_all("shrink", [2] * 30) == 60


def test_a_closed_outline_has_one_number_where_it_begins() -> None:
    assert [text for _, text in outlines.with_worked_edge(core.job(flange())).ends] == ["1"]
    assert [text for _, text in outlines.with_worked_edge(core.job(rib())).ends] == ["1", "30"]


def test_a_trial_is_offered_where_one_can_be_made() -> None:
    for document, offered in ((rib(), True), (flange(), False), (bowl(), False)):
        session = Session(core.Shop(core.MemoryFolder()), now=Clock())
        session.like = document
        setup = SetupPresenter(session)
        view = setup.press("step:plan")
        assert ("trial" in [key.name for key in view.keys]) is offered


def test_a_size_that_is_typed_with_its_unit_gets_no_other() -> None:
    session = Session(core.Shop(core.MemoryFolder()), now=Clock())
    session.like = bowl()
    view = SetupPresenter(session).press("step:section")
    thickness = next(field for field in view.fields if field.name == "thickness")
    assert (thickness.value, thickness.unit) == ("1.5 mm", "")
