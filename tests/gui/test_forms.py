"""Forms that are typed into: tables row by row, figures typed anew, what is to be minded before a plan."""

from __future__ import annotations

from typing import Any

import pytest

from tests.gui import operator
from tests.gui.screens_of import SIZES

pytestmark = pytest.mark.gui
SMALL = {"7 inch": SIZES["7 inch"], "7 inch, portrait": SIZES["7 inch"].turned}
POINTS = (("0", "0"), ("100", "14"), ("200", "20"))


def _offsets(driver: Any) -> Any:
    """The line step with three points typed by a keyboard."""
    driver.press("new")
    driver.screen.press("step:line")
    driver.screen.press("choose:form=offsets")
    driver.screen.choose("line.offsets[0][0]")
    for x, y in POINTS:
        for text in (x, y):
            driver.type(text)
            driver.key("enter")
    assert driver.screen.field == ""
    return driver.screen


@pytest.mark.parametrize("held", SMALL)
def test_a_new_row_is_opened_and_stays_in_sight(start: Any, held: str) -> None:
    """Its first cell at once, the shape drawn under it; once it is filled in, its page is the one shown."""
    driver = start(SMALL[held])
    screen = _offsets(driver)
    driver.press("row_add")
    assert screen.field == "line.offsets[3][0]"
    assert screen.outline.parent is screen.pages.__self__
    operator.touch_digits(driver, "300")
    driver.press("enter")
    operator.touch_digits(driver, "18")
    driver.press("enter")
    assert screen.field == ""
    assert screen.pages.count > 1
    assert driver.key_named("field:line.offsets[3][1]") is not None


@pytest.mark.parametrize("by", ["touch", "gauge"])
def test_a_figure_takes_the_place_of_the_one_that_is_there(start: Any, by: str) -> None:
    """From the number keys as from a gauge that types; not 148448."""
    driver = start(SMALL["7 inch"])
    screen = _offsets(driver)
    screen.choose("line.offsets[1][1]")
    if by == "touch":
        operator.touch_digits(driver, "84")
        driver.press("enter")
    else:
        driver.type("84")
        driver.key("enter")
    assert screen.value_of("line.offsets[1][1]") == "84"
    assert screen.field == "line.offsets[2][0]"
    driver.key("enter")
    assert screen.value_of("line.offsets[2][0]") == "200", "left as it is by Enter alone"


def test_rubbing_out_changes_the_figure_that_is_there(start: Any) -> None:
    """Then digits go behind what is left; a unit goes behind the figure as it is."""
    driver = start(SMALL["7 inch"])
    screen = _offsets(driver)
    screen.choose("line.offsets[1][0]")
    driver.press("erase")
    driver.type("5")
    assert screen.value_of("line.offsets[1][0]") == "105"
    screen.choose("line.offsets[1][1]")
    driver.type(" mm")
    assert screen.value_of("line.offsets[1][1]") == "14 mm"


def test_the_minus_key_turns_the_sign_before_the_digits_as_after_them(start: Any) -> None:
    """A saddle's radius is often thought of as a figure first; twice is plus again."""
    driver = start(SMALL["7 inch"])
    screen = _offsets(driver)
    screen.choose("line.offsets[1][1]")
    for keys, held in (("-25", "-25"), ("-", "25"), ("0-", "-250")):
        operator.touch_digits(driver, keys)
        assert screen.value_of("line.offsets[1][1]") == held


def test_letters_go_behind_a_text_that_is_there(start: Any) -> None:
    """A name is not written anew for a letter that it lacks."""
    driver = start(SMALL["7 inch"])
    driver.press("new")
    driver.screen.choose("name")
    driver.type("rib")
    driver.screen.choose("")
    driver.screen.choose("name")
    driver.type("7")
    assert driver.screen.value_of("name").lower() == "rib7"


@pytest.mark.parametrize("held", SMALL)
def test_what_is_to_be_minded_stands_on_the_first_page_of_the_plan(start: Any, held: str) -> None:
    """The page on which the part is begun, whatever the plan says besides."""
    from shopapp.widgets.words import Words

    driver = start(SMALL[held])
    operator.fill_in(driver)
    driver.screen.presenter.change("machine.throat", "10")
    driver.screen.open()
    driver.settle()
    screen = driver.screen
    assert screen.view.warnings and screen.pages.count > 1 and screen.pages.page == 0
    told = " ".join(words.text for words in driver.widgets(Words))
    assert all(warning in told for warning in screen.view.warnings)
