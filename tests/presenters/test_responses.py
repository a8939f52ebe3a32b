"""What the shop knows, offered to a new job and said; what a signed-off part adds to it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

import core
from shopapp.presenters import responses
from shopapp.presenters.finish import FinishPresenter
from shopapp.presenters.part import PartPresenter
from shopapp.presenters.session import Session
from shopapp.presenters.setup import SetupPresenter
from tests.made_up import rib
from tests.presenters.conftest import Clock, key, settled
from tests.presenters.test_setup import fill

SEEN = core.Seen("shrink", "heavy", 6, 0.8, 0.06, "as measured")
KNOWN = core.known_from_seen(SEEN, core.job(rib()), date(2026, 11, 25))


@pytest.fixture
def empty(folder: core.MemoryFolder, clock: Clock, advise: Callable[..., None]) -> Iterator[Session]:
    with core.Shop(folder, now=clock) as shop:
        yield Session(shop, now=clock, who="A. Worker")


def at_plan(session: Session, **other: str) -> tuple[SetupPresenter, Any]:
    setup = SetupPresenter(session)
    fill(setup, **other)
    return setup, setup.press("step:plan")


def test_with_nothing_known_nothing_is_said(empty: Session) -> None:
    setup, view = at_plan(empty)
    assert view.start_from == ()
    assert [k.name for k in view.keys] == ["start", "trial", "back", "clear"]
    setup.press("start")
    assert "response" not in empty.job.document
    assert all(f.label != "Response starts from" for f in PartPresenter(empty).view().facts)


def test_what_is_known_is_used_and_said(empty: Session) -> None:
    """On the plan, in the job's own document, and on the part."""
    responses.keep(empty, [KNOWN])
    setup, view = at_plan(empty, section__thickness="2")
    (said,) = view.start_from
    source = f"{KNOWN}; this job's is 2 mm"
    begin = f"Starts from: {source}. A first pass with this bite is then known to ± "
    assert said.startswith(begin)
    with_it, without = (int(w) for w in said.removeprefix(begin).replace("%", "").split() if w.isdigit())
    assert with_it < 0.6 * without
    assert settled(empty).trial_plan.job.response.seen[0].source == source
    setup.press("start")
    (seen,) = empty.job.response.seen
    assert (seen.action, seen.bite, seen.source) == ("shrink", "heavy", source)
    assert core.job(empty.shop.open(empty.part_id).job_document).response.seen == (seen,)
    facts = PartPresenter(empty).view().facts
    assert [f.value for f in facts if f.label == "Response starts from"] == [source]


def test_one_key_leaves_it_aside_and_takes_it_up_again(empty: Session) -> None:
    responses.keep(empty, [KNOWN])
    setup, view = at_plan(empty)
    assert key(view, "known").text == "First guess only"
    view = setup.press("known")
    assert key(view, "known").text == "Use what is known"
    assert view.start_from[0].startswith("Starts from the first guess alone, known to ± ")
    assert f"Left aside: {KNOWN}" in view.start_from[0]
    assert not empty._trial.response.seen
    assert setup.press("known").start_from[0].startswith("Starts from: trial on an offcut")
    setup.press("known")
    setup.press("start")
    assert empty.job.response.seen == ()
    fill(setup)
    assert setup.press("step:plan").start_from[0].startswith("Starts from: trial"), "on again for the next"


def test_the_action_that_the_part_asks_for_is_said_first(empty: Session) -> None:
    responses.keep(empty, [replace(KNOWN, action="stretch", sd=0.05), KNOWN])
    _, view = at_plan(empty)
    assert ["shrink" in text for text in view.start_from] == [True, False]
    assert view.start_from[1].startswith("And from: trial on an offcut")
    _, view = at_plan(empty, line__radius="-1500")
    assert ["shrink" in text for text in view.start_from] == [False, True]


def test_another_metal_is_not_offered(empty: Session) -> None:
    responses.keep(empty, [replace(KNOWN, metal="aluminium 1050A-O")])
    _, view = at_plan(empty)
    assert view.start_from == ()


def test_what_an_earlier_part_started_from_is_handed_on_until_the_shop_knows_better(empty: Session) -> None:
    empty.like = core.starting_from(rib(), [replace(SEEN, source="a strip of last year")])
    setup = SetupPresenter(empty)
    assert setup.press("step:plan").start_from[0].startswith("Starts from: a strip of last year.")
    responses.keep(empty, [KNOWN])
    assert str(KNOWN) in setup.view().start_from[0]
    setup.press("start")
    assert [seen.source for seen in empty.job.response.seen] == [str(KNOWN)]


def test_damaged_entries_are_named_and_the_shop_goes_on(empty: Session) -> None:
    empty.shop.settings.set(responses.STORED, [{"schema": 9}, KNOWN.document])
    _, view = at_plan(empty)
    assert view.start_from[0].startswith("Starts from: trial")
    assert view.start_from[1].startswith("Left out of what the shop knows: responses[0].schema")
    responses.keep(empty, [replace(KNOWN, bite="light", strength=0.4)])
    assert empty.shop.settings.get(responses.STORED)[0] == {"schema": 9}


def test_a_part_not_right_yet_starts_from_nothing(empty: Session) -> None:
    responses.keep(empty, [KNOWN])
    _, view = at_plan(empty, tolerance="wide")
    assert view.start_from == ()
    assert not key(view, "trial").enabled


# From a finished part.


def sign_off(session: Session, advise: Callable[..., None]) -> Any:
    advise(verdict="within", next_pass=None, remaining=(), learned=(SEEN,))
    session.log(core.pass_done("shrink", [3] * 10, "heavy"))
    session.log(core.gaps_read([0.1] * 10))
    finish = FinishPresenter(settled(session))
    for row in finish.view().rows:
        if row.editable:
            finish.press(f"row:{row.name}")
            pad = [k.name for k in finish.view().pad]
            finish.press("not_needed" if "not_needed" in pad else pad[0])
    while finish.view().needs:
        finish.change("concession", "as agreed")
        if "not read" in finish.view().needs:
            finish.typed("0\n")
    return finish.press("sign")


def test_a_signed_off_part_adds_what_it_taught(session: Session, advise: Callable[..., None]) -> None:
    view = sign_off(session, advise)
    assert view.closed
    (entry,) = responses.library(session).entries
    assert (entry.source, entry.part) == ("finished part Shutter rib 3", session.part_id)
    assert (entry.day, entry.sd) == (date(2026, 3, 14), SEEN.sd)
    assert entry.strain == pytest.approx(0.8 * 0.004 * 1.8)
    responses.keep_learned(session)
    assert len(responses.library(session).entries) == 1


def test_a_full_disk_does_not_undo_the_sign_off(
    session: Session, advise: Callable[..., None], monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(name: str, value: Any) -> None:
        raise core.StoreError("settings.json", "no space")

    monkeypatch.setattr(session.shop.settings, "set", full)
    view = sign_off(session, advise)
    assert view.closed
    assert view.complaint.startswith("Signed off. What it taught of its metal could not be kept")
