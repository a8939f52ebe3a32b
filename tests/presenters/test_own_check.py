"""A check put together by touch comes as a line on the list, and is what the job then asks for."""

from __future__ import annotations

import pytest

import core
from shopapp.presenters import belongings
from shopapp.presenters.own_check import OwnCheckPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.presenters.conftest import RIB, key


@pytest.fixture
def session(session: Session) -> Session:
    session.like = dict(RIB)
    return session


@pytest.fixture
def setup(session: Session) -> SetupPresenter:
    setup = SetupPresenter(session)
    setup.press("step:checks")
    return setup


def lines(setup):
    return [cells[0].value for cells in setup.view().table.rows if cells[0].value]


def made(session, setup, *keys, **texts):
    """The check of the job that comes of these keys and texts, the last of its list."""
    assert setup.press("own_check").go == "own_check"
    check = OwnCheckPresenter(session)
    for name in keys:
        check.press(name)
    for name, text in texts.items():
        check.change(name, text)
    view = check.press("add")
    assert view.go == "setup", key(view, "add").why
    return setup_job(setup).checks[-1]


def setup_job(setup):
    from shopapp.presenters import setup_checks

    setup.view()
    return core.job(setup_checks.document(setup._draft))


def test_a_known_check_takes_limits_gauge_and_sampling(session, setup):
    keys = ("choose:what=thickness", "choose:gauge=dial", "choose:sampling=first and last")
    found = made(session, setup, *keys, at_least="1,3")
    assert lines(setup) == ["thickness, at least 1,3 mm, dial, first and last"]
    assert (found.name, found.low, found.high, found.gauge) == ("thickness", 1.3, None, "dial")
    assert found.sampling == "first and last"
    again = made(session, setup, "choose:what=twist", "choose:sampling=1 in 5", "choose:photo=yes")
    assert lines(setup)[1:] == ["twist, at most 1°, 1 in 5, photo"]
    assert (again.high, again.unit, again.sampling, again.photo) == (1.0, "°", 5, True)


def test_another_check_is_named_and_read_with_an_own_gauge(session, setup):
    gauge = {"name": "own protractor", "uncertainty": "0.2 deg"}
    belongings.keep(session, "gauges", gauge)
    keys = ("choose:what=", "choose:quantity=angle", "choose:gauge=own protractor")
    found = made(session, setup, *keys, name="joggle", at_least="44", at_most="46")
    assert (found.name, found.low, found.high, found.sd) == (
        "joggle",
        pytest.approx(44),
        pytest.approx(46),
        0.2,
    )
    look = made(session, setup, "choose:what=", "choose:quantity=look", name="edge")
    assert look.answers and look.gauge == "eye" and not look.unit


def test_what_stands_against_it_is_said(session, setup):
    check = OwnCheckPresenter(session)
    view = check.press("choose:what=")
    assert key(view, "add").why == "its name is wanted" and not key(view, "add").enabled
    assert key(check.change("name", "joggle, left"), "add").why == "a name without a comma is wanted"
    assert key(check.change("name", "joggle"), "add").why == "what it is read with is wanted"
    check.press("choose:gauge=caliper")
    assert key(check.change("at_most", "wide"), "add").why.startswith("wide: a length")
    assert check.press("add").go == "" and session.check_made == ""


def test_the_usual_limits_of_a_check_stand_there_to_be_changed(session):
    fields = {f.name: f for f in OwnCheckPresenter(session).press("choose:what=section angle").fields}
    assert (fields["at_least"].value, fields["at_most"].value, fields["at_least"].unit) == ("89", "91", "°")
    marks = [f.name for f in OwnCheckPresenter(session).press("choose:what=surface marks").fields]
    assert marks == ["what", "gauge", "sampling"]
