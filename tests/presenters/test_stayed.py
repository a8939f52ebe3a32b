"""Spring-back as a shaper reads it: what was asked of a pass, what stayed, what the next is counted for."""

from __future__ import annotations

import re
from typing import Any

import pytest

import core
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from tests.made_up import bowl, flange, rib
from tests.presenters.conftest import Clock, settled

LABEL = "Pass 1, stayed after spring-back"


def after_one_pass(folder: Any, clock: Clock, document: dict[str, Any]) -> Session:
    session = Session(core.Shop(folder, now=clock), now=clock)
    session.open(session.shop.new_part(document))
    settled(session)
    made, planned = core.simulated_part(session.job, 3), session.advice.next_pass
    strokes = [int(m) for m in planned.strokes]
    made.work(planned.action, planned.bite, strokes)
    session.log(core.pass_done(planned.action, strokes, planned.bite))
    assert not NextPresenter(settled(session)).view().stayed
    session.log(core.gaps_read(*made.gaps_by_any_gauge()))
    return settled(session)


def test_a_flange_is_told_in_angles(folder: Any, clock: Clock) -> None:
    session = after_one_pass(folder, clock, flange())
    (fact,) = NextPresenter(session).view().stayed
    assert fact.label == LABEL
    numbers = [float(n) for n in re.findall(r"[\d.]+", fact.value)]
    share, _, was, asked, came = numbers
    assert fact.value.endswith(f"of the turn: {was}° to {asked}° asked, {came}° came (average)")
    assert 100 * (came - was) / (asked - was) == pytest.approx(share, abs=1.0)
    row = PartPresenter(session).view().rows[0]
    assert row.beside == fact.value


@pytest.mark.parametrize(("document", "what"), [(rib(), "bend"), (bowl(), "change")], ids=["bar", "dish"])
def test_others_by_their_share(folder: Any, clock: Clock, document: dict[str, Any], what: str) -> None:
    (fact,) = NextPresenter(after_one_pass(folder, clock, document)).view().stayed
    assert fact.label == LABEL and re.fullmatch(rf"\d+ ± \d+ % of the {what} asked", fact.value)


def test_the_pass_card_says_what_strokes_are_counted_for(folder: Any, clock: Clock) -> None:
    session = after_one_pass(folder, clock, flange())
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    facts = {f.label: f.value for f in PassCardPresenter(settled(session)).view().facts}
    times = float(facts["Strokes counted for"].split()[0])
    assert times == pytest.approx(session.advice.allowed_for, abs=0.005)
