"""All that the shop owns and knows: what each thing holds, forgetting one, an own metal to change."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

import core
from core.known import Known
from shopapp.presenters import belongings, responses
from shopapp.presenters.bench import BenchPresenter
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.inventory import InventoryPresenter
from shopapp.presenters.own_equipment import OwnMachinePresenter, OwnToolPresenter
from shopapp.presenters.own_gauge import OwnGaugePresenter
from shopapp.presenters.own_metal import OwnMetalPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.presenters.conftest import RIB, Clock, key

# All of it invented.
METAL = {"name": "dome sheet", "like": "aluminium 5754-O", "proof": "95 MPa"}
LIMITS = {"name": "dome sheet", "strain_per_pass": "2 %", "strain_total": 0.12}
TOOL = {
    **{"name": "ribs", "patch_length": "20 mm", "patch_depth_mm": 15, "strain_per_stroke": "0.4 %"},
    **{"bites": {"soft": 0.5, "full": 1.0}, "strokes_per_minute": "120", "free_length": "5 mm"},
}
MACHINE = {"name": "bench machine", "throat": "120 mm", "stroke_rates": [60, 240]}
ALL: dict[str, dict[str, Any]] = {"metals": METAL, "limits": LIMITS, "tools": TOOL, "machines": MACHINE}
TRIAL = Known(
    *("dome sheet", 1.5, 20.0, 15.0, "gripping", "shrink", "full", 1.0, 6.0, 0.0036, 0.1),
    *("trial on an offcut", date(2026, 3, 2)),
)
PART = replace(TRIAL, source="finished part Rib 2", part="a1", day=date(2026, 3, 9), machine="bench machine")


@pytest.fixture
def session(folder: core.MemoryFolder, clock: Clock, advise: Callable[..., None]) -> Iterator[Session]:
    with core.Shop(folder, now=clock) as shop:
        yield Session(shop, now=clock, who="A. Worker")


@pytest.fixture
def full(session: Session) -> InventoryPresenter:
    for kind, document in ALL.items():
        belongings.keep(session, kind, document)
    responses.keep(session, [TRIAL, PART])
    return InventoryPresenter(session)


def figures(view: Any) -> dict[str, tuple[str, str]]:
    return {row.label: (row.value, row.tail) for row in view.figures}


def test_the_bench_leads_to_it(session: Session) -> None:
    bench = BenchPresenter(session)
    assert key(bench.view(), "owned").enabled
    assert bench.press("owned").go == "inventory"


@pytest.mark.parametrize(
    ("group", "ways"),
    [
        ("metals", ("Section", "Own figures", "Keep for the shop")),
        ("tools", ("New tool set", "Tool", "Keep tool set")),
        ("machines", ("New machine", "Tool", "Keep machine")),
        ("responses", ("Trial strip", "signed off")),
    ],
)
def test_an_empty_list_says_how_things_get_there(session: Session, group: str, ways: tuple[str, ...]) -> None:
    view = InventoryPresenter(session).press(f"show:{group}")
    assert view.rows == () and [k.name for k in view.keys if k.chosen] == [f"show:{group}"]
    (said,) = view.sentences
    assert all(way in said for way in ways)


def test_the_lists_count_and_name_what_there_is(full: InventoryPresenter) -> None:
    view = full.view()
    assert [k.text for k in view.keys] == [
        *("Metals 2", "Tool sets 1", "Machines 1", "Gauges 0", "Responses 2")
    ]
    assert [(row.label, row.value) for row in view.rows] == [
        ("Own metal, 1 figure", "dome sheet"),
        ("Own limits, 2 figures", "dome sheet"),
    ]
    rows = full.press("show:responses").rows
    assert [row.label for row in rows] == [
        "Finished part Rib 2, 2026-03-09",
        "Trial on an offcut, 2026-03-02",
    ]
    assert rows[1].value == "dome sheet, 1.5 mm, shrink, full: 0.36 ± 0.07 %"


def test_an_own_metal_shows_its_figures_with_unit_and_source(full: InventoryPresenter) -> None:
    view = full.press("open:0")
    shown = figures(view)
    assert shown == {"Proof stress (yield)": ("95 MPa", "the shop's own: as given")}
    assert view.sentences[0] == "What is not listed is as in aluminium 5754-O."
    assert view.header.where == "Own metal dome sheet" and not view.listing


def test_limits_tool_sets_and_machines_show_what_they_hold(full: InventoryPresenter) -> None:
    shown = figures(full.press("open:1"))
    assert [value for value, _ in shown.values()] == ["2 %", "12 %"]
    full.press("show:tools")
    shown = {label: value for label, (value, _) in figures(full.press("open:0")).items()}
    assert shown["Patch length of one stroke"] == "20 mm" and shown["Patch depth from the edge"] == "15 mm"
    assert shown["Strain a stroke, first guess"] == "0.4 %"
    assert shown["Bites, by strength"] == "soft 0.5, full 1"
    assert shown["Stroke rate"] == "120 strokes/min"
    assert shown["Free between the gripping halves"] == "5 mm"
    full.press("show:machines")
    shown = {label: value for label, (value, _) in figures(full.press("open:0")).items()}
    assert shown == {"Throat": "120 mm", "Stroke rates, strokes/min": "60, 240"}


def test_a_response_shows_all_that_it_is(full: InventoryPresenter) -> None:
    """Its share is of the first guess of a kept tool set with its patch and face, for as many strokes:
    each of 6 is expected to do 6 ** (0.85 - 1) = 0.764 of a first one: 0.36 % is 1.18 of 0.764 * 0.4 %."""
    full.press("show:responses")
    shown = figures(full.press("open:0"))
    assert shown["Edge strain of a stroke"] == ("0.36 ± 0.07 %", "± 20 % of it (95 %); 6 strokes on a spot")
    assert shown["Of the first guess for 6 strokes on a spot"] == (
        "118 ± 23 %",
        "of the tool set ribs (95 %)",
    )
    assert shown["Metal"] == ("dome sheet", "1.5 mm thick")
    assert shown["Action and bite"] == ("shrink, full", "strength 1")
    assert shown["Patch of the tool"] == ("20 x 15 mm", "gripping face")
    assert shown["Machine"][0] == "bench machine"
    assert shown["Read on"] == ("2026-03-09", "finished part Rib 2")


@pytest.mark.parametrize("changes", [{"face": "smooth"}, {"patch_length_mm": 22.0}, {"patch_depth_mm": 12.0}])
def test_a_response_by_another_tool_has_no_ratio(full: InventoryPresenter, changes: dict[str, Any]) -> None:
    responses.keep(full.session, [replace(TRIAL, day=date(2026, 3, 10), **changes)])
    full.press("show:responses")
    assert not any("first guess" in label for label in figures(full.press("open:0")))


class TestForgetting:
    @pytest.mark.parametrize(
        ("group", "place", "kind"),
        [
            ("metals", 0, "metals"),
            ("metals", 1, "limits"),
            ("tools", 0, "tools"),
            ("machines", 0, "machines"),
        ],
    )
    def test_one_thing_goes_once_it_was_asked(
        self, full: InventoryPresenter, session: Session, group: str, place: int, kind: str
    ) -> None:
        full.press(f"show:{group}")
        full.press(f"open:{place}")
        view = full.press("forget")
        assert view.question.startswith("Forget ") and view.question.endswith(f" {ALL[kind]['name']}?")
        assert [k.name for k in view.keys] == ["keep_it", "forget_it"] and view.keys[0].main
        assert getattr(belongings.owned(session), kind)  # not yet
        view = full.press("keep_it")
        assert view.question == "" and view.figures
        full.press("forget")
        view = full.press("forget_it")
        assert view.listing and view.complaint == ""
        left = belongings.owned(session)
        assert {name for name in ALL if not getattr(left, name)} == {kind}

    def test_a_response_goes_alone(self, full: InventoryPresenter, session: Session) -> None:
        full.press("show:responses")
        full.press("open:1")
        assert full.press("forget").question == "Forget trial on an offcut, shrink, full?"
        view = full.press("forget_it")
        assert responses.library(session).entries == (PART,) and len(view.rows) == 1

    def test_of_two_alike_one_stays(self, full: InventoryPresenter, session: Session) -> None:
        responses.keep(session, [TRIAL])
        full.press("show:responses")
        for name in ("open:1", "forget", "forget_it"):
            full.press(name)
        assert responses.library(session).entries == (PART, TRIAL)

    def test_nothing_goes_unasked(self, full: InventoryPresenter, session: Session) -> None:
        full.press("open:0")
        assert full.press("forget_it").complaint.startswith("first touch")
        assert belongings.owned(session).metals
        full.press("forget")
        full.press("show:tools")
        full.press("open:0")
        assert full.view().question == ""  # asked of another thing

    def test_no_part_is_changed(self, full: InventoryPresenter, session: Session) -> None:
        document = {**RIB, "material": METAL}
        session.open(session.shop.new_part(document))
        for name in ("open:0", "forget", "forget_it"):
            full.press(name)
        assert session.shop.open(session.part_id).job_document["material"] == METAL

    def test_what_cannot_be_read_stays_and_is_told(self, full: InventoryPresenter, session: Session) -> None:
        stored = session.shop.settings.get(responses.STORED)
        session.shop.settings.set(responses.STORED, ["?", *stored])
        kept = session.shop.settings.get(belongings.STORED)
        session.shop.settings.set(belongings.STORED, {**kept, "tools": [{"name": "half"}, *kept["tools"]]})
        assert "tools[0]" in full.press("show:tools").damaged[0] and full.press("show:metals").damaged == ()
        assert len(full.press("show:responses").damaged) == 1
        for name in ("open:0", "forget", "forget_it"):
            full.press(name)
        assert "?" in session.shop.settings.get(responses.STORED)


class TestChanging:
    def test_an_own_metal_is_changed_on_its_screen_and_leads_back(
        self, full: InventoryPresenter, session: Session
    ) -> None:
        full.press("open:0")
        assert full.press("change").go == "own_metal"
        metal = OwnMetalPresenter(session)
        assert metal.view().header.back == "inventory"
        metal.change("proof", "105")
        assert metal.press("keep").go == "inventory" and session.metal_kept == ""
        assert figures(full.view())["Proof stress (yield)"][0] == "105 MPa"

    def test_what_was_forgotten_there_leaves_the_list(
        self, full: InventoryPresenter, session: Session
    ) -> None:
        full.press("open:1")
        full.press("change")
        metal = OwnMetalPresenter(session)
        assert {f.name: f.value for f in metal.view().fields}["limits.strain_total"] == "12"
        assert metal.press("forget").go == "inventory"
        view = full.view()
        assert view.listing and view.rows == ()

    def test_figures_forgotten_here_are_not_typed_there_any_more(
        self, full: InventoryPresenter, session: Session
    ) -> None:
        metal = OwnMetalPresenter(session)
        belongings.keep(session, "metals", {**METAL, "name": "aluminium 5754-O"})
        full.press("open:1")
        full.press("change")
        typed = {f.name: f.value for f in metal.view().fields}
        assert (typed["name"], typed["proof"]) == ("aluminium 5754-O", "95 MPa")
        full.press("forget")
        full.press("forget_it")
        assert {f.name: f.value for f in metal.view().fields}["proof"] == ""

    def test_limits_of_a_metal_that_is_gone_cannot_be_opened(self, full: InventoryPresenter) -> None:
        for name in ("open:0", "forget", "forget_it"):
            full.press(name)
        assert not key(full.press("open:0"), "change").enabled

    def test_a_tool_set_is_changed_and_renamed(self, full: InventoryPresenter, session: Session) -> None:
        """What is not touched stays; the old name goes."""
        full.press("show:tools")
        full.press("open:0")
        assert full.press("change").go == "own_tool"
        form = OwnToolPresenter(session)
        typed = {f.name: f.value for f in form.view().fields}
        assert (typed["tool.name"], typed["tool.patch_depth"], typed["tool.free_length"]) == (
            "ribs",
            "15 mm",
            "5 mm",
        )
        for name, text in {"name": "ribs, deep", "patch_depth": "18", "change_time": "4"}.items():
            form.change(f"tool.{name}", text)
        form.press("choose:tool.actions=shrink")
        form.press("choose:tool.face=smooth")
        wrong = form.change("tool.bites[1][2]", "5 kg")
        assert "'kg' is not a unit" in wrong.table.rows[1][2].complaint and not key(wrong, "keep").enabled
        form.change("tool.bites[1][2]", "notch 3")
        assert form.press("keep").go == "inventory"
        kept = belongings.owned(session).tools
        assert list(kept) == ["ribs, deep"]
        before = core.owned_from({"tools": [TOOL]}).tools["ribs"]
        tool, was = (core.job({**RIB, "tool": one}).tool for one in (kept["ribs, deep"], before))
        changed = {"name": "ribs, deep", "patch_depth_mm": 18.0, "change_s": 240.0, "actions": ("shrink",)}
        changed |= {"face": "smooth", "settings": {"full": core.RamSetting("notch 3")}}
        assert tool == replace(was, **changed)

    def test_a_machine_is_changed_with_the_thickest_of_each_metal(
        self, full: InventoryPresenter, session: Session
    ) -> None:
        full.press("show:machines")
        full.press("open:0")
        assert full.press("change").go == "own_machine"
        form = OwnMachinePresenter(session)
        typed = {f.name: f.value for f in form.view().fields}
        assert (typed["machine.stroke_rates[1]"], typed["machine.throat"]) == ("240", "120 mm")
        form.change("machine.thickness_limits.aluminium", "2,5")
        view = form.change("machine.settings_range[1]", "6")
        (wrong,) = (f for f in view.fields if f.complaint)
        assert wrong.name == "machine.settings_range[0]" and not key(view, "keep").enabled
        form.change("machine.settings_range[0]", "0")
        units = {f.name: f.unit_keys for f in form.view().fields}
        assert units["machine.feeds[0]"] == ("mm/s", "m/min") and units["machine.stroke_rates[0]"] == ()
        assert units["machine.throat"] == ("mm", "cm", "in")
        form.press("keep")
        machine = core.job({**RIB, "machine": belongings.owned(session).machines["bench machine"]}).machine
        assert machine == core.Machine(
            "bench machine",
            throat_mm=120.0,
            thickness_limits_mm={"aluminium": 2.5},
            stroke_rates=(60.0, 240.0),
            settings_mm=(0.0, 6.0),
        )

    def test_a_new_tool_set_is_typed_in(self, session: Session) -> None:
        inventory, form = InventoryPresenter(session), OwnToolPresenter(session)
        inventory.press("show:tools")
        assert inventory.press("new").go == "own_tool"
        assert not key(form.view(), "keep").enabled and not any(f.complaint for f in form.view().fields)
        form.change("tool.name", "ribs")
        form.press("row_drop:2")
        form.press("keep")
        assert core.job({**RIB, "tool": belongings.owned(session).tools["ribs"]}).tool.bites == {
            "light": 0.4,
            "medium": 1.0,
        }

    def test_a_form_takes_the_change_of_the_set_that_it_has_chosen(
        self, full: InventoryPresenter, session: Session
    ) -> None:
        setup, form = SetupPresenter(session), OwnToolPresenter(session)
        setup.press("choose:tools=ribs")
        session.thing_in_hand = "ribs"
        form.change("tool.patch_length", "24")
        form.press("keep")
        setup.press("step:tool")
        assert "patch length of one stroke 24 mm" in setup.view().side_text
        session.thing_in_hand = "ribs"
        form.change("tool.name", "ribs 2")
        form.press("keep")
        view = setup.view()  # no set of this name is kept now: what it was like stays, typed
        shown = {f.name: f.value for f in view.fields}
        assert (shown["tools"], shown["tool.patch_length"]) == ("", "24 mm")


def test_every_key_can_be_pressed(full: InventoryPresenter) -> None:
    seen = {k.name for k in full.view().keys} | {row.name for row in full.view().rows}
    for name in ("open:0", "forget", "keep_it", "list"):
        seen |= {k.name for k in full.press(name).keys}
    seen |= {k.name for k in full.press("show:gauges").keys}
    assert {name.partition(":")[0] for name in seen} == set(full.touches)


def test_a_gauge_is_typed_in_kept_and_calibrated_anew(session: Session) -> None:
    inventory, form = InventoryPresenter(session), OwnGaugePresenter(session)
    view = inventory.press("show:gauges")
    assert "New gauge" in view.sentences[0]
    assert inventory.press("new").go == "own_gauge"
    assert not key(form.view(), "keep").enabled
    for name, text in (("name", "dial 2"), ("step", "0.01"), ("repeatability", "0.02"), ("largest", "25")):
        form.change(name, text)
    form.change("interval_months", "12")
    wrong = next(field for field in form.view().fields if field.name == "calibrated")
    assert wrong.complaint == "this has to be given"
    form.change("calibrated", "2025-03-13")
    assert form.press("keep").go == "inventory"
    (row,) = inventory.view().rows
    assert (row.label, row.value, row.state) == ("Gauge, calibration past since 2026-03-13", "dial 2", "todo")
    inventory.press("open:0")
    assert figures(inventory.view())["Smallest step"] == ("0.01 mm", "")
    assert inventory.press("change").go == "own_gauge"
    form.press("today")
    form.press("keep")
    inventory.press("list")
    (row,) = inventory.view().rows
    assert (row.label, row.state) == ("Gauge, calibrated until 2027-03-14", "plain")
    inventory.press("open:0")
    inventory.press("change")
    form.change("name", "dial 3")
    form.press("keep")
    assert list(belongings.owned(session).gauges) == ["dial 3"]


def test_a_reading_with_a_gauge_past_its_calibration_is_warned_of(session: Session) -> None:
    past = {"name": "feeler leaves", "calibrated": "2025-03-13", "interval_months": 12}
    session.open(session.shop.new_part({**RIB, "gauge": past}))
    told = "Feeler leaves: its calibration is past since 2026-03-13"
    assert GapsPresenter(session).view().complaint == told
    belongings.keep(session, "gauges", {**past, "calibrated": "2026-03-01"})
    assert GapsPresenter(session).view().complaint == ""
