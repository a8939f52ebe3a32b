"""The shop's own tool and machine: what they cannot run is said, by how much, and what would fit.

Thickness is reckoned by hand from the two rules of core.forming.capacity: with Rm0/Rm (shearing) and with its
square root (bending), the less of the two. Strengths are the middles of the ranges in assets/metals.json.
"""

from __future__ import annotations

from math import inf, isnan, sqrt
from typing import Any

import pytest

import core
from core.dimensions import registry
from tests.made_up import LINES, rib

OWN = {"name": "sheet of unknown make", "E": "70 GPa", "poisson": 0.33}
RATED = {"name": "bench machine", "rated_thickness": "1.5 mm"}


def warned(word: str, **changes: Any) -> list[str]:
    """Warnings of the changed rib that hold this word."""
    return [sentence for sentence in core.job(rib(**changes)).warnings if word in sentence]


def action_of(work: float) -> str:
    """The action that does this work."""
    return "shrink" if work > 0.0 else "stretch"


class TestMachine:
    @pytest.mark.parametrize(
        ("metal", "by_hand"),
        [
            ("stainless steel 1.4301", 1.5 * 400.0 / 645.0),  # stronger: shearing is the cautious one
            ("aluminium 5754-O", 1.5 * sqrt(400.0 / 215.0)),  # softer: bending is
            ("mild steel DC01", 1.5 * sqrt(400.0 / 340.0)),
        ],
    )
    def test_thickness_for_other_metals(self, metal: str, by_hand: float) -> None:
        machine = core.Machine(rated_thickness_mm=1.5)
        assert machine.rated_mm(core.METALS[metal]) == pytest.approx(by_hand, rel=1e-12)

    @pytest.mark.parametrize(
        ("metal", "by_hand"),
        [
            ("titanium grade 2", 1.5 * 400.0 / 446.806),  # 690 (0.15/e)^0.15 MPa, above the least of 345
            ("aluminium 6082-T4", 1.5 * sqrt(400.0 / 230.064)),  # 400 (0.22/e)^0.22, above 205
            ("titanium-zinc EN 988", 1.5 * sqrt(400.0 / 181.312)),  # 280 (0.15/e)^0.15, above 150
        ],
    )
    def test_a_least_strength_alone_is_not_what_sheet_has(self, metal: str, by_hand: float) -> None:
        """By the strength at the highest force, K (n/e)^n, where that is more (Considere)."""
        assert core.Machine(rated_thickness_mm=1.5).rated_mm(core.METALS[metal]) == pytest.approx(
            by_hand, rel=1e-5
        )

    def test_which_strength_that_was_is_said(self) -> None:
        (said,) = warned("Thickness", machine=RATED, material="titanium grade 2", section__thickness="1.6 mm")
        assert "Rm about 447 MPa, by K and n; at least 345 MPa and no upper end: ASTM B265" in said
        strong = {"like": "titanium grade 2", "name": "hard plate", "tensile": {"low": "500 MPa"}}
        (said,) = warned("Thickness", machine=RATED, material=strong, section__thickness="1.6 mm")
        assert "Rm about 500 MPa, as given" in said

    def test_the_table_of_the_machine_goes_by_name_before_family(self) -> None:
        machine = core.Machine(thickness_limits_mm={"aluminium": 2.0, "aluminium 5754-H111": 1.8})
        assert machine.listed_mm(core.METALS["aluminium 5754-O"]) == 1.8  # by another name of it
        assert machine.listed_mm(core.METALS["aluminium 1050A-O"]) == 2.0
        assert isnan(machine.listed_mm(core.METALS["mild steel DC01"]))

    def test_what_nobody_said_holds_nothing_back(self) -> None:
        job = core.job(rib(machine={}))
        assert job.machine == core.Machine()
        assert job.machine.rated_mm(job.metal) == inf
        assert job.warnings == core.job(rib()).warnings == ()
        assert core.job(rib()).machine is None

    def test_it_is_read_with_its_units(self) -> None:
        given = {
            "name": "bench machine",
            "throat": "6 in",
            "rated_thickness_mm": 1.5,
            "rated_strength": "0.35 GPa",
            "thickness_limits": {"stainless": "0,8 mm", "aluminium 5754-O": "2 mm"},
            "stroke_rates": [60, 400],
            "feeds": ["1 mm/s", "3 m/min"],
            "settings_range_mm": [0, 6],
        }
        expected = core.Machine(
            "bench machine",
            152.4,
            1.5,
            350.0,
            {"stainless": 0.8, "aluminium 5754-O": 2.0},
            (60.0, 400.0),
            (1.0, 50.0),
            (0.0, 6.0),
        )
        machine = core.job(rib(machine=given)).machine
        assert machine is not None and machine.throat_mm == pytest.approx(expected.throat_mm)
        assert machine == core.Machine(**{**expected.__dict__, "throat_mm": machine.throat_mm})


