"""A part that does not fit tool or machine: no screen, no line and no card shows a pass as one to run, until
the operator has gone on knowingly.

The rib's tool grips the edge 15 mm deep and the throat is 10 mm: by hand, 5 mm too little.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

import core
from shopapp.next_text import next_lines
from shopapp.presenters.cautions import CautionsPresenter
from shopapp.presenters.misfit import MisfitPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.presenters.conftest import RIB, Clock, events_of, key, settled

BY = "5.00 mm too little"
SHALLOW = {**RIB, "machine": {"name": "bench machine", "throat": "10 mm"}}


@pytest.fixture
def unfit(clock: Clock) -> Iterator[Session]:
    """The rib on a machine whose throat is too shallow, with what the core says of it."""
    with core.Shop(core.MemoryFolder(), now=clock) as shop:
        one = Session(shop, now=clock, who="A. Worker")
        one.open(shop.new_part(SHALLOW))
        yield settled(one)


def test_the_next_step_is_what_does_not_fit(unfit: Session) -> None:
    for screen in (PartPresenter(unfit), NextPresenter(unfit)):
        main = key(screen.view(), "next")
        assert (main.text, main.main, main.enabled) == ("Does not fit", True, True)
        assert screen.press("next").go == "misfit"


def test_its_amount_comes_first_and_once_on_every_screen(unfit: Session) -> None:
    part, result = PartPresenter(unfit).view(), NextPresenter(unfit).view()
    assert BY in part.warnings[0] and not any(BY in said for said in part.reasons)
    assert BY in result.reasons[0] and sum(BY in said for said in result.reasons) == 1
    assert any("no pass can be run as it stands" in said for said in result.reasons[:2])


def test_passes_are_shown_as_what_would_be_planned(unfit: Session) -> None:
    rows = PartPresenter(unfit).view().rows
    assert rows and all((row.status, "once it fits" in row.note) == ("planned", True) for row in rows)
    assert NextPresenter(unfit).view().next_pass.startswith("Once it fits: Pass 1: shrink")


def test_the_card_shows_no_pass_and_logs_none(unfit: Session) -> None:
    card = PassCardPresenter(unfit)
    view = card.view()
    assert (view.strip, [k.name for k in view.keys]) == (None, ["misfit"])
    assert card.press("done").complaint
    assert events_of(unfit, "pass_done") == []
    assert card.press("misfit").go == "misfit"


def test_the_screen_says_by_how_much_and_what_would_fit(unfit: Session) -> None:
    view = MisfitPresenter(unfit).view()
    heading, said = view.cautions[0]
    assert heading == "What does not fit" and BY in said and "a deeper throat is wanted" in said
    assert view.needed and [k.name for k in view.keys] == ["anew", "understood", "close"]
    assert MisfitPresenter(unfit).press("close").go == "part"


def test_set_up_anew_begins_from_this_part_and_leaves_it(unfit: Session) -> None:
    assert MisfitPresenter(unfit).press("anew").go == "setup"
    view = SetupPresenter(unfit).press("step:plan")
    assert view.go == "" and len(unfit.shop.parts()) == 1
    SetupPresenter(unfit).change("machine.throat", "200")


def test_gone_on_knowingly_it_is_worked_and_the_log_says_so(unfit: Session) -> None:
    assert MisfitPresenter(unfit).press("understood").go == "cautions"
    settled(unfit)
    (noted,) = events_of(unfit, "note")
    assert BY in noted["text"] and unfit.advice.misfits == ()
    assert BY in PartPresenter(unfit).view().warnings[0]
    assert CautionsPresenter(unfit).press("understood").go == "pass_card"
    settled(unfit)
    assert PartPresenter(unfit).view().rows[0].status == "next"
    assert key(PassCardPresenter(unfit).view(), "done").enabled
    assert PassCardPresenter(unfit).press("done").go == "gaps"
    assert MisfitPresenter(settled(unfit)).view().keys[0].name == "close"


def test_the_command_line_says_so_too() -> None:
    job = core.job(SHALLOW)
    lines = next_lines(job, core.refit(job, []))
    assert sum(BY in line for line in lines) == 1 and BY in lines[1]
    (first,) = [line for line in lines if "next pass: shrink" in line]
    assert first.strip().startswith("not to be run as it stands; once it fits, the next pass: shrink")
    known = core.refit(job, [core.run_all_the_same(job.warnings)])
    assert any(line.strip().startswith("next pass: shrink") for line in next_lines(job, known))
