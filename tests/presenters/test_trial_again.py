"""A trial that is read again, and one that an offcut of the demo answers."""

from __future__ import annotations

import pytest

import core
from shopapp import answering
from shopapp.presenters import responses
from shopapp.presenters.session import Session
from shopapp.presenters.trial import TrialPresenter
from tests.presenters.conftest import key, settled


@pytest.fixture
def trial(session: Session) -> TrialPresenter:
    presenter = TrialPresenter(settled(session))
    presenter.press("choose:taper gauge")
    return presenter


def kept(trial: TrialPresenter, rise: str) -> None:
    trial.press("read")
    trial.typed(f"{rise}\n")
    assert trial.press("keep").complaint == ""


def strains(session: Session) -> list[float]:
    return [entry.strain for entry in responses.library(session).entries]


def test_a_trial_read_again_takes_the_place_of_what_was_kept_of_it(
    session: Session, trial: TrialPresenter
) -> None:
    kept(trial, "4.5")
    (first,) = strains(session)
    kept(trial, "4.9")
    (again,) = strains(session)
    assert again > first
    trial.press("read")
    view = trial.press("plan")  # back to the strip: still the same one
    assert [fact.label for fact in view.facts] == ["Strokes at each spot", "Time"]
    kept(trial, "4.7")
    (last,) = strains(session)
    assert first < last < again


def test_another_trial_is_another_entry(session: Session, trial: TrialPresenter) -> None:
    kept(trial, "4.5")
    trial.press("plan")
    kept(trial, "4.9")
    assert len(strains(session)) == 2
    trial.press("bite:light")
    kept(trial, "4.5")
    assert len(strains(session)) == 3


def test_the_same_rise_again_is_kept_already(session: Session, trial: TrialPresenter) -> None:
    """Nothing is left to keep, and the key says where one can go."""
    kept(trial, "4.5")
    trial.press("read")
    view = trial.typed("4.5\n")
    assert "Kept" in view.answer[1]
    assert key(view, "back").main


def test_the_offcut_of_the_demo_answers(session: Session, trial: TrialPresenter) -> None:
    """Within three spreads of what is expected, on the taper gauge's grid; asked again the same."""
    view = trial.read_by_itself(answering.rise_of)
    assert len(view.answer) == 2 and view.complaint == ""
    planned = core.trial_plan(session.job, "shrink", "medium", gauge=core.GAUGES["taper gauge"])
    rise, gauge = answering.rise_of(planned)
    assert answering.rise_of(planned) == (rise, gauge)
    step = gauge.step_mm
    assert abs(rise / step - round(rise / step)) < 1e-6
    low, high = planned.rise_band_mm
    assert low / 1.6 < rise < high * 1.6
    assert trial.press("keep").answer[1].startswith("Kept")