class TestWhatDoesNotFit:
    def test_thickness(self) -> None:
        thick: dict[str, Any] = {"material": "stainless steel 1.4301", "section__thickness": "2 mm"}
        (said,) = warned("Thickness", machine=RATED, **thick)
        assert "Rm about 645 MPa" in said and "bench machine is rated for 1.50 mm at 400 MPa" in said
        assert "that is 0.93 mm of this metal" in said and "1.07 mm less: thinner metal" in said
        own = {**RATED, "thickness_limits": {"stainless": "2 mm"}}
        assert warned("hickness", machine=own, **thick) == []
        own["thickness_limits"]["stainless steel 1.4301"] = "1.2 mm"
        assert "takes 1.20 mm of it by its own table" in warned("Thickness", machine=own, **thick)[0]

    def test_a_metal_of_unknown_strength(self) -> None:
        (said,) = warned("tensile strength", machine=RATED, material=OWN)
        assert "is not known" in said and "thickness_limits" in said
        assert (
            warned("tensile", machine={**RATED, "thickness_limits": {OWN["name"]: "2 mm"}}, material=OWN)
            == []
        )

    def test_reach(self) -> None:
        """The rib's tool grips the edge 15 mm deep; the rest of its 40 mm flange stays in front."""
        (said,) = warned("throat", machine={"throat": "10 mm"})
        assert "15.00 mm deep" in said and "5.00 mm too little" in said
        assert warned("throat", machine={"throat": "15 mm"}) == []

    @pytest.mark.parametrize(("rate", "off"), [(500, "100 faster"), (40, "20 slower")])
    def test_stroke_rate(self, rate: float, off: str) -> None:
        (said,) = warned("rate", machine={"stroke_rates": [60, 400]}, tool__strokes_per_minute=rate)
        assert off in said and "from 60 to 400" in said and f"are for {min(max(rate, 60), 400):g}." in said

    def test_feed_is_for_a_rate_that_the_machine_makes(self) -> None:
        slow, fast = (
            core.job(rib(machine={"stroke_rates": [60, 100]}, tool__strokes_per_minute=r)) for r in (100, 200)
        )
        assert fast.tool.strokes_per_minute == 100.0
        feeds = [core.refit(job, []).next_pass.feed for job in (slow, fast)]
        assert feeds[0] == feeds[1]

    def test_a_rate_that_nobody_gave_is_one_that_the_machine_makes(self) -> None:
        rates = [core.job(rib(machine={"stroke_rates": r})).tool for r in ([60, 100], [60, 400], [200, 400])]
        assert [tool.strokes_per_minute for tool in rates] == [100.0, 120.0, 200.0]

    @pytest.mark.parametrize(("setting", "off"), [("7 mm", "1.00 mm beyond"), ("0,5 mm", "0.50 mm below")])
    def test_ram_setting(self, setting: str, off: str) -> None:
        machine = {"settings_range": ["1 mm", "6 mm"]}
        settings = {"light": "notch 3", "medium": "6 mm", "heavy": setting}
        (said,) = warned("ram setting", machine=machine, tool__settings=settings)
        assert f"heavy bite, {setting}, is {off}" in said and "from 1.00 mm to 6.00 mm" in said

    def test_no_pass_is_planned_with_a_bite_that_the_machine_cannot_be_set_to(self) -> None:
        settings = {"light": "notch 3", "medium": "6 mm", "heavy": "7 mm"}
        machine = {"name": "bench machine", "settings_range": ["1 mm", "6 mm"]}
        job = core.job(rib(machine=machine, tool__settings=settings))
        assert job.bites("shrink") == job.bites("stretch") == ("light", "medium")
        advice = core.refit(job, [])
        assert advice.remaining and {planned.bite for planned in advice.remaining} <= {"light", "medium"}
        assert any(
            "The heavy bite" in said and "bench machine cannot be set to 7 mm" in said
            for said in advice.reasons
        )
        # What is run all the same is taken down: the operator knows the machine better.
        count = len(job.part.sites)
        assert core.refit(job, [core.pass_done("shrink", [1] * count, bite="heavy")]).next_pass is not None

    def test_flange_and_radius_that_the_tool_enters(self) -> None:
        assert "is 5.00 mm less" in warned("worked flange", tool__smallest_flange="45 mm")[0]
        # The heel on 1500 mm, the edge a flange of 40 mm further in.
        assert "of 1460.0 mm is 40.00 mm less" in warned("inside radius", tool__smallest_radius="1500 mm")[0]
        assert warned("inside radius", tool__smallest_radius="1460 mm") == []
        outside = {"line__radius": "-1500 mm", "tool__smallest_radius": "1500 mm"}
        assert warned("inside radius", **outside) == []

    def test_angle_that_the_tool_enters(self) -> None:
        """The walls of a section stand square to each other; a flat bar has no wall beside its edge."""
        (said,) = warned("beside it", tool__smallest_angle="100 deg")
        assert "90.0° to the metal beside it, 10.0° less" in said and "100.0° or more is wanted" in said
        assert warned("beside it", tool__smallest_angle="90 deg") == []
        flat = {"shape": "flat bar", "depth": "40 mm", "thickness": "1.5 mm"}
        assert warned("beside it", tool__smallest_angle="100 deg", section=flat) == []

    def test_feed(self) -> None:
        """Patches of 20 mm side by side: 100 strokes a minute want 33 mm/s, 400 a minute 133 mm/s."""
        slow = {"stroke_rates": [100, 400], "feeds": ["1 mm/s", "25 mm/s"]}
        (said,) = warned("side by side", machine=slow)
        assert (
            "a feed of 33 mm/s at 100 strokes a minute" in said
            and "at 25 mm/s at most, 8.3 mm/s less" in said
        )
        assert "75 strokes a minute would do" in said
        fast = {"stroke_rates": [100, 400], "feeds": ["150 mm/s", "300 mm/s"]}
        (said,) = warned("side by side", machine=fast)
        assert "133 mm/s at 400 strokes" in said and "150 mm/s at least, 17 mm/s more" in said
        assert warned("side by side", machine={**slow, "feeds": ["1 mm/s", "34 mm/s"]}) == []

    def test_marks_on_faces_in_sight(self) -> None:
        assert "a smooth or soft-faced one would not" in warned("marks", finish="visible")[0]
        for fine in ({}, {"finish": "plain"}, {"finish": "visible", "tool__face": "soft-faced"}):
            assert warned("marks", **fine) == []
        assert warned("marks", finish="visible", material="mild steel DC01") == []


