"""A trial on an offcut at the screen: what it asks for, what a rise says, what is kept of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

import core
from shopapp.presenters import responses
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.trial import TrialPresenter
from tests.presenters.conftest import key, settled
from tests.presenters.test_setup import fill


@pytest.fixture
def trial(session: Session) -> TrialPresenter:
    presenter = TrialPresenter(settled(session))
    presenter.press("choose:taper gauge")
    return presenter


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
    assert view.facts[0].value == str(wanted.strokes)
    assert f"{wanted.length_mm:.0f} mm long" in view.steps[0]
    assert f"{(wanted.length_mm - wanted.chord_mm) / 2:.0f} mm from both ends" in view.steps[1]


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
    assert f"does {100 * seen.ratio * 0.004:.2f} % of edge strain, {more} % more than" in view.answer[0]
    assert f"± {196 * seen.sd:.0f} % (95 %)" in view.answer[0]
    assert responses.library(session).entries == ()
    view = trial.press("keep")
    (entry,) = responses.library(session).entries
    assert (entry.strain, entry.sd) == pytest.approx((seen.ratio * 0.004, seen.sd))
    assert "begun without it" in view.answer[1]
    assert trial.press("keep").complaint != ""
    assert len(responses.library(session).entries) == 1
    assert trial.press("back").go == "part"


def test_a_rise_that_cannot_be_is_refused_and_stays_typed(trial: TrialPresenter) -> None:
    view = read(trial, "99")
    assert "reads to" in view.complaint
    assert (view.entry, view.answer) == ("99", ())
    assert trial.typed("\b\b").entry == ""
    assert not key(trial.view(), "enter").enabled


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
