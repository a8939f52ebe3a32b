"""What the shop keeps of its tools, machines and metals: picked at set-up, copied into the job, forgotten."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest

import core
from shopapp.presenters import belongings
from shopapp.presenters.metal import rows as metal_rows
from shopapp.presenters.own_metal import FIGURES, OwnMetalPresenter, figure_text
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.presenters.conftest import Clock, key
from tests.presenters.test_setup import fill

OWN_METAL = {"name": "dome sheet", "like": "aluminium 5754-O", "proof": "95 MPa"}  # invented


@pytest.fixture
def session(folder: core.MemoryFolder, clock: Clock, advise: Callable[..., None]) -> Iterator[Session]:
    with core.Shop(folder, now=clock) as shop:
        yield Session(shop, now=clock, who="A. Worker")


@pytest.fixture
def setup(session: Session) -> SetupPresenter:
    return SetupPresenter(session)


def field(view: Any, name: str) -> Any:
    return next(f for f in view.fields if f.name == name)


def named(view: Any) -> list[str]:
    return [f.name for f in view.fields]


class TestSets:
    def test_nothing_to_pick_from_at_first(self, setup: SetupPresenter) -> None:
        view = setup.press("step:tool")
        assert "tools" not in named(view) and not key(view, "keep:tools").enabled
        assert key(view, "keep:tools").why == "give it a name first"

    def test_a_tool_set_is_kept_and_picked_for_the_next_part(
        self, setup: SetupPresenter, session: Session
    ) -> None:
        setup.press("step:tool")
        for name, text in {"tool.name": "rib set", "tool.patch_length": "25", "tool.face": "smooth"}.items():
            setup.change(name, text)
        view = setup.press("keep:tools")
        assert field(view, "tools").value == "rib set"
        assert belongings.owned(session).tools["rib set"]["patch_length"] == "25 mm"
        setup.change("tool.patch_length", "30")
        assert field(setup.view(), "tools").value == ""  # what is changed is no longer the shop's
        view = setup.press("choose:tools=rib set")
        assert "tool.patch_length" not in named(view) and view.table is None  # told, and not typed
        assert view.side_text.startswith("rib set: tool face smooth, patch length of one stroke 25 mm, ")
        assert view.side_text.endswith("stroke rate 120 strokes/min, light 0.4, medium 1.0, heavy 1.8.")
        view = setup.press("choose:tools=")
        assert (field(view, "tool.patch_length").value, field(view, "tool.face").value) == ("25 mm", "smooth")
        assert [cell.value for cell in view.table.rows[0]] == ["light", "0.4", ""]

    def test_what_is_picked_is_copied_into_the_job(self, setup: SetupPresenter, session: Session) -> None:
        document = {"name": "deep set", "patch_length": "22 mm", "patch_depth": "12 mm"}
        document |= {"strain_per_stroke": 0.005, "bites": {"soft": 0.5, "full": 1.0}, "free_length": "6 mm"}
        belongings.keep(session, "tools", document)
        fill(setup)
        setup.press("step:tool")
        setup.press("choose:tools=deep set")
        setup.press("step:plan")
        assert setup.press("start").go == "part"
        belongings.forget(session, "tools", "deep set")
        tool = session.job.tool
        assert (tool.name, tool.patch_length_mm, tool.free_length_mm) == ("deep set", 22.0, 6.0)
        assert dict(tool.bites) == {"soft": 0.5, "full": 1.0}

    def test_more_than_one_set_lies_ready(self, setup: SetupPresenter, session: Session) -> None:
        one = {"patch_length": "22 mm", "patch_depth": "12 mm", "strain_per_stroke": 0.005}
        for name, face in (("deep set", "gripping"), ("soft set", "soft-faced")):
            belongings.keep(session, "tools", {**one, "name": name, "face": face})
        fill(setup)
        setup.press("step:section")
        setup.press("choose:finish=visible")
        setup.press("step:tool")
        setup.press("choose:tools=deep set")
        view = setup.press("choose:more_tools=soft set")
        ready = field(view, "more_tools")
        assert [(k.text, k.chosen) for k in ready.choices] == [("soft set", True)]  # not the one in the form
        view = setup.press("step:plan")
        said = 'the set "soft set" is taken: the set "deep set" leaves marks on faces in sight.'
        assert view.start_from[0] == f"To shrink, {said}"
        setup.press("start")
        assert {action: tool.name for action, tool in session.job.tools.items()} == {
            "shrink": "soft set",
            "stretch": "soft set",
        }

    def test_a_set_that_lies_ready_is_put_away_or_taken_up(
        self, setup: SetupPresenter, session: Session
    ) -> None:
        one = {"patch_length": "22 mm", "patch_depth": "12 mm", "strain_per_stroke": 0.005}
        belongings.keep(session, "tools", {**one, "name": "deep set"})
        setup.press("step:tool")
        setup.press("choose:more_tools=deep set")
        assert [k.chosen for k in field(setup.view(), "more_tools").choices] == [True]
        view = setup.press("choose:more_tools=deep set")
        assert [k.chosen for k in field(view, "more_tools").choices] == [False]
        setup.press("choose:more_tools=deep set")
        view = setup.press("choose:tools=deep set")  # it is in the form now, and lies ready no more
        assert "more_tools" not in named(view)

    def test_a_machine_is_kept_beside_the_tool(self, setup: SetupPresenter, session: Session) -> None:
        setup.press("step:machine")
        setup.change("machine.name", "bench machine")
        setup.change("machine.throat", "150")
        view = setup.press("keep:machines")
        assert field(view, "machines").value == "bench machine" and "tools" not in named(view)
        assert belongings.owned(session).machines == {
            "bench machine": {"name": "bench machine", "throat": "150 mm"}
        }

    def test_what_is_forgotten_stays_in_the_form(self, setup: SetupPresenter, session: Session) -> None:
        setup.press("step:tool")
        setup.change("tool.name", "rib set")
        setup.press("keep:tools")
        view = setup.press("forget:tools")
        assert belongings.owned(session).tools == {} and field(view, "tool.name").value == "rib set"
        assert key(setup.press("keep:tools"), "forget:tools").enabled

    def test_what_no_job_could_use_is_not_kept(self, setup: SetupPresenter, session: Session) -> None:
        setup.press("step:tool")
        setup.change("tool.name", "rib set")
        setup.change("tool.patch_length", "long")
        view = setup.press("keep:tools")
        assert any("patch_length" in text or "long" in text for text in view.complaints)
        assert belongings.owned(session).tools == {}


class TestMetal:
    @pytest.fixture
    def metal(self, setup: SetupPresenter, session: Session) -> OwnMetalPresenter:
        setup.press("step:section")
        assert setup.press("metal").go == "metal"
        return OwnMetalPresenter(session)

    def test_every_figure_is_shown_with_unit_and_source(self, metal: OwnMetalPresenter) -> None:
        view = metal.view()
        known = core.METALS["aluminium 5754-O"]
        for name in FIGURES:
            shown, figure = field(view, name), known.figure(name)
            assert shown.value == "" and (figure is None or figure.source in shown.hint)
        assert field(view, "proof").hint.startswith("80 MPa or more")
        assert field(view, "E").hint.startswith("70 GPa") or "GPa" in field(view, "E").hint
        assert set(known.watch) <= set(view.sentences)

    def test_own_figures_and_limits_go_into_the_next_job(
        self, metal: OwnMetalPresenter, setup: SetupPresenter, session: Session
    ) -> None:
        typed = {"name": "dome sheet", "proof": "95", "hole_expansion": "60", "limits.strain_per_pass": "2"}
        for name, text in typed.items():
            view = metal.change(name, text)
        assert field(view, "proof").label.endswith("own") and field(view, "proof").unit == "MPa"
        assert metal.press("keep").go == "setup"
        view = setup.view()
        material = field(view, "material")
        assert material.value == "dome sheet"
        assert [k.text for k in material.choices if k.chosen] == ["dome sheet, own"]
        fill(setup)
        setup.press("step:plan")
        setup.press("start")
        job = session.job
        assert (job.metal.name, job.metal.figure("proof").typical) == ("dome sheet", 95.0)
        assert job.metal.figure("proof").own and not job.metal.figure("tensile").own
        assert job.limits.per_pass.strain == pytest.approx(0.02) and job.limits.per_pass.own
        assert job.limits.per_pass.source == "the shop"
        assert "hole expansion of 60 %" in job.limits.stretch_in_all.source and job.limits.stretch_in_all.own

    def test_own_limits_say_where_they_are_from(
        self, metal: OwnMetalPresenter, setup: SetupPresenter, session: Session
    ) -> None:
        metal.change("limits.source", "bends of last spring")
        metal.change("limits.strain_per_pass", "2")
        metal.press("keep")
        assert belongings.owned(session).limits["aluminium 5754-O"]["source"] == "bends of last spring"
        setup.press("metal")
        assert field(metal.view(), "limits.source").value == "bends of last spring"
        fill(setup)
        setup.press("step:plan")
        setup.press("start")
        (row,) = [r for r in metal_rows(session.job) if r.label == "Strain in one pass"]
        assert row.value == "to 2 %" and row.tail.endswith("bends of last spring")

    def test_a_metal_of_the_table_may_have_own_figures_and_gets_its_own_back(
        self, metal: OwnMetalPresenter, setup: SetupPresenter, session: Session
    ) -> None:
        metal.change("proof", "95")
        metal.press("keep")
        assert belongings.owned(session).all_metals["aluminium 5754-O"].figure("proof").typical == 95.0
        setup.view()
        setup.press("metal")
        assert field(metal.view(), "proof").value == "95 MPa"
        assert key(metal.view(), "forget").enabled
        metal.press("forget")
        assert belongings.owned(session).metals == {}
        assert field(setup.view(), "material").value == "aluminium 5754-O"
        fill(setup)
        setup.press("step:plan")
        setup.press("start")
        assert not session.job.metal.figure("proof").own

    def test_what_is_wrong_is_said_at_its_field_and_nothing_is_kept(
        self, metal: OwnMetalPresenter, session: Session
    ) -> None:
        view = metal.change("proof", "900")
        assert "tensile strength" in field(view, "proof").complaint and not key(view, "keep").enabled
        view = metal.change("proof", "")
        view = metal.change("limits.strain_total", "300")
        assert field(view, "limits.strain_total").complaint
        assert belongings.owned(session) == core.owned_from(None)

    def test_another_metal_begins_afresh(
        self, metal: OwnMetalPresenter, setup: SetupPresenter, session: Session
    ) -> None:
        metal.change("proof", "95")
        setup.press("choose:material=mild steel DC04")
        setup.press("metal")
        view = metal.view()
        assert field(view, "proof").value == "" and field(view, "name").value == "mild steel DC04"


def test_a_limit_of_one_side_says_so() -> None:
    nan, inf = float("nan"), float("inf")
    proof = FIGURES["proof"]
    assert figure_text(core.Figure(80.0, nan, "a book", False), proof) == "80 MPa or more (a book)"
    bands = core.Figure(0.12, nan, "a book", by_thickness=((0.5, 0.12), (3.0, 0.2), (inf, 0.18)))
    told = figure_text(bands, FIGURES["elongation"])
    assert told == "12 to 20 % or more, by thickness (a book)"
    assert figure_text(core.Figure(nan, 240.0, "a book", False), proof) == "240 MPa or less (a book)"
    assert figure_text(core.Figure(70e3, 70e3, "a book", False), FIGURES["E"]) == "70 GPa (a book)"
    assert figure_text(None, proof) == "not known"


def test_what_cannot_be_read_is_told_on_the_form(setup: SetupPresenter, session: Session) -> None:
    session.shop.settings.set(belongings.STORED, {"tools": [{"name": "half a set"}]})
    assert any("tools[0].patch_length" in text for text in setup.view().complaints)
