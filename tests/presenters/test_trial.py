"""A trial on an offcut at the screen: what it asks for, what a rise says, what is kept of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

import core
from shopapp.presenters import responses
from shopapp.presenters.cautions import CautionsPresenter, cautions_understood
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.trial import TrialPresenter
from tests.presenters.conftest import RIB, events_of, key, settled
from tests.presenters.test_setup import fill


@pytest.fixture
def trial(session: Session) -> TrialPresenter:
    presenter = TrialPresenter(settled(session))
    presenter.press("choose:taper gauge")
    return presenter


def cautions_read(session: Session, trial: TrialPresenter) -> None:
    """As the screen asks for it first."""
    assert trial.press("cautions").go == "cautions"
    assert CautionsPresenter(session).press("understood").go == "trial"


def planned(session: Session, action: str = "shrink", bite: str = "medium") -> core.Trial:
    return core.trial_plan(session.job, action, bite, gauge=core.GAUGES["taper gauge"])


def read(trial: TrialPresenter, rise: str) -> Any:
    trial.press("read")
    return trial.typed(f"{rise}\n")


def test_it_begins_with_the_pass_that_is_planned(session: Session, trial: TrialPresenter) -> None:
    view, wanted = trial.view(), planned(session)
    assert [k.name for k in view.keys if k.chosen] == ["action:shrink", "bite:medium"]
    assert [k.text for k in view.keys if k.main] == ["Read the rise"]
    assert view.strip.position_mm == wanted.spots_mm
    assert view.strip.strokes == (wanted.strokes,) * 4
    assert [(f.label, f.value) for f in view.facts] == [
        ("Strokes at each spot", str(wanted.strokes)),
        ("Time", "about 10 min: to cut, to mark, to strike, to read"),
    ]
    assert f"{wanted.length_mm:.0f} mm long" in view.steps[0]
    assert f"{(wanted.length_mm - wanted.chord_mm) / 2:.0f} mm from both ends" in view.steps[1]


def test_the_steps_say_how_the_tool_is_set(session: Session) -> None:
    """Ram setting, face and stroke rate as the tool has them; a rate that the machine does not make is
    brought to the nearest that it does, and the feed follows."""
    tool = {**RIB["tool"], "settings": {"medium": "2.5 mm"}, "face": "smooth", "strokes_per_minute": 120}
    machine = {"name": "bench machine", "stroke_rates": [60, 90], "feeds": ["2 mm/s", "20 mm/s"]}
    session.open(session.shop.new_part({**RIB, "tool": tool, "machine": machine}))
    session.log(cautions_understood())
    view, wanted = TrialPresenter(settled(session)).view(), core.trial_plan(session.job, "shrink", "medium")
    assert view.steps[2].startswith("3. Shrink with medium bite, ram 2.5 mm, smooth face, 90/min: ")
    seconds = wanted.strokes / 1.5
    assert view.strip.brackets[0].feed == f"{wanted.zone_mm / seconds:.0f} mm/s, {seconds:.1f} s"


class TestBeforeIt:
    """What stands before a pass stands before the strokes of a trial too."""

    def test_the_cautions_come_first_and_once(self, session: Session) -> None:
        session.open(session.shop.new_part(RIB))
        trial = TrialPresenter(settled(session))
        view = trial.view()
        assert (view.strip, view.steps, view.facts[0].value) == (None, (), "Read the cautions first")
        assert [(k.name, k.main) for k in view.keys] == [("cautions", True)]
        assert trial.press("cautions").go == "cautions"
        CautionsPresenter(session).press("understood")
        assert key(trial.view(), "read").main and session.standing.cautions_read

    def test_in_a_set_up_they_count_for_the_part_that_it_begins(self, session: Session) -> None:
        setup = SetupPresenter(session)
        fill(setup)
        setup.press("step:plan")
        settled(session)
        setup.press("trial")
        trial, cautions = TrialPresenter(session), CautionsPresenter(session)
        assert trial.view().facts[0].value == "Read the cautions first"
        view = cautions.view()
        assert view.needed and view.cautions[-1][0] == "Aluminium 5754-O"
        assert cautions.press("understood").go == "trial"
        assert key(trial.view(), "read").main and not cautions.view().needed
        setup.press("start")
        assert session.standing.cautions_read and session.understood == ""

    def test_what_does_not_fit_is_said_in_place_of_the_strip(self, session: Session, advise: Any) -> None:
        """1.4301 of 1.5 mm, where 1.5 mm at 400 MPa are 0.93 mm of it, as on the part."""
        machine = {"name": "bench machine", "rated_thickness": "1.5 mm"}
        session.open(session.shop.new_part({**RIB, "material": "stainless steel 1.4301", "machine": machine}))
        session.log(cautions_understood())
        advise(misfits=("It is too thick.",))
        trial = TrialPresenter(settled(session))
        view = trial.view()
        assert (view.strip, view.facts[0].value) == (None, "The offcut does not fit tool or machine")
        (said,) = view.steps
        assert "0.93 mm of this metal" in said and said in session.job.misfits["shrink"]
        assert [k.name for k in view.keys if k.main] == ["misfit"] and trial.press("misfit").go == "misfit"
        session.log(core.run_all_the_same(session.job.misfits["shrink"]))
        assert key(trial.view(), "read").main

    def test_a_set_up_that_does_not_fit_leads_back_to_it(self, session: Session) -> None:
        machine = {"name": "bench machine", "throat": "10 mm"}
        session.offcut_of, session.understood = core.job({**RIB, "machine": machine}), RIB["material"]
        trial = TrialPresenter(session)
        view = trial.view()
        assert "5.00 mm too little" in view.steps[0]
        assert [(k.name, k.text) for k in view.keys if k.main] == [("back", "Back to the set-up")]
        assert trial.press("back").go == "setup"


def test_another_action_and_bite_make_another_strip(session: Session, trial: TrialPresenter) -> None:
    trial.press("action:stretch")
    view = trial.press("bite:light")
    assert view.strip.arrows == "apart"
    assert view.strip.strokes[0] == planned(session, "stretch", "light").strokes


def test_a_rise_says_what_a_stroke_does_and_is_kept_once(session: Session, trial: TrialPresenter) -> None:
    """As the core reads it; the strain is that of the entry in the library."""
    wanted = planned(session)
    rise = 1.2 * wanted.rise_mm
    view = read(trial, f"{rise:.2f}".replace(".", ","))
    seen = core.trial_read(wanted, round(rise, 2), core.GAUGES["taper gauge"])
    more = round(100 * (seen.ratio / wanted.expected_ratio - 1))
    strain = 100 * seen.ratio * 0.004
    said = f"{strain:.2f} ± {1.96 * seen.sd * strain:.2f} %"
    assert view.facts[0].value == said
    assert f"does {said} of edge strain (95 %), {more} % more than" in view.answer[0]
    assert responses.library(session).entries == ()
    view = trial.press("keep")
    (entry,) = responses.library(session).entries
    assert (entry.strain, entry.sd) == pytest.approx((seen.ratio * 0.004, seen.sd))
    assert "begun without it" in view.answer[1] and "“Use the trial” on the part" in view.answer[1]
    assert trial.press("keep").complaint != ""
    assert len(responses.library(session).entries) == 1
    assert trial.press("back").go == "part"


def test_a_rise_that_cannot_be_is_refused_and_stays_typed(trial: TrialPresenter) -> None:
    view = read(trial, "99")
    assert "reads to" in view.complaint
    assert (view.entry, view.answer) == ("99", ())
    assert trial.typed("\b\b").entry == ""
    assert not key(trial.view(), "enter").enabled


def test_a_gauge_types_on_after_a_rise_that_was_not_taken(trial: TrialPresenter) -> None:
    read(trial, "99")
    assert trial.typed("4.5").entry == "4.5"


def test_digits_count_only_while_the_rise_is_asked_for(trial: TrialPresenter) -> None:
    assert trial.typed("4").entry == ""
    assert trial.press("enter").complaint.startswith("first touch")


def test_a_job_being_set_up_starts_from_its_trial(session: Session, advise: Callable[..., None]) -> None:
    setup = SetupPresenter(session)
    fill(setup)
    setup.press("step:plan")
    settled(session)
    assert setup.press("trial").go == "trial"
    trial = TrialPresenter(session)
    cautions_read(session, trial)
    trial.press("choose:taper gauge")
    wanted = core.trial_plan(session.offcut_of, "shrink", "medium", gauge=core.GAUGES["taper gauge"])
    read(trial, f"{wanted.rise_mm:.2f}")
    assert "says what this part starts from" in trial.press("keep").answer[1]
    assert trial.press("back").go == "setup"
    assert setup.view().start_from[0].startswith("Starts from: trial on an offcut")


def test_the_part_leads_to_it_before_its_first_pass_alone(session: Session) -> None:
    part = PartPresenter(settled(session))
    assert part.press("trial").go == "trial"
    session.log(core.pass_done("shrink", [3] * 10, "medium"))
    assert all(k.name != "trial" for k in part.view().keys)


def test_all_keys_can_be_pressed(trial: TrialPresenter) -> None:
    for name in ("plan", "gauge", "read"):
        view = trial.press(name)
        assert {k.name.partition(":")[0] for k in (*view.keys, *view.pad)} <= set(trial.touches)


class TestTakenUpLater:
    """A part that was begun before its trial."""

    @pytest.fixture
    def part(self, session: Session, trial: TrialPresenter) -> PartPresenter:
        wanted = planned(session)
        read(trial, f"{1.2 * wanted.rise_mm:.2f}")
        trial.press("keep")
        return PartPresenter(settled(session))

    def test_it_is_offered_by_name_and_taken_by_one_key(self, session: Session, part: PartPresenter) -> None:
        view = part.view()
        (offer,) = (text for text in view.warnings if "“Use the trial”" in text)
        (entry,) = responses.library(session).entries
        assert str(entry) in offer and str(entry)[1:] in view.offer  # there it begins a sentence
        part.press("start_from")
        (event,) = events_of(session, "trial_taken")
        (found,) = core.nearest([entry], session.job)
        assert core.trial_taken(found).items() <= event.items()
        assert "response" not in session.job.document
        view = PartPresenter(settled(session)).view()
        assert [fact.value for fact in view.facts if fact.label == "Response starts from"] == [str(entry)]
        assert all(k.name != "start_from" for k in view.keys) and (view.warnings, view.offer) == ((), "")

    def test_undo_takes_it_back_and_it_is_offered_again(self, session: Session, part: PartPresenter) -> None:
        part.press("start_from")
        settled(session)
        assert key(part.view(), "undo").why == "takes back trial to shrink, medium bite"
        part.press("undo")
        assert key(PartPresenter(settled(session)).view(), "start_from").enabled
        assert part.press("start_from").complaint == ""

    def test_nothing_is_offered_where_the_library_knows_no_more(
        self, session: Session, advise: Callable[..., None]
    ) -> None:
        part = PartPresenter(settled(session))
        assert all(k.name != "start_from" for k in part.view().keys)
        assert "nearer" in part.press("start_from").complaint

    def test_what_the_part_has_told_itself_is_not_offered(
        self, session: Session, part: PartPresenter, advise: Callable[..., None]
    ) -> None:
        """Its own gaps tell more of a bite than an offcut; another bite is still offered."""
        told = core.Response("shrink", "medium", 0.01, 0.001, 0.01, True)
        advise(response={("shrink", "medium"): told})
        session.log(core.pass_done("shrink", [3] * 10, "medium"))
        assert responses.nearer(settled(session)) == ()
        advise(response={("shrink", "medium"): told, ("shrink", "heavy"): told})
        session.log(core.pass_done("shrink", [3] * 10, "medium"))
        (entry,) = responses.library(session).entries
        responses.keep(session, [replace(entry, action="stretch")])
        (seen,) = responses.nearer(settled(session))
        assert seen.action == "stretch"

    def test_the_one_for_the_next_pass_comes_first(self, session: Session, part: PartPresenter) -> None:
        (entry,) = responses.library(session).entries
        better = replace(entry, action="stretch", sd=0.02)
        responses.keep(session, [better])
        assert [seen.action for seen in responses.nearer(session)] == ["shrink", "stretch"]

    def test_nothing_is_offered_for_a_part_that_is_signed_off(
        self, session: Session, part: PartPresenter
    ) -> None:
        session.log(core.signed_off("A. Worker"))
        assert responses.nearer(settled(session)) == ()


@pytest.mark.parametrize(("times", "doubted"), [(0.3, True), (0.5, False), (2.0, False), (3.2, True)])
def test_a_rise_far_from_what_was_expected_is_doubted_and_may_be_kept(
    session: Session, trial: TrialPresenter, times: float, doubted: bool
) -> None:
    wanted = core.trial_plan(session.job, "shrink", "medium", gauge=core.GAUGES["steel rule"])
    trial.press("choose:steel rule")
    view = read(trial, f"{times * wanted.rise_mm:.1f}")
    assert view.complaint == ""
    assert view.doubt.startswith("These strokes did ") == doubted and ("gauge" in view.doubt) == doubted
    assert key(view, "keep").enabled
    trial.press("keep")
    assert len(responses.library(session).entries) == 1
