"""The view of a metal: every figure with range, unit and source; whose it is; from set-up and part."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

import core
from core.reachable import reach
from shopapp.presenters import metal_words
from shopapp.presenters.metal import MetalPresenter, rows
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.made_up import rib
from tests.presenters.conftest import key, settled


def row(job: core.Job, label: str) -> Any:
    (found,) = [row for row in rows(job) if row.label == label]
    return found


@pytest.mark.parametrize("name", sorted(core.METALS))
def test_every_figure_of_every_metal_is_shown_with_its_source(name: str) -> None:
    job = core.job(rib(material=name))
    shown = {r.label: r for r in rows(job)}
    for figure, known in job.metal.figures.items():
        found = shown[metal_words.NAMES[figure]]
        assert found.value != "not known"
        assert known.source in found.tail
    assert set(job.metal.figures) <= set(metal_words.NAMES)


def test_figures_with_their_units() -> None:
    """As the file of metals has them."""
    job = core.job(rib(material="aluminium 5754-O"))
    assert row(job, "Tensile strength").value == "190 to 240 MPa"
    assert row(job, "Proof stress (yield)").value == "from 80 MPa"
    assert row(job, "Young's modulus").value == "70 GPa"
    assert row(job, "Density").value == "2660 kg/m³"
    assert row(job, "Hardening exponent n").value == "0.3"
    stretch = row(job, "Elongation at fracture")  # EN 485-2, 5754-O: 14 % over 0.5 up to 1.5 mm
    assert stretch.value == "from 14 %" and stretch.tail.endswith("; thickness over 0.5 up to 1.5 mm")
    annealing = row(job, "Annealing")
    assert annealing.value == "360 to 380 °C"
    assert annealing.tail.startswith("Hold only until it is hot all through")
    assert row(job, "Hole expansion").value == "40 to 70 %"
    assert "from memory, check" in row(job, "Hole expansion").tail
    assert row(job, "Stretch since it was soft").value == "to 24 %"


def test_what_there_is_none_of_says_why() -> None:
    """EN 10346 asks for no yield of DX51D; nothing is made up in its place, and an own figure goes before."""
    unknown = row(core.job(rib(material="copper Cu-DHP soft")), "Hole expansion")
    assert (unknown.value, unknown.tail) == (
        "none given",
        "No published figure for this metal is known here",
    )
    job = core.job(rib(material="galvanised steel DX51D+Z"))
    proof = row(job, "Proof stress (yield)")
    assert (proof.value, proof.tail[:8]) == ("none given", "EN 10346")
    assert row(job, "Tensile strength").value == "270 to 500 MPa"
    assert (row(job, "Annealing").value, row(job, "Annealing").tail) == ("none given", "The zinc burns off")
    own = {"like": "galvanised steel DX51D+Z", "name": "our coil", "proof": "260 MPa"}
    job = core.job(rib(material=own))
    assert row(job, "Proof stress (yield)").value == "260 MPa"
    assert row(job, "Annealing").value == "none given"


def test_a_shops_own_figure_says_so() -> None:
    own = {"like": "aluminium 5754-O", "name": "our 5754", "proof": "95 MPa"}
    job = core.job(rib(material=own))
    assert row(job, "Proof stress (yield)").value == "95 MPa"
    assert row(job, "Proof stress (yield)").tail == "the shop's own: as given"
    assert not row(job, "Tensile strength").tail.startswith("the shop's own")


def test_a_limit_of_the_job_says_so() -> None:
    job = core.job(rib(limits={"stretch_since_anneal": "12 %"}))
    assert row(job, "Stretch since it was soft").value == "to 12 %"
    assert row(job, "Stretch since it was soft").tail == "given by the job or the shop itself: the job"
    assert row(job, "Strain in one pass").value == "to 3 %"
    assert row(job, "Strain in one pass").tail == "common practice, no source"
    label = "Chance to exceed a limit"
    kept = [row(core.job(rib(limits=given)), label) for given in ({}, {"risk": "1 %"})]
    assert [one.value for one in kept] == ["1 in 1000", "1 in 100"]
    assert kept[0].tail == "at most, at a station in a pass: of all but the strain in one pass"
    usual = row(job, "Chance: strain in one pass")
    assert usual.tail == "at most, at a station: of more than 3.75 %; then a pass comes out less even"
    given = ({}, {"risk": "1 %"}, {"strain_per_pass_risk": "2 %"})
    of_pass = [row(core.job(rib(limits=each)), "Chance: strain in one pass").value for each in given]
    assert of_pass == ["1 in 20", "1 in 20", "1 in 50"]


def test_how_far_the_part_could_go_in_this_metal(session: Session, advise: Callable[..., None]) -> None:
    """Of a part that is open; while it is set up the plan tells it, once line and section are known."""
    advise(reach=reach(core.job(rib())))
    (found,) = [r for r in MetalPresenter(settled(session)).view().rows if r.label == "Tightest radius"]
    assert found.value.startswith("about ") and found.value.endswith(" mm")
    assert found.tail == (
        "by shrinking, no more than 25 % of natural edge strain in the whole job (common practice, no source)"
    )
    session.metal_of = session.job
    assert not any(r.label == "Tightest radius" for r in MetalPresenter(session).view().rows)


def test_one_touch_from_set_up_and_back(session: Session) -> None:
    setup = SetupPresenter(session)
    assert key(setup.press("step:section"), "metal").enabled
    setup.press("choose:material=copper Cu-DHP soft")
    chosen = "copper Cu-DHP soft"
    assert setup.press("metal").go == "metal"
    view = MetalPresenter(session).view()
    assert view.header.where.lower() == chosen.lower()
    assert view.header.back == "setup"
    assert view.watch == core.METALS[chosen].watch
    assert MetalPresenter(session).press("back").go == "setup"


def test_one_touch_from_the_part_and_back(session: Session) -> None:
    part = PartPresenter(settled(session))
    session.metal_of = core.job(rib(material="titanium grade 2"))
    assert part.press("metal").go == "metal"
    view = MetalPresenter(session).view()
    assert view.header.where == "Aluminium 5754-O"
    assert (view.header.back, view.keys[0].text) == ("part", "Back to the part")
