"""From an empty shop: a trial, the part that starts from it, what that part taught, and the part after it.

Everything goes through the presenters and the shop's own store, which is closed and opened again in between;
a simulated bar answers.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest

import core
from shopapp.presenters import responses
from shopapp.presenters.cautions import CautionsPresenter
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.gaps import GapsPresenter
from shopapp.presenters.next_step import NextPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.pass_card import PassCardPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from shopapp.presenters.trial import TrialPresenter
from tests.presenters.conftest import Clock, settled
from tests.presenters.test_setup import fill
from tests.presenters.test_whole_job import MOST_PASSES, read_all

MACHINE = {"machine__name": "bench machine", "machine__throat": "150"}
SHORT = {**MACHINE, "line__length": "600"}


@pytest.fixture
def folder() -> core.MemoryFolder:
    return core.MemoryFolder()


@pytest.fixture
def opened(folder: core.MemoryFolder, clock: Clock) -> Iterator[Session]:
    with core.Shop(folder, now=clock) as shop:
        yield Session(shop, now=clock, who="A. Worker")


def at_plan(session: Session, metal: str = "aluminium 5754-O", **typed: str) -> SetupPresenter:
    setup = SetupPresenter(session)
    setup.press(f"choose:material={metal}")
    fill(setup, **typed)
    setup.press("step:plan")
    settled(session)
    return setup


def tried(session: Session, setup: SetupPresenter, times: float) -> core.Trial:
    """A trial of the pass that is planned first, whose strokes raise so much of what is expected; kept."""
    assert setup.press("trial").go == "trial"
    presenter = TrialPresenter(session)
    presenter.press("choose:taper gauge")
    planned = session.trial_plan.advice.next_pass
    gauge = core.GAUGES["taper gauge"]
    strip = core.trial_plan(session.offcut_of, planned.action, planned.bite, gauge=gauge)
    presenter.press("read")
    assert presenter.typed(f"{times * strip.rise_mm:.1f}\n").complaint == ""
    assert presenter.press("keep").complaint == ""
    assert presenter.press("back").go == "setup"
    return strip


def worked(session: Session) -> None:
    """Every pass that is planned, read and signed off once it is within."""
    assert PartPresenter(settled(session)).press("next").go == "cautions"
    CautionsPresenter(session).press("understood")
    bar = core.simulated_bar(session.job, seed=7)
    card, gaps, result = PassCardPresenter(session), GapsPresenter(session), NextPresenter(session)
    for _ in range(MOST_PASSES):
        planned = settled(session).advice.next_pass
        card.press("done")
        bar.work(planned.action, planned.bite, planned.strokes)
        settled(session)
        read_all(gaps, bar)
        gaps.press("all")
        settled(session)
        if result.press("next").go == "finish":
            break
    finish = FinishPresenter(session)
    finish.typed("90.2\n0.3\n0.2\n")
    finish.press("value:none")
    finish.press("not_needed")
    assert finish.press("sign").closed


def test_a_trial_is_stored_with_its_date_and_machine_and_the_next_jobs_start_from_it(
    opened: Session, folder: core.MemoryFolder, clock: Clock
) -> None:
    setup = at_plan(opened, **SHORT)
    assert setup.view().start_from == () and responses.library(opened).entries == ()
    first_guess = opened.trial_plan.job
    strip = tried(opened, setup, 0.8)
    opened.shop.close()
    with core.Shop(folder, now=clock) as shop:
        again = Session(shop, now=clock, who="B. Worker")
        (entry,) = responses.library(again).entries
        assert (entry.metal, entry.thickness_mm) == ("aluminium 5754-O", 1.5)
        assert (entry.day, entry.machine, entry.part) == (date(2026, 3, 14), "bench machine", "")
        assert (entry.action, entry.bite, entry.strokes) == (strip.action, strip.bite, strip.strokes)
        setup = at_plan(again, **SHORT)
        named = f"{strip.action}, {strip.bite} bite, on bench machine, 14 March 2026"
        assert named in setup.view().start_from[0]
        (seen,) = again.trial_plan.job.response.seen
        wide, narrow = (core.known_to(job, seen)[1] for job in (first_guess, again.trial_plan.job))
        assert wide > 0.3 and narrow < 0.6 * wide
        setup.press("start")
        facts = PartPresenter(settled(again)).view().facts
        assert [named in f.value for f in facts if f.label == "Response starts from"] == [True]


def test_other_metal_thickness_tool_and_bite_are_said_or_not_used(opened: Session) -> None:
    strip = tried(opened, at_plan(opened, **SHORT), 0.8)
    alike = at_plan(opened, **SHORT).view().start_from[0]
    thick = at_plan(opened, **SHORT, section__thickness="2").view().start_from[0]
    assert "this job's is 2 mm" in thick and "this job's" not in alike
    patch = at_plan(opened, **SHORT, section__thickness="1.5", tool__patch_length="24").view().start_from[0]
    assert "this job's patch is 24 x 15 mm, not 20 x 15 mm" in patch
    other = at_plan(opened, **SHORT, tool__patch_length="20", metal="copper Cu-DHP soft")
    assert other.view().start_from == () and opened.trial_plan.job.response.seen == ()
    back = at_plan(opened, **SHORT)
    assert [(s.action, s.bite) for s in opened.trial_plan.job.response.seen] == [(strip.action, strip.bite)]
    assert back.view().start_from[0] == alike


@pytest.mark.slow
def test_a_finished_part_teaches_the_next_one(opened: Session, clock: Clock) -> None:
    at_plan(opened, **SHORT).press("start")
    assert settled(opened).job.response.seen == ()
    worked(opened)
    told = opened.advice.learned
    entries = responses.library(opened).entries
    assert told and {(e.action, e.bite) for e in entries} == {(s.action, s.bite) for s in told}
    assert {(e.source, e.machine, e.part) for e in entries} == {
        ("finished part Shutter rib 3", "bench machine", opened.part_id)
    }
    assert {e.day for e in entries} == {clock().date()}
    said = at_plan(opened, **SHORT, name="Shutter rib 4").view().start_from[0]
    assert said.startswith("Starts from: finished part Shutter rib 3 of aluminium 5754-O, 1.5 mm")
    assert "on bench machine" in said
