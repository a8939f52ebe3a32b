"""The focus of a keyboard: seen where it is, and nothing at all drawn where it is not."""

from __future__ import annotations

from typing import Any

import pytest

import core
from tests.gui import keyboarder
from tests.gui.screens_of import SIZES, main_key

pytestmark = pytest.mark.gui


def test_a_key_without_the_focus_draws_no_frame(start: Any) -> None:
    """Software fills what cannot be seen too: an unseen frame on every key was most of a picture's cost."""
    driver = start()
    driver.idle(2)
    key = driver.key_named("new")
    assert key._focus.vertices == []
    driver.key("tab")
    focused = [k for k in driver.widgets(type(key)) if k.focused]
    assert len(focused) == 1
    assert len(focused[0]._focus.vertices) == 8 * 4
    assert sum(bool(k._focus.vertices) for k in driver.widgets(type(key))) == 1


def test_the_focus_goes_over_every_key_once(start: Any, rib: dict[str, Any]) -> None:
    """Also over two keys of one name, such as the header's way back and the form's; back again with Shift."""
    driver = start()
    driver.press("new")
    kind = type(driver.key_named("forward"))
    keys = [k for k in driver.widgets(kind) if k.width > 0 and k.opacity]
    names = [k.name for k in keys]
    assert names.count("back") == 2
    seen = []
    for _ in keys:
        driver.key("tab")
        seen += [k for k in driver.widgets(kind) if k.focused]
    assert len(seen) == len(keys)
    assert {id(k) for k in seen} == {id(k) for k in keys}
    driver.key("tab", modifiers=("shift",))
    assert [k for k in driver.widgets(kind) if k.focused] == [seen[-2]]


def test_a_repeated_key_keeps_the_focus_and_typing_drops_it(start: Any, rib: dict[str, Any]) -> None:
    """Enter presses + again and again; a digit that is typed means that Enter no longer does."""
    driver = _changing_counts(start, rib)
    strokes = driver.screen.view.strip.strokes[0]
    assert keyboarder.tab_to(driver, "plus")
    for _ in range(3):
        driver.key("enter")
    assert driver.screen.view.strip.strokes[0] == strokes + 3
    driver.type("4")
    assert keyboarder.focused(driver) == ""
    assert driver.screen.view.strip.strokes[0] == 4


def test_counts_are_changed_by_keyboard(start: Any, rib: dict[str, Any]) -> None:
    """Arrows go to the station beside, digits are its count, Enter goes on; Enter alone logs the pass."""
    driver = _changing_counts(start, rib)
    driver.key("right")
    assert driver.screen.view.strip.current == 1
    driver.type("5")
    driver.key("enter")
    assert driver.app.navigation.name == "pass_card"
    assert driver.screen.view.strip.current == 2
    driver.key("left")
    driver.key("left")
    driver.type("2")
    driver.key("enter")
    driver.key("enter")
    assert driver.app.navigation.name == "gaps"
    logged = driver.app.session.events[-1]
    assert (logged["event"], logged["strokes"][:2]) == ("pass_done", [2, 5])


def _changing_counts(start: Any, rib: dict[str, Any]) -> Any:
    """The first pass of a part, its counts about to be changed, by keyboard."""
    driver = start()
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    driver.settle()
    driver.key("enter")
    keyboarder.read_cautions(driver)
    driver.settle()
    keyboarder.press(driver, "differently")
    driver.app.navigation.screen.tap(0)
    return driver


def test_on_number_keys_too_the_result_is_the_main_key_at_last(start: Any, rib: dict[str, Any]) -> None:
    """With every station read Enter has nothing to take: the result is in its place."""
    driver = start(SIZES["7 inch"])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    session.log(core.gaps_read([0.3] * 12))
    driver.app.navigation.go("gaps")
    driver.press("pad")
    assert main_key(driver).name == "all"
    driver.key("enter")
    assert driver.app.navigation.name == "next_step"
