"""A bow logged at the screen: by touch, by keyboard, on disk before its key looks released."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from tests.gui import keyboarder, operator
from tests.gui.screens_of import HELD, SIZES, about_main_key, complaints_of

pytestmark = pytest.mark.gui


def at_next(start: Any, rib: dict[str, Any], size: str = "10 inch") -> Any:
    """The angle after its first pass and its gaps, on Next."""
    driver = start(SIZES[size])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    bar = core.simulated_bar(session.job, 5)
    driver.app.navigation.go("part")
    driver.settle()
    planned = session.advice.next_pass
    strokes = [int(m) for m in planned.strokes]
    bar.work(planned.action, planned.bite, strokes)
    session.log(core.pass_done(planned.action, strokes, planned.bite))
    session.log(core.gaps_read(bar.gaps(gauge=core.GAUGES["steel rule"]), gauge="steel rule"))
    driver.app.navigation.go("next_step")
    driver.settle()
    return driver


def bows(driver: Any) -> list[float]:
    """Bows in the store's own log, as they count."""
    session = driver.app.session
    log = core.effective(session.shop.open(session.part_id).events)
    return [event["bow_mm"] for event in log if event["event"] == "bow_read"]


def labels(driver: Any) -> list[str]:
    return [fact.label for fact in driver.screen.view.bow]


EXPECTED = ["Bow expected by now", "For the finish check, at most 1.00 mm", "Bow that the plan leaves"]


@pytest.mark.parametrize("size", ["7 inch", "10 inch"])
def test_by_touch(start: Any, rib: dict[str, Any], size: str) -> None:
    """Bow, side, number, Enter; Next holds it against what was expected; one touch takes it back."""
    driver = at_next(start, rib, size)
    assert labels(driver) == EXPECTED
    driver.press("bow")
    driver.press("side:1")
    operator.touch_digits(driver, "2.5")
    driver.press("enter")
    assert driver.app.navigation.name == "next_step"
    assert bows(driver) == [-2.5]
    driver.settle()
    assert driver.screen.header.note == "last: bow 2.50 mm away from the upright flange"
    assert labels(driver)[0].startswith("Bow read, ")
    driver.tap(driver.key_named("undo"))
    assert bows(driver) == []
    driver.settle()
    assert labels(driver) == EXPECTED


@pytest.mark.parametrize("size", ["7 inch", "10 inch"])
def test_by_keyboard(start: Any, rib: dict[str, Any], size: str) -> None:
    """Tab and Enter for the keys, digits and Enter for the size, Escape back; not one touch."""
    driver = at_next(start, rib, size)
    keyboarder.press(driver, "bow")
    driver.type("2")
    assert driver.screen.header.note == "first touch the side that the middle stands out to"
    driver.key("escape")
    assert driver.app.navigation.name == "next_step"
    keyboarder.press(driver, "bow")
    keyboarder.press(driver, "side:0")
    keyboarder.enter(driver, "1,25")
    assert driver.app.navigation.name == "next_step"
    assert bows(driver) == [1.25]
    driver.settle()
    keyboarder.press(driver, "undo")
    assert bows(driver) == []
    assert driver._touches == 0


def test_cautions_are_one_touch_away(start: Any, rib: dict[str, Any]) -> None:
    """By touch and by F1, and back to the bow; the side that was chosen stays."""
    driver = at_next(start, rib)
    driver.press("bow")
    driver.press("side:1")
    driver.tap(driver.key_named("cautions"))
    assert driver.app.navigation.name == "cautions"
    driver.key("escape")
    assert driver.app.navigation.name == "bow"
    driver.key("F1")
    assert driver.app.navigation.name == "cautions"
    driver.key("escape")
    assert driver.screen.view.side == "away from the upright flange"


@pytest.mark.parametrize("name", ["enter", "straight"])
def test_it_is_on_disk_before_its_key_looks_released(start: Any, rib: dict[str, Any], name: str) -> None:
    """At the moment the finger leaves, the key is still drawn pressed and the bow is in the record."""
    from kivy.base import EventLoop

    driver = at_next(start, rib)
    driver.press("bow")
    if name == "enter":
        driver.press("side:0")
        operator.touch_digits(driver, "3")
    key = driver.key_named(name)
    finger = driver._finger(*key.to_window(*key.center))
    EventLoop.post_dispatch_input("begin", finger)
    assert bows(driver) == []
    EventLoop.post_dispatch_input("end", finger)
    assert key.pressed
    assert bows(driver) == [3.0 if name == "enter" else 0.0]


def advised(driver: Any) -> None:
    """Counter-work of two strokes a station, which the advice has from now on."""
    session = driver.app.session
    stations = len(session.job.part.sites)
    strokes = np.full(stations, 2)
    counter = core.Counter("upright flange", "stretch", "medium", strokes, 12.5, -11.5, 6.25, 5.75)
    assert session._fitted is not None
    session._fitted = replace(session._fitted, advice=replace(session._fitted.advice, counter=counter))


@pytest.mark.parametrize("held", HELD)
def test_counter_work_has_room_on_every_screen(start: Any, rib: dict[str, Any], held: str) -> None:
    """Half of it, all of it, and the bow with what was done; nothing cut, small or on top of another."""
    driver = start(HELD[held])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    session.log(core.pass_done("shrink", [3] * len(session.job.part.sites)))
    driver.app.navigation.go("next_step")
    driver.settle()
    advised(driver)
    session.counter_shown = True
    driver.app.navigation.go("bow")
    for name in ("counter", "share", "reading"):
        assert complaints_of(driver) + about_main_key(driver) == []
        driver.press(name)
    driver.press("counter")
    driver.press("counter_done")
    driver.settle()
    assert complaints_of(driver) + about_main_key(driver) == []


def test_counter_work_by_touch(start: Any, rib: dict[str, Any]) -> None:
    """Bow, Counter-work, done: half of it is in the record; Next takes it back."""
    driver = at_next(start, rib)
    advised(driver)
    driver.press("bow")
    driver.press("counter")
    assert driver.screen.strip.strip.strokes == (1,) * len(driver.app.session.job.part.sites)
    driver.press("counter_done")
    session = driver.app.session
    (done,) = [e for e in session.shop.open(session.part_id).events if e["event"] == "counter_done"]
    assert (done["action"], sum(done["strokes"])) == ("stretch", len(done["strokes"]))
    assert driver.app.navigation.name == "bow"
    driver.settle()
    assert driver.screen.strip.parent is None, "the section is back"
    driver.key("escape")
    driver.settle()
    driver.tap(driver.key_named("undo"))
    assert session.live[-1]["event"] == "gaps_read"


@pytest.mark.parametrize("held", HELD)
@pytest.mark.parametrize(
    "section",
    [
        {"shape": "channel", "flange": "30 mm", "web": "40 mm", "thickness": "1.5 mm", "worked": "one"},
        {"shape": "Z", "flange": "30 mm", "web": "40 mm", "thickness": "1.5 mm"},
    ],
)
def test_channel_and_z_have_room_for_their_words(
    start: Any, rib: dict[str, Any], held: str, section: dict[str, Any]
) -> None:
    """The sides of a section with another flange than an angle's, with counter-work to be answered for."""
    driver = start(HELD[held])
    session = driver.app.session
    session.open(session.shop.new_part({**rib, "section": section}))
    session.counter_shown = True
    driver.app.navigation.go("bow")
    driver.settle()
    for name in ("countered", "side:0"):
        assert complaints_of(driver) + about_main_key(driver) == []
        driver.press(name)
    assert complaints_of(driver) + about_main_key(driver) == []
