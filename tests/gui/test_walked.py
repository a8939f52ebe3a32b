"""What a shaper touches amid a job: the back key closes what is open first; lists and drawings are whole."""

from __future__ import annotations

from typing import Any

import pytest

import core
from tests.gui import operator
from tests.gui.screens_of import SIZES
from tests.made_up import bowl, flange

pytestmark = pytest.mark.gui
UNDERSTOOD = {**core.note("Cautions read and understood"), "cautions": "understood"}


def opened(driver: Any, document: dict[str, Any], screen: str) -> Any:
    """A part with its cautions read, on one of its screens."""
    session = driver.app.session
    session.open(session.shop.new_part(document))
    session.log(UNDERSTOOD)
    driver.app.navigation.go(screen)
    driver.settle(120)
    return driver


def back(driver: Any) -> None:
    """Touch the arrow of the header."""
    driver.tap(driver.screen.header.back)


def test_from_a_field_to_its_form_with_what_was_typed(start: Any) -> None:
    driver = start(SIZES["10 inch"])
    driver.press("new")
    driver.press("step:line")
    driver.press("field:line.radius")
    operator.touch_digits(driver, "900")
    back(driver)
    assert (driver.app.navigation.name, driver.screen.field) == ("setup", "")
    assert driver.screen.value_of("line.radius") == "900"
    back(driver)
    assert driver.app.navigation.name == "bench"


def test_from_counts_that_are_changed_to_the_card(start: Any, rib: dict[str, Any]) -> None:
    driver = opened(start(SIZES["10 inch"]), rib, "pass_card")
    driver.press("differently")
    assert driver.screen.view.editing
    back(driver)
    assert driver.app.navigation.name == "pass_card" and not driver.screen.view.editing
    assert driver.key_named("done") is not None
    back(driver)
    assert driver.app.navigation.name == "part"


def test_from_a_choice_to_the_gaps(start: Any, rib: dict[str, Any]) -> None:
    driver = opened(start(SIZES["10 inch"]), rib, "gaps")
    driver.press("gauge")
    back(driver)
    assert driver.app.navigation.name == "gaps" and not driver.screen.view.choosing


def test_the_same_step_done_twice_is_two_rows(start: Any) -> None:
    """Each has a widget of its own: one that two rows share leaves a hole in the list."""
    driver = opened(start(SIZES["10 inch"]), bowl(), "part")
    session = driver.app.session
    session.log(core.pass_done("shrink", [1] * len(session.job.part.sites)))
    for _ in range(2):
        session.log(core.rounded("shrink", 2, 20.0, 1, "light"))
    driver.settle(120)
    driver.screen.refresh()
    equal = [row for row in driver.screen.view.rows if row.action == "Shrink against 2 lobes"]
    assert len(equal) == 2 and equal[0] == equal[1]
    blocks = list(driver.screen.blocks())
    assert len({id(block) for block in blocks}) == len(blocks)


MIXED = {"segments": [["120 mm", None], ["160 mm", "150 mm"], ["150 mm", "-150 mm"], ["100 mm", None]]}
"""straight, convex, concave, straight: what is done there takes two lines to say"""


@pytest.mark.parametrize("document", [bowl(), flange(outline=MIXED, pitch="60 mm")], ids=["dish", "flange"])
def test_the_strip_is_on_the_first_page_of_a_small_tablet_held_upright(
    start: Any, document: dict[str, Any]
) -> None:
    driver = opened(start(SIZES["7 inch"].turned), document, "pass_card")
    assert driver.screen.pages.page == 0
    assert driver.screen.strip.parent is not None


@pytest.mark.parametrize("document", [bowl(), flange(), None], ids=["dish", "flange", "bar"])
def test_a_part_shows_its_section_or_its_disc_beside_its_outline(
    start: Any, rib: dict[str, Any], document: dict[str, Any] | None
) -> None:
    from shopapp.widgets.picture import PictureBlock

    driver = opened(start(SIZES["10 inch"]), document or rib, "part")
    (drawn,) = driver.widgets(PictureBlock)
    assert drawn.sheet.corners and drawn.sheet.letters
    assert driver.screen.outline.y >= drawn.top - 1  # below it, not over it
