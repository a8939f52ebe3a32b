"""Parts of sheet on the screens that bars have: checks that make sense, strokes counted on every spot."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from shopapp import rehearse
from shopapp.demo_jobs import demo_jobs
from shopapp.next_text import next_lines
from shopapp.presenters import limit_runs, outlines, strips
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.rim import RimPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.made_up import bowl, flange, rib
from tests.presenters.conftest import Clock, settled
from tests.test_lobing import JOB, lobed, nearly_done, polar


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


@pytest.mark.parametrize(("document", "offered"), [(rib(), True), (flange(), False), (bowl(), False)])
def test_a_begun_part_offers_a_trial_where_one_can_be_made(document: dict[str, Any], offered: bool) -> None:
    session = Session(core.Shop(core.MemoryFolder()), now=Clock())
    session.open(session.shop.new_part(document))
    assert ("trial" in [key.name for key in PartPresenter(session).view().keys]) is offered


@pytest.mark.parametrize("name", ["tank-end", "fountain-dish"])
def test_what_there_is_before_a_rehearsal_begins_has_its_own_name(name: str) -> None:
    job = core.job(demo_jobs()[name])
    told = "\n".join(rehearse._plan(job, core.refit(job, [])))
    stock = {"tank-end": "the plate with its edge tipped", "fountain-dish": "the flat disc"}[name]
    assert f"as reckoned from {stock}" in told and "straight stock" not in told


def test_the_demo_gauge_reaches_the_first_gaps_of_the_flange() -> None:
    job = core.job(demo_jobs()["tank-end"])
    assert core.refit(job, []).widest_gap_mm < job.gauge.largest_mm


def test_the_rim_screen_expects_the_disc_before_the_first_pass() -> None:
    """Flat: 386 mm across, not the 360 mm of the dish; the disc that was cut."""
    session = Session(core.Shop(core.MemoryFolder()), now=Clock())
    session.open(session.shop.new_part(bowl()))
    assert settled(session).advice is not None
    across = float(RimPresenter(session).view().expected.removeprefix("about ").removesuffix(" mm"))
    assert across == pytest.approx(600 * np.arccos(0.8), abs=1.0)


def test_a_step_against_lobes_is_no_pass_that_is_impossible() -> None:
    events = [nearly_done(), *lobed(two=polar(1.2, 35.0, 2)).rounds()]
    advice = replace(core.refit(JOB, events), next_pass=None, remaining=())
    lines = next_lines(JOB, advice)
    assert any("no even pass is wanted; next: Against 2 lobes" in line for line in lines)
    assert not any("no pass is possible" in line for line in lines)


def test_rings_are_told_of_hoop_strain_and_never_of_an_edge() -> None:
    """None but the outermost lies at an edge."""
    job = core.job(bowl())
    advice = core.refit(job, [])
    assert advice.next_pass is not None
    (fact,) = limit_runs.strained(advice, advice.next_pass, job.part.sites)
    assert fact.label == "Hoop strain"
    limits = [limit for limit in vars(job.limits).values() if hasattr(limit, "over")]
    assert not any("edge" in text for limit in limits for text in (limit.name, limit.over, limit.short))
    assert any("natural hoop strain" in reason for reason in advice.reasons)


def test_edge_strain_of_a_pass_and_in_all() -> None:
    """A rim of 600 mm: lines of the plate that go 16.77 mm beyond the outline turn about it and keep their
    length (test_flange_blank has that), so the free edge goes from R + h cos(a) to R + h cos(b), the ratio of
    ISO 16630; the gap at a tip 20 mm high is 20 cos(a)."""
    job = core.job(flange())
    advice = core.refit(job, [])
    planned = advice.next_pass
    assert planned is not None
    before, then = (300.0 + 16.77 * gap / 20.0 for gap in (advice.widest_gap_mm, planned.expected_gap_mm))
    asked = math.log(before / then)
    assert "hoop strain" not in str(advice.limit_use.of[0])
    (fact,) = limit_runs.strained(advice, planned, job.part.sites)
    assert fact.value == "1.9 % expected in this pass at sector 1, 1.9 % in all at sector 1: there most"
    assert asked == pytest.approx(0.0187, abs=5e-5) and planned.edge is not None
    assert planned.edge.total - advice.edge_strain == pytest.approx(asked, rel=5e-3)