class TestHeldUp:
    """A plan that cannot be run is not called the next pass."""

    @pytest.mark.parametrize(
        "changes",
        [
            {"machine": {"throat": "10 mm"}},
            {"machine": {"rated_thickness": "0.5 mm"}},
            {"tool__smallest_flange": "45 mm"},
            {"tool__smallest_angle": "100 deg"},
        ],
    )
    def test_what_cannot_be_run_holds_the_plan_up(self, changes: dict[str, Any]) -> None:
        job = core.job(rib(**changes))
        advice = core.refit(job, [])
        (said,) = advice.misfits
        assert job.warnings[0] == advice.reasons[0] == said and "wanted" in said
        assert "no pass can be run as it stands" in advice.reasons[1] and advice.remaining
        assert core.advice_document(advice)["misfits"] == [said]
        gone_on = core.refit(job, [core.run_all_the_same(advice.misfits)])
        assert gone_on.misfits == () and gone_on.reasons == advice.reasons[2:]

    @pytest.mark.parametrize(
        "changes",
        [
            {"machine": {"stroke_rates": [200, 400]}, "tool__strokes_per_minute": 500},
            {"machine": {"settings_range": ["1 mm", "3 mm"]}, "tool__settings": {"heavy": "5 mm"}},
            {"material": OWN, "machine": RATED},
            {"finish": "visible"},
        ],
    )
    def test_what_is_run_otherwise_does_not(self, changes: dict[str, Any]) -> None:
        job = core.job(rib(**changes))
        assert job.warnings and core.refit(job, []).misfits == ()

    def test_a_set_that_the_plan_does_not_use_does_not(self) -> None:
        """The jaws that stretch do not enter; the part wants shrinking alone."""
        sets: dict[str, Any] = {
            "tool__actions": ["shrink"],
            "more_tools": [{**rib()["tool"], "actions": ["stretch"], "smallest_flange": "90 mm"}],
        }
        job = core.job(rib(**sets))
        advice = core.refit(job, [])
        assert {p.action for p in advice.remaining} == {"shrink"} and advice.misfits == ()
        assert any("less than the tool enters" in said for said in job.misfits["stretch"])
        assert set(job.misfits["stretch"]) <= set(job.warnings)
        outside = core.job(rib(**sets, line={"radius": "-1500 mm", "length": "1200 mm"}))
        assert core.refit(outside, []).misfits == outside.misfits["stretch"]


