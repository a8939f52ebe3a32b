"""From an empty shop to a signed part through the presenters alone, against a simulated bar that answers."""

from __future__ import annotations

import pytest

import core
from shopapp.presenters.cautions import CautionsPresenter
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.presenters.conftest import Clock, settled

MOST_PASSES = 8


def read_all(gaps: GapsPresenter, bar: core.SimulatedBar) -> int:
    """Type what the gauge shows at every station; confirm what is questioned. Returns how many were."""
    questions = 0
    for reading in bar.gaps():
        view = gaps.press(reading) if isinstance(reading, str) else gaps.typed(f"{reading}\n")
        assert view.complaint == ""
        if view.question:
            questions += 1
            gaps.press("right")
    return questions


@pytest.mark.slow
def test_a_rib_from_set_up_to_sign_off(clock: Clock) -> None:
    with core.Shop(core.MemoryFolder(), now=clock) as shop:
        session = Session(shop, now=clock, who="A. Worker")
        setup = SetupPresenter(session)
        for name, text in {
            "name": "Shutter rib 3",
            "line.radius": "1500",
            "line.length": "600",
            "section.worked": "40",
            "section.other": "40",
            "section.thickness": "1.5",
        }.items():
            setup.change(name, text)
        setup.press("step:plan")
        settled(session)
        assert setup.view().preview[0].label == "Plan"
        assert setup.press("start").go == "part"
        assert PartPresenter(settled(session)).press("next").go == "cautions"
        assert CautionsPresenter(session).press("understood").go == "pass_card"
        bar = core.simulated_bar(session.job, seed=7)
        card, gaps, result = PassCardPresenter(session), GapsPresenter(session), NextPresenter(session)
        questions = 0
        for _ in range(MOST_PASSES):
            planned = settled(session).advice.next_pass
            assert card.press("done").go == "gaps"
            bar.work(planned.action, planned.bite, planned.strokes)
            settled(session)
            questions += read_all(gaps, bar)
            assert gaps.press("all").go == "next_step"
            settled(session)
            if result.press("next").go == "finish":
                break
        assert session.advice.verdict == "within"
        assert bar.widest_gap_mm() <= session.job.tolerance_mm + 0.1
        readings = sum(e["event"] == "gap_read" for e in session.events)
        assert questions <= 0.1 * readings
        finish = FinishPresenter(session)
        finish.typed("90.2\n0.3\n0.2\n")
        finish.press("value:none")
        finish.press("not_needed")
        assert finish.press("sign").signed[0].startswith("Signed off by A. Worker")
        rows = PartPresenter(settled(session)).view().rows
        assert all(row.was != "not read" and row.expected for row in rows)
        (part,) = shop.parts()
        assert part.summary["finished"] is True
