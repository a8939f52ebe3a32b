"""What a view has to say stands on one of its screen's pages: no line is lost where pages are turned."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest

import core
from shopapp.demo_jobs import demo_jobs
from tests.gui.screens_of import SIZES

pytestmark = pytest.mark.gui
SEED = 12
SMALL = {"7 inch": SIZES["7 inch"], "7 inch, portrait": SIZES["7 inch"].turned}
JOBS = ("canopy-frame", "tank-end")
"""Made-up ones with much to say: a bar that bows and whose faces stay in sight; a flange all round a disc"""


def _facts(facts: Any) -> list[str]:
    return [text for fact in facts for text in (fact.label, fact.value)]


def _of_next(view: Any) -> list[str]:
    reseat = [] if view.reseat is None else [view.reseat.text]
    said = [view.verdict, view.next_pass, view.expected, view.beside, view.tool_set, view.last, *reseat]
    return [*_facts((*view.facts, *view.bow, *view.stayed)), *said, *view.response, *view.reasons]


def _of_part(view: Any) -> list[str]:
    rows = [(row.action, row.bite, row.strokes, row.expected, row.beside, row.note) for row in view.rows]
    was = [row.was for row in view.rows if row.status == "done" and row.was != "not read"]
    said = [*view.reasons, *view.warnings, view.offer, view.said]
    return [*_facts(view.facts), *(text for row in rows for text in row), *was, *said]


def _of_pass_card(view: Any) -> list[str]:
    fed = [b for b in (view.strip.brackets if view.strip else ()) if b.feed]
    zones = [text for b in fed for text in (str(b.last + 1), str(b.strokes), b.mm_per_s, b.s)]
    return [view.action, view.bite, view.setting, view.pacer_text, *_facts(view.facts), *zones]


def _of_finish(view: Any) -> list[str]:
    rows = [(r.label, r.limit, r.gauge, r.value, r.unit, r.verdict, r.complaint) for r in view.rows]
    said = [*view.signed, *view.warnings, view.who, view.concession, view.needs]
    return [*(text for row in rows for text in row), *said]


def _of_plan(view: Any) -> list[str]:
    said = [view.side_text, view.line_text, *view.warnings, *view.complaints, *view.start_from]
    return [*_facts(view.preview), *said]


LINES: dict[str, Callable[[Any], list[str]]] = {
    "next_step": _of_next,
    "part": _of_part,
    "pass_card": _of_pass_card,
    "finish": _of_finish,
    "setup": _of_plan,
}


def _texts(driver: Any) -> list[str]:
    """What can be read on the screen as it is, line breaks left out."""
    from shopapp.widgets.words import Words

    words = [w for w in driver.widgets(Words) if w.text and w.width > 0 and w.opacity]
    return [" ".join(w.text.split()) for w in words if w.set_lines()[2]]


def _all_pages(driver: Any) -> tuple[list[str], set[int]]:
    """Texts of all pages of blocks and of keys; drawings that are on one of them."""
    texts: list[str] = []
    drawn: set[int] = set()
    for _ in range(max(1, driver.screen.pages.count)):
        driver.idle()
        texts += _texts(driver)
        drawn |= {id(drawing) for drawing in driver.screen.drawings() if drawing.parent is not None}
        driver.screen.press("further")
    for _ in range(len(driver.screen.keys._cells) - 1):
        driver.tap(driver.key_named("more"))
        texts += _texts(driver)
    return texts, drawn


def _lost(driver: Any) -> Iterator[str]:
    """Lines of the view that are on no page, drawings likewise."""
    wanted = LINES[driver.app.navigation.name](driver.screen.view)
    drawings = {id(drawing): type(drawing).__name__ for drawing in driver.screen.drawings()}
    texts, drawn = _all_pages(driver)
    for line in filter(None, wanted):
        if not any(" ".join(line.split()) in text for text in texts):
            yield line
    yield from (name for key, name in drawings.items() if key not in drawn)


def _worked(session: Any, job: dict[str, Any]) -> None:
    """A part with one pass run and read, its next pass known."""
    session.open(session.shop.new_part(job))
    session.log({**core.note("Cautions read and understood"), "cautions": "understood"})
    made = core.simulated_part(session.job, SEED)
    while session.waiting:
        session.finish(session.begin().run())
    planned = session.advice.next_pass
    strokes = [int(m) for m in planned.strokes]
    made.work(planned.action, planned.bite, strokes)
    session.log(core.pass_done(planned.action, strokes, planned.bite))
    session.log(core.gaps_read(*made.gaps_by_any_gauge()))


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("held", SMALL)
def test_no_line_of_a_view_is_lost_between_the_pages(start: Any, held: str, name: str) -> None:
    driver = start(SMALL[held])
    session, go = driver.app.session, driver.app.navigation.go
    session.like = demo_jobs()[name]
    lost: dict[str, list[str]] = {}
    go("setup")
    driver.screen.press("step:plan")
    driver.settle()
    assert driver.screen.view.preview and driver.screen.pages.count > 1
    lost["plan"] = list(_lost(driver))
    _worked(session, demo_jobs()[name])
    for screen in ("next_step", "part", "pass_card", "finish"):
        go(screen)
        driver.settle()
        assert driver.app.navigation.name == screen
        assert len(LINES[screen](driver.screen.view)) > 8
        lost[screen] = list(_lost(driver))
    assert not any(lost.values()), lost


@pytest.mark.parametrize("name", JOBS)
def test_the_gap_to_expect_is_on_the_first_page_held_upright(start: Any, name: str) -> None:
    """With the pass that it is expected of, on the smallest screen."""
    driver = start(SMALL["7 inch, portrait"])
    _worked(driver.app.session, demo_jobs()[name])
    driver.app.navigation.go("next_step")
    driver.settle()
    view, texts = driver.screen.view, _texts(driver)
    assert driver.screen.pages.page == 0 and driver.screen.pages.count > 1
    assert {view.next_pass, view.expected} <= set(texts)


@pytest.mark.parametrize("held", SMALL)
def test_one_key_turns_to_everything_on_part(start: Any, held: str) -> None:
    """To what there is to read and to the keys that the foot has no room for; none turns keys alone."""
    from shopapp.widgets.key import Key

    driver = start(SMALL[held])
    _worked(driver.app.session, demo_jobs()["canopy-frame"])
    driver.app.navigation.go("part")
    driver.settle()
    screen, found = driver.screen, set()
    for _ in range(screen.pages.count):
        found |= {key.name for key in driver.widgets(Key) if key.opacity and key.width > 0}
        driver.press("further")
    assert screen.pages.page == 0
    assert "more" not in found
    assert {key.name for key in screen.view.keys} <= found
    driver.press("finish")
    assert driver.app.navigation.name == "finish"


@pytest.mark.parametrize("size", SMALL)
def test_where_a_record_was_written_is_seen_at_once(start: Any, rib: dict[str, Any], size: str) -> None:
    """Its key stands on a later page; what is said of it on the first."""
    driver = start(SMALL[size], keep_record=lambda *_: "records/rib")
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    driver.settle()
    driver.press("record")
    driver.settle()
    driver.idle(3)
    assert driver.screen.view.said and driver.screen.pages.page == 0
    assert driver.screen.view.said in _texts(driver)