class TestActions:
    @pytest.mark.parametrize(("has", "lacks"), [("shrink", "stretch"), ("stretch", "shrink")])
    def test_an_s_shape_never_gets_the_action_that_the_tool_lacks(self, has: str, lacks: str) -> None:
        job = core.job(rib(line=LINES["segments"], tool__actions=[has]))
        assert any(f"strokes that {lacks} and no tool here does" in said for said in job.warnings)
        bar, log = core.simulated_bar(job, 7), []
        for _ in range(3):
            advice = core.refit(job, log)
            assert {planned.action for planned in (*advice.remaining, *advice.before)} <= {has}
            assert any("which no tool of this job does" in said for said in advice.reasons)
            strokes = [3 if has == action_of(work) else 0 for work in job.part.target]
            bar.work(has, "medium", strokes)
            gaps = bar.gaps(gauge=core.GAUGES["steel rule"])
            log += [core.pass_done(has, strokes, "medium"), core.gaps_read(gaps, gauge="steel rule")]

    def test_a_single_curve_goes_on_with_more_care(self) -> None:
        both, one = (core.refit(core.job(d), []) for d in (rib(), rib(tool__actions=["shrink"])))
        assert {p.action for p in one.remaining} == {p.action for p in both.remaining} == {"shrink"}
        assert one.remaining[0].expected_gap_mm > both.remaining[0].expected_gap_mm
        assert one.remaining[-1].expected_gap_mm < core.job(rib()).tolerance_mm
        assert one.warnings == ()

    def test_a_trial_is_of_an_action_that_the_tool_does(self) -> None:
        job = core.job(rib(tool__actions=["shrink"]))
        assert core.trial_plan(job, "shrink", "medium").strokes > 1
        with pytest.raises(core.InputError, match="action"):
            core.trial_plan(job, "stretch", "medium")


def test_the_tool_as_the_shop_owns_it() -> None:
    quarter = registry().Quantity(0.1, "hour")
    given = {"light": "2.0 mm", "medium": "notch 3", "heavy": "1/4 in"}
    tool = core.job(rib(tool__settings=given, tool__change_time=quarter, tool__name="jaws 2")).tool
    assert tool.settings["medium"] == core.RamSetting("notch 3")
    assert tool.settings["heavy"].text == "1/4 in" and tool.settings["heavy"].mm == pytest.approx(6.35)
    assert tool.change_s == pytest.approx(360.0) and tool.name == "jaws 2"
    assert core.job(rib(tool__actions=["stretch", "shrink"])).tool.actions == ("shrink", "stretch")


