"""A made-up operator who touches keys: sets up a part, runs passes, reads gaps, signs off."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import core

LETTERS_OF_NAME = "rib 7"
LINE = {"line.radius": "3000", "line.length": "480"}
SECTION = {"section.worked": "40", "section.other": "40", "section.thickness": "1.5"}
MOST_PASSES = 8


def touch_letters(driver: Any, text: str) -> None:
    """Type a text by the letter keys on the screen."""
    for i, letter in enumerate(text):
        driver.press("unit: " if letter == " " else f"letter:{letter.upper() if i == 0 else letter}")


def touch_digits(driver: Any, text: str) -> None:
    """Type a number by the number keys on the screen."""
    for letter in text:
        driver.press(f"digit:{letter}")


def set_up(driver: Any) -> None:
    """From an empty bench to a part that is open."""
    fill_in(driver)
    driver.press("start")


def fill_in(driver: Any) -> None:
    """From a bench to the plan of a whole form."""
    driver.press("new")
    driver.press("field:name")
    touch_letters(driver, LETTERS_OF_NAME)
    driver.press("enter")
    driver.press("forward")
    for values in (LINE, SECTION):
        first = next(iter(values))
        driver.press(f"field:{first}")
        for value in values.values():
            touch_digits(driver, value)
            driver.press("enter")
        driver.press("forward")
    for _ in ("tool", "machine", "stations", "checks"):
        driver.press("forward")


def read_gap(driver: Any, gap: Any) -> None:
    """Enter one reading by the keys that are there for it; a doubted one is confirmed."""
    view = driver.screen.view
    leaves = {key.name for key in view.leaves}
    if isinstance(gap, str):
        driver.press(gap)
    elif f"leaf:{gap:g}" in leaves:
        driver.press(f"leaf:{gap:g}")
    else:
        driver.press("pad")
        touch_digits(driver, f"{gap:g}")
        driver.press("enter")
        if not driver.screen.view.question:
            driver.press("leaves")
    if driver.screen.view.question:
        driver.press("right")
        if driver.screen.view.mode == "pad":
            driver.press("leaves")


def make_part(driver: Any, seed: int, after: Callable[[str], None] = lambda name: None) -> int:
    """Run passes and read gaps on a simulated bar until the screen leads to the finish check.

    after : told the screen's name whenever a new one is reached. Returns the number of passes.
    """
    session = driver.app.session
    bar = core.simulated_bar(session.job, seed)
    for passes in range(MOST_PASSES):
        driver.settle()
        after(driver.app.navigation.name)
        driver.press("next")
        after(driver.app.navigation.name)
        if driver.app.navigation.name == "finish":
            return passes
        if driver.app.navigation.name == "cautions":
            driver.press("understood")
        driver.settle()
        planned = session.advice.next_pass
        strokes = [int(m) for m in planned.strokes]
        driver.press("done")
        bar.work(planned.action, planned.bite, strokes)
        after(driver.app.navigation.name)
        for gap in bar.gaps():
            read_gap(driver, gap)
        driver.press("all")
    raise AssertionError(f"not finished after {MOST_PASSES} passes")


def sign_off(driver: Any) -> None:
    """Make every check of the finish check and sign."""
    for name, value in (("section angle", "90.0"), ("twist", "0.2"), ("flatness", "0.3")):
        driver.press(f"row:{name}") if driver.screen.field != name else None
        touch_digits(driver, value)
        driver.press("enter")
    driver.press("value:none")
    driver.press("not_needed")
    driver.press("field:who")
    touch_letters(driver, "operator")
    driver.press("enter")
    driver.press("sign")
