"""Who works: named by touch, carried by what is logged by touch, kept over a restart."""

from __future__ import annotations

from typing import Any

import pytest

import core
from tests.gui import operator
from tests.gui.screens_of import HELD, SIZES

pytestmark = pytest.mark.gui
LOGGED = ("pass_done", "gap_read")


def _name(driver: Any, name: str) -> None:
    """From the bench, by touch alone."""
    driver.press("display")
    driver.press("who")
    driver.press("field:name")
    operator.touch_letters(driver, name)
    driver.press("enter")
    assert driver.app.navigation.name == "bench"


def _one_pass(driver: Any, rib: dict[str, Any]) -> list[dict[str, Any]]:
    """A pass and its gaps by touch; the entries of it."""
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    driver.settle()
    driver.press("next")
    driver.press("understood")
    driver.settle()
    planned = session.advice.next_pass
    bar = core.simulated_bar(session.job, 5)
    driver.press("done")
    bar.work(planned.action, planned.bite, [int(m) for m in planned.strokes])
    for gap in bar.gaps():
        operator.read_gap(driver, gap)
    driver.press("all")
    driver.settle()
    return [e for e in session.shop.open(session.part_id).events if e["event"] in LOGGED]


def test_what_is_logged_by_touch_carries_the_name(start: Any, rib: dict[str, Any], tmp_path: Any) -> None:
    """Named once, on the disk; after a restart the name is still the one, and chosen from is a touch."""
    with core.Shop(tmp_path) as shop:
        driver = start(SIZES["7 inch"], shop)
        assert driver.screen.header.note == "no name is set: Settings, Who works"
        _name(driver, "a worker")
        assert driver.screen.header.note == "A worker works"
        logged = _one_pass(driver, rib)
        assert {event["event"] for event in logged} == set(LOGGED)
        assert {event["who"] for event in logged} == {"A worker"}
        driver.app.navigation.go("finish")
        driver.idle()
        assert driver.screen.view.who == "A worker"
        driver.stop()
    with core.Shop(tmp_path) as shop:
        driver = start(SIZES["7 inch"], shop)
        assert driver.screen.header.note == "A worker works"
        _name(driver, "b bender")
        driver.press("display")
        driver.press("who")
        driver.press("take:A worker")
        assert driver.screen.header.note == "A worker works"
        logged = _one_pass(driver, {**rib, "name": "Shutter rib 4"})
        assert logged and {event["who"] for event in logged} == {"A worker"}


@pytest.mark.parametrize("held", HELD)
def test_settings_show_who_works_and_the_line_then_what_is_typed(start: Any, held: str) -> None:
    from shopapp.screens.display import RulerBlock
    from shopapp.widgets.words import Words

    driver = start(HELD[held])
    driver.press("display")
    assert driver.key_named("who") is not None
    texts = [words.text for words in driver.widgets(Words)]
    assert driver.screen.view.text in texts and any(driver.widgets(RulerBlock))
    operator.touch_digits(driver, "48.5")
    texts = [words.text for words in driver.widgets(Words)]
    assert "48.5_ mm" in texts and any(driver.widgets(RulerBlock))
