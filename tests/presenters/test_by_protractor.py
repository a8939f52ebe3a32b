"""A flange read by protractor: degrees on the keypad, gaps of a square in the log."""

from __future__ import annotations

from math import radians, sin
from typing import Any

import pytest

import core
from shopapp.presenters import outlines
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.session import Session
from tests.made_up import bowl, flange, rib
from tests.presenters.conftest import Clock, events_of, key, settled


@pytest.fixture
def gaps(folder: Any, clock: Clock) -> Any:
    with core.Shop(folder, now=clock) as shop:
        session = Session(shop, now=clock)
        session.open(shop.new_part(flange()))
        yield GapsPresenter(settled(session))


def test_angles_are_typed_and_the_tip_gap_is_logged(gaps: GapsPresenter) -> None:
    """Height times the sine of what lacks of the finished angle."""
    height = gaps.session.job.part.bend.height_mm
    gaps.press("gauge")
    view = gaps.press("choose:protractor")
    assert (view.mode, view.entry_unit, view.header.unit) == ("pad", "°", "degrees")
    assert not {"touching", "beyond"} & {k.name for k in view.keys}
    assert view.expected.endswith("°")
    view = gaps.typed("60\n")
    (first,) = events_of(gaps.session, "gap_read")
    assert first["gap_mm"] == pytest.approx(height * sin(radians(30.0)))
    assert (first["gauge"]["name"], first["note"]) == ("protractor", "by protractor: 60.00°")
    assert view.strip.marks[0].text == "60°"
    assert "60° was read" in view.question
    view = gaps.press("right")
    assert events_of(gaps.session, "gap_read")[-1]["confirmed"] is True
    assert view.last == "sector 1: 60°"
    assert gaps.typed("200\n").complaint
    assert len(events_of(gaps.session, "gap_read")) == 2
    assert gaps.press("undo").last == "taken back: 60° at sector 1"


def test_a_bar_and_a_dish_have_no_protractor(gaps: GapsPresenter) -> None:
    shop = gaps.session.shop
    for document, there in ((flange(), True), (rib(), False), (bowl(), False)):
        gaps.session.open(shop.new_part(document))
        names = [k.name for k in gaps.press("gauge").choices]
        assert ("choose:protractor" in names) is there
        gaps.press("gauge")


def test_templates_offered_are_those_of_the_part(gaps: GapsPresenter) -> None:
    assert [k.name for k in gaps.press("template").choices] == ["choose:square"]
    assert key(gaps.press("template"), "template").chosen is False


def test_tip_gaps_stand_off_as_stems_and_their_tolerance_goes_all_round() -> None:
    job = core.job(flange())
    drawn = outlines.with_deviation(job, job.part.linearise(job.part.target).deviation_mm)
    assert drawn.stems and len(drawn.part) == len(job.part.sites)
    inner = drawn.band[0]
    assert inner[0] == pytest.approx(inner[-1], abs=0.05)
    assert drawn.factor_text.startswith("gap at the tip")
    assert not outlines.with_deviation(core.job(bowl()), None).stems