@pytest.mark.parametrize(
    ("changes", "field", "says"),
    [
        ({"machine": "big"}, "machine", "an object with named fields"),
        ({"machine": {"throut": "1 m"}}, "machine.throut", "is 'throat' meant?"),
        ({"machine": {"name": " "}}, "machine.name", "a text on one line"),
        ({"machine": {"throat": 150}}, "machine.throat", "'150 mm'"),
        ({"machine": {"throat": "0 mm"}}, "machine.throat", "more than 0.00 mm"),
        ({"machine": {"rated_thickness": "1.5"}}, "machine.rated_thickness", "with its unit"),
        ({"machine": {"rated_thickness": "40 mm"}}, "machine.rated_thickness", "at most 25.00 mm"),
        ({"machine": {"rated_strength": "400 MPa"}}, "machine.rated_strength", "'rated_thickness' is wanted"),
        ({"machine": {**RATED, "rated_strength": "400 mm"}}, "machine.rated_strength", "belongs to a length"),
        ({"machine": {**RATED, "rated_strength": "0 MPa"}}, "machine.rated_strength", "1 and 5000 MPa"),
        ({"machine": {"thickness_limits": "2 mm"}}, "machine.thickness_limits", "metals with thicknesses"),
        (
            {"machine": {"thickness_limits": {"aluminum": "2 mm"}}},
            "machine.thickness_limits.aluminum",
            "is 'aluminium' meant?",
        ),
        ({"machine": {"thickness_limits": {"zinc": 2}}}, "machine.thickness_limits.zinc", "with its unit"),
        ({"machine": {"stroke_rates": 120}}, "machine.stroke_rates", "a list of two"),
        ({"machine": {"stroke_rates": [0, 120]}}, "machine.stroke_rates[0]", "more than 0"),
        ({"machine": {"stroke_rates": [200, 120]}}, "machine.stroke_rates", "the lesser of the two first"),
        ({"machine": {"feeds": [1, 40]}}, "machine.feeds[0]", "'1 mm/s'"),
        ({"machine": {"feeds": ["0 mm/s", "0 mm/s"]}}, "machine.feeds[1]", "the fastest above 0"),
        ({"machine": {"feeds": ["9 mm/s", "2 mm/s"]}}, "machine.feeds", "the lesser of the two first"),
        ({"machine": {"feeds": ["0 mm/s", "2 mm"]}}, "machine.feeds[1]", "belongs to a length"),
        ({"machine": {"settings_range": [0, 6]}}, "machine.settings_range[0]", "with its unit"),
        ({"machine": {"settings_range": ["-1 mm", "6 mm"]}}, "machine.settings_range[0]", "from 0"),
        ({"machine": {"settings_range_mm": [6, 0]}}, "machine.settings_range_mm", "lesser"),
        ({"finish": "shiny"}, "finish", "one of plain, visible"),
        ({"tool__name": 3}, "tool.name", "a text on one line"),
        ({"tool__actions": "shrink"}, "tool.actions", "a list is wanted"),
        ({"tool__actions": []}, "tool.actions", "1 to 2 entries"),
        ({"tool__actions": ["shrinks"]}, "tool.actions[0]", "is 'shrink' meant?"),
        ({"tool__actions": ["shrink", "shrink"]}, "tool.actions", "only once"),
        ({"tool__settings": {"lihgt": "2 mm"}}, "tool.settings.lihgt", "is 'light' meant?"),
        ({"tool__settings": {"light": "2"}}, "tool.settings.light", "'2 mm'"),
        ({"tool__settings": {"light": "2 kg"}}, "tool.settings.light", "is not a unit for a length"),
        ({"tool__settings": {"light": 2}}, "tool.settings.light", "a text on one line"),
        ({"tool__settings": {"light": "-2 mm"}}, "tool.settings.light", "from 0"),
        ({"tool__smallest_flange": "0 mm"}, "tool.smallest_flange", "more than 0.00 mm"),
        ({"tool__smallest_radius": "6 m"}, "tool.smallest_radius", "at most 5000.0 mm"),
        ({"tool__smallest_angle": "0 deg"}, "tool.smallest_angle", "more than 0"),
        ({"tool__smallest_angle": 75}, "tool.smallest_angle", "'75 deg'"),
        ({"tool__change_time": 4}, "tool.change_time", "'4 min'"),
        ({"tool__change_time": "4 mm"}, "tool.change_time", "belongs to a length"),
        ({"tool__change_time": "9 h"}, "tool.change_time", "from 0 to 8 h"),
    ],
)
def test_what_cannot_be_used_is_named(changes: dict[str, Any], field: str, says: str) -> None:
    with pytest.raises(core.InputError) as caught:
        core.job(rib(**changes))
    assert caught.value.field == field and says in str(caught.value)
