"""The whole app, from an empty shop to a signed-off part: by touch, and by keyboard."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

import core
from tests.gui import keyboarder, operator
from tests.gui.screens_of import HELD, SIZES

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("size", ["7 inch", "10 inch"])
def test_from_an_empty_shop_to_sign_off_by_touch(start: Any, size: str) -> None:
    """Set-up, cautions, passes, gaps, finish check: only touches, every one of them on disk."""
    driver = start(SIZES[size])
    assert driver.screen.view.empty
    operator.set_up(driver)
    assert driver.app.navigation.name == "part"
    seen: list[str] = []
    passes = operator.make_part(driver, seed=3, after=seen.append)
    assert 1 <= passes <= operator.MOST_PASSES
    assert {"part", "cautions", "gaps", "next_step", "finish"} <= set(seen)
    operator.sign_off(driver)
    shop = driver.app.session.shop
    log = core.effective(shop.open(driver.app.session.part_id).events)
    assert log[-1]["event"] == "signed_off"
    assert sum(e["event"] == "pass_done" for e in log) == passes
    assert sum(e["event"] == "gaps_read" for e in log) >= passes


@pytest.mark.parametrize("size", ["7 inch", "10 inch"])
def test_from_an_empty_shop_to_sign_off_by_keyboard(start: Any, size: str) -> None:
    """The same with Tab, Enter, letters and digits alone; not one touch."""
    driver = start(SIZES[size])
    keyboarder.set_up(driver)
    assert driver.app.navigation.name == "part", driver.screen.view
    assert driver.app.session.job.name == "Rib 7"
    passes = keyboarder.make_part(driver, seed=3)
    assert 1 <= passes <= keyboarder.MOST_PASSES
    keyboarder.sign_off(driver)
    assert driver.screen.view.signed[0].startswith("Signed off by operator")
    shop = driver.app.session.shop
    log = core.effective(shop.open(driver.app.session.part_id).events)
    assert log[-1]["event"] == "signed_off"
    assert sum(e["event"] == "pass_done" for e in log) == passes
    assert driver._touches == 0


def test_a_gauge_that_types_fills_the_stations(start: Any, rib: dict[str, Any]) -> None:
    """Digits and Enter, keypad codes included: every station takes its number, none is lost."""
    driver = _at_gaps(start, rib)
    for i in range(12):
        for digit in f"0.{30 + i}":
            code = 266 if digit == "." else 256 + int(digit)
            driver.key(code=code)
        driver.key("keypad enter")
        driver.settle()
    read = [e["gap_mm"] for e in driver.app.session.events if e["event"] == "gap_read"]
    assert read[:12] == [round(0.30 + 0.01 * i, 2) for i in range(12)]


def test_undo_is_one_touch_and_stays_in_the_history(start: Any, rib: dict[str, Any]) -> None:
    """The last reading is withdrawn by an event of its own."""
    driver = _at_gaps(start, rib)
    driver.press("leaf:0.35")
    count = len(driver.app.session.events)
    driver.tap(driver.key_named("undo"))
    events = driver.app.session.events
    assert len(events) == count + 1
    assert events[-1] == {**events[-1], "event": "withdrawn", "of": events[-2]["id"]}


def test_a_reading_is_on_disk_before_its_key_looks_released(start: Any, rib: dict[str, Any]) -> None:
    """At the moment the finger leaves, the key is still drawn pressed and the reading is in the record."""
    from kivy.base import EventLoop

    driver = _at_gaps(start, rib)
    key = _a_leaf(driver)
    finger = driver._finger(*key.to_window(*key.center))
    EventLoop.post_dispatch_input("begin", finger)
    assert key.pressed
    EventLoop.post_dispatch_input("end", finger)
    record = driver.app.session.shop.open(driver.app.session.part_id).events
    assert record[-1]["event"] == "gap_read"
    assert key.pressed


def test_turning_and_pausing_keep_what_was_typed(start: Any, rib: dict[str, Any]) -> None:
    """Rotation lays out anew, pause and resume redraw: the half-typed number is still there."""
    from kivy.core.window import Window

    driver = _at_gaps(start, rib)
    driver.type("0.4")
    driver.resize(SIZES["10 inch"].turned.size_px)
    assert driver.screen.view.entry == "0.4"
    Window._event_filter("app_willenterbackground")
    Window._event_filter("app_didenterforeground")
    driver.idle(2)
    assert driver.screen.entry.text.startswith("0.4")
    driver.key("enter")
    assert driver.app.session.events[-1]["gap_mm"] == 0.4


def test_turning_keeps_the_form(start: Any) -> None:
    """A field of the set-up that is being typed into stays the one, with its text."""
    driver = start(SIZES["7 inch"])
    driver.press("new")
    driver.press("field:name")
    operator.touch_letters(driver, "rib")
    driver.resize(SIZES["7 inch"].turned.size_px)
    assert driver.screen.field == "name"
    assert driver.screen.value_of("name") == "Rib"


def test_other_clicks_and_second_fingers_do_nothing(start: Any, rib: dict[str, Any]) -> None:
    """A right click is no touch; a second finger on a pressed key is no second touch."""
    from kivy.base import EventLoop

    driver = _at_gaps(start, rib)
    key = _a_leaf(driver)
    count = len(driver.app.session.events)
    place = key.to_window(*key.center)
    click = driver._finger(*place)
    click.button = "right"
    EventLoop.post_dispatch_input("begin", click)
    EventLoop.post_dispatch_input("end", click)
    assert len(driver.app.session.events) == count
    one, two = driver._finger(*place), driver._finger(*place)
    for kind, finger in (("begin", one), ("begin", two), ("end", one), ("end", two)):
        EventLoop.post_dispatch_input(kind, finger)
    assert len(driver.app.session.events) == count + 1


def test_slipping_off_a_key_takes_the_touch_back(start: Any, rib: dict[str, Any]) -> None:
    """A finger that leaves the key before it is lifted has not touched it."""
    from kivy.base import EventLoop

    driver = _at_gaps(start, rib)
    key = _a_leaf(driver)
    count = len(driver.app.session.events)
    x, y = key.to_window(*key.center)
    finger = driver._finger(x, y)
    EventLoop.post_dispatch_input("begin", finger)
    finger.move({"x": 0.01, "y": 0.99})
    EventLoop.post_dispatch_input("end", finger)
    assert len(driver.app.session.events) == count


def test_cautions_are_one_touch_away_on_every_screen(start: Any, rib: dict[str, Any]) -> None:
    """Touch, and F1; closing leads back to where one was."""
    driver = _at_gaps(start, rib)
    driver.app.session.metal_in_hand = "mild steel DC04"
    for name in (
        *("bench", "part", "pass_card", "gaps", "next_step", "bow"),
        *("finish", "setup", "metal", "own_metal", "own_gauge", "own_tool", "trial", "display"),
    ):
        driver.app.navigation.go(name)
        driver.settle()
        driver.tap(driver.key_named("cautions"))
        assert driver.app.navigation.name == "cautions", name
        driver.key("escape")
        assert driver.app.navigation.name == name
        driver.key("F1")
        assert driver.app.navigation.name == "cautions"
        driver.press(driver.screen.view.keys[0].name)
        assert driver.app.navigation.name == name


@pytest.mark.parametrize("held", HELD)
def test_cautions_are_acknowledged_on_the_last_page(start: Any, rib: dict[str, Any], held: str) -> None:
    """The key is off, and says why, until every caution was on the screen; read halfway does not count."""
    driver = start(HELD[held])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("cautions")
    driver.idle(2)
    pages = driver.screen.pages
    assert pages.count > 1 or held.startswith("13")
    while pages.page + 1 < pages.count:  # the note in the header may cost a page more
        driver.tap(driver.key_named("understood"))
        assert driver.app.navigation.name == "cautions"
        assert driver.screen.header.note == "turn to the last page first"
        assert not session.standing.cautions_read
        driver.tap(driver.key_named("further"))
    driver.tap(driver.key_named("understood"))
    assert driver.app.navigation.name == "pass_card"
    assert session.standing.cautions_read


def test_cautions_left_halfway_begin_anew(start: Any, rib: dict[str, Any]) -> None:
    """What was shown before the screen was left is to be shown again."""
    driver = start(SIZES["7 inch"])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    for _ in range(2):
        driver.app.navigation.go("cautions")
        driver.idle(2)
        for _ in range(driver.screen.pages.count - 1):
            assert not driver.key_named("understood").enabled
            driver.tap(driver.key_named("further"))
        assert driver.key_named("understood").enabled
        driver.press("close")


def test_the_pacer_runs_along_the_strip(start: Any, rib: dict[str, Any]) -> None:
    """Started it moves, stopped it is gone; its place is what the presenter says for that time."""
    from kivy.clock import Clock

    driver = _at_pass(start, rib)
    driver.press("pacer")
    strip, screen = driver.screen.strip, driver.screen
    screen._started -= 3.5
    driver.idle(2)
    screen._tick()
    expected = screen.presenter.pacer(Clock.get_time() - screen._started).position_mm
    assert strip.marker_mm == pytest.approx(expected, abs=1.0)
    screen._started -= 1.0
    screen._tick()
    assert strip.marker_mm != pytest.approx(expected, abs=1e-6)
    driver.press("stop")
    assert strip.marker_mm < 0
    assert screen._ticking is None


def _at_pass(start: Any, rib: dict[str, Any]) -> Any:
    """A part with its cautions read, its first pass shown."""
    driver = start(SIZES["10 inch"])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    driver.settle()
    driver.press("next")
    driver.press("understood")
    return driver


def _at_gaps(start: Any, rib: dict[str, Any]) -> Any:
    """A part whose first pass is done, its gaps asked for."""
    driver = _at_pass(start, rib)
    driver.press("done")
    return driver


def _a_leaf(driver: Any) -> Any:
    """A leaf key that is on the page shown."""
    return next(k for k in driver.widgets(type(driver.key_named("undo"))) if k.name.startswith("leaf:"))


def test_in_a_demo_the_bar_answers(start: Any, rib: dict[str, Any]) -> None:
    """One touch logs a whole round of the simulated bar, the same one at the same log."""
    from shopapp import answering

    driver = start(SIZES["10 inch"], answer=answering.gaps_of)
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    for name in ("next", "understood", "done"):
        driver.press(name)
    expected = answering.gaps_of(session)
    driver.press("answer")
    assert session.events[-1]["event"] == "gaps_read"
    assert session.events[-1]["gaps_mm"] == expected["gaps_mm"]
    assert len(expected["gaps_mm"]) == 12
    driver.press("all")
    driver.settle()
    assert driver.screen.view.verdict


def test_a_demo_is_filled_before_it_is_shown(start: Any, rib: dict[str, Any]) -> None:
    """Meanwhile it says how far it is, and no key of the keyboard leads away; then the parts are there."""
    import threading

    gates = [threading.Event(), threading.Event()]
    shop = core.Shop(core.MemoryFolder())

    def fill(tell: Callable[[int, int], None]) -> None:
        for ready, gate in enumerate(gates):
            tell(ready, len(gates))
            assert gate.wait(20)
            shop.new_part(rib)

    driver = start(SIZES["10 inch"], shop=shop, first=("Being filled", fill))
    assert driver.app.navigation.name == "waiting"
    driver.key("F1")
    driver.key("enter")
    assert driver.app.navigation.name == "waiting"
    for ready, gate in enumerate(gates):
        _until(driver, lambda ready=ready: f"{ready} of 2 parts are ready" in _texts(driver))
        gate.set()
    _until(driver, lambda: driver.app.navigation.name == "bench")
    assert len(driver.screen.view.cards) == 2


def _until(driver: Any, true: Callable[[], bool]) -> None:
    """Let frames pass until something is true. Fails when it never is."""
    for _ in range(2000):
        driver.idle()
        if true():
            return
        time.sleep(0.005)
    raise AssertionError("it never came")


def _texts(driver: Any) -> list[str]:
    """Every text on the screen."""
    from shopapp.widgets.words import Words

    return [words.text for words in driver.widgets(Words)]


@pytest.mark.parametrize("held", HELD)
def test_the_next_pass_is_on_the_first_page_of_the_part(start: Any, rib: dict[str, Any], held: str) -> None:
    """Three passes done do not push it off, on any screen; those done follow, the last one first."""
    from shopapp.widgets.rows import RowBlock

    driver = start(HELD[held])
    session = driver.app.session
    session.open(session.shop.new_part({**rib, "line": {"radius": "900 mm", "length": "480 mm"}}))
    bar = core.simulated_bar(session.job, 4)
    for _ in range(3):
        driver.settle()
        bar.work("shrink", "light", [2] * 12)
        session.log(core.pass_done("shrink", [2] * 12, "light"))
        rule = core.GAUGES["steel rule"]
        session.log(core.gaps_read(bar.gaps(gauge=rule, reseat=False), gauge="steel rule"))
    driver.app.navigation.go("part")
    driver.settle()
    view = driver.screen.view
    note = "was: stretch, medium, 258 strokes"
    driver.screen.take(replace(view, rows=tuple(replace(r, changed=True, note=note) for r in view.rows)))
    driver.idle(2)
    assert driver.screen.pages.page == 0
    heads = [row.head for row in driver.widgets(RowBlock)]
    assert any("(next, changed" in head for head in heads), heads
    done = [block.head for block in driver.screen.blocks() if isinstance(block, RowBlock)]
    assert [head.partition(" ")[0] for head in done if "(done" in head] == ["3", "2", "1"]


def test_few_parts_fill_the_bench(start: Any, rib: dict[str, Any]) -> None:
    """Four cards of a wide screen stand two by two, and the keys below reach its right edge."""
    from shopapp.widgets.card import CardKey

    driver = start(SIZES["13 inch"])
    session = driver.app.session
    for i in range(4):
        session.open(session.shop.new_part({**rib, "name": f"Rib {i}"}))
        driver.settle()
    driver.app.navigation.go("bench")
    driver.settle()
    cards = list(driver.widgets(CardKey))
    assert len({round(card.x) for card in cards}) == len({round(card.y) for card in cards}) == 2
    lowest, highest = min(card.y for card in cards), max(card.top for card in cards)
    assert highest - lowest > 0.4 * driver.size_px[1]
    keys = [k for k in driver.widgets(type(driver.key_named("new"))) if k.y < 2 and k.width > 0]
    assert max(key.right for key in keys) == pytest.approx(driver.size_px[0], abs=1.5)
