"""A made-up operator with a keyboard and a gauge that types: no touch at all."""

from __future__ import annotations

from typing import Any

import core
from tests.gui.screens_of import main_key

MOST_PASSES, MOST_TABS, MOST_PAGES = 8, 80, 12


def press(driver: Any, name: str) -> None:
    """Tab to the key of this name and press it by Enter; pages of keys and of text are turned the same way.

    Raises LookupError when the keyboard does not reach it.
    """
    for leading in ("more", "further"):
        for _ in range(MOST_PAGES):
            if tab_to(driver, name):
                driver.key("enter")
                return
            if not tab_to(driver, leading):
                break
            driver.key("enter")
    raise LookupError(f"the keyboard does not reach {name!r} on screen {driver.app.navigation.name!r}")


def tab_to(driver: Any, name: str) -> bool:
    """Move the focus by Tab until the key of this name shows it; False when it comes round without."""
    first = None
    for _ in range(MOST_TABS):
        driver.key("tab")
        found = focused(driver)
        if found == name:
            return True
        if found == first:
            return False
        first = first or found
    return False


def focused(driver: Any) -> str:
    """Name of the one key that shows the focus, "" for none."""
    from shopapp.widgets.key import Key

    names = [key.name for key in driver.widgets(Key) if key.focused and key.width > 0]
    assert len(names) <= 1, names
    return names[0] if names else ""


def enter(driver: Any, text: str) -> None:
    """Type a text and Enter."""
    driver.type(text)
    driver.key("enter")


def set_up(driver: Any) -> None:
    """From an empty bench to a part that is open; the section is chosen from its list on the way."""
    driver.key("enter")  # the main key: new part
    enter(driver, "Rib 7")
    driver.key("enter")
    for number in ("3000", "480"):
        driver.type(number)
        driver.key("keypad enter")
    driver.key("enter")
    press(driver, "field:shape")
    press(driver, "choose:shape=angle")
    for number in ("40", "40", "1,5"):
        enter(driver, number)
    for _ in range(5):
        driver.key("enter")
        driver.settle()
    driver.key("enter")
    driver.settle()


def read_cautions(driver: Any) -> None:
    """Every page of the cautions, then the key that acknowledges them."""
    for _ in range(MOST_PAGES):
        if main_key(driver).enabled:
            break
        assert tab_to(driver, "further")
        driver.key("enter")
    driver.key("enter") if tab_to(driver, "understood") else None


def make_part(driver: Any, seed: int) -> int:
    """Cautions, passes and gaps on a simulated bar up to the finish check; the number of passes."""
    session = driver.app.session
    bar = core.simulated_bar(session.job, seed)
    for passes in range(MOST_PASSES):
        driver.settle()
        driver.key("enter")  # the main key: next pass
        if driver.app.navigation.name == "finish":
            return passes
        if driver.app.navigation.name == "cautions":
            read_cautions(driver)
        driver.settle()
        planned = session.advice.next_pass
        strokes = [int(m) for m in planned.strokes]
        driver.key("enter")  # done as shown
        bar.work(planned.action, planned.bite, strokes)
        for gap in bar.gaps():
            read_gap(driver, gap)
        driver.settle()
        driver.key("enter")  # see result
    raise AssertionError(f"not finished after {MOST_PASSES} passes")


def read_gap(driver: Any, gap: Any) -> None:
    """Digits and Enter; words by their keys; a doubted reading is confirmed."""
    if isinstance(gap, str):
        press(driver, gap)
    else:
        enter(driver, f"{gap:g}")
    if driver.screen.view.question:
        press(driver, "right")


def sign_off(driver: Any) -> None:
    """Every check of the finish check, the name, the signature."""
    for value in ("90.0", "0.2", "0.3"):
        enter(driver, value)
    press(driver, "value:none")
    press(driver, "not_needed")
    enter(driver, "operator")
    driver.key("enter")
