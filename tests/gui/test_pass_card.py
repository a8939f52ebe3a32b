"""The pass card on the screen: what is set, and how every zone is fed, wherever the strip lacks room."""

from __future__ import annotations

from typing import Any

import pytest

from tests.gui.screens_of import HELD
from tests.made_up import flange

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("held", [name for name in HELD if not name.startswith("13")])
def test_setting_on_the_first_page_and_every_zone_on_the_card(
    start: Any, rib: dict[str, Any], held: str
) -> None:
    """On a narrow strip a zone of one station has no room for its numbers: a table of all zones has."""
    from shopapp.widgets.table_row import TableRow
    from shopapp.widgets.words import Words

    driver = start(HELD[held])
    session = driver.app.session
    rib["tool"]["settings"] = {"light": "1.5 mm", "medium": "2.5 mm", "heavy": "4 mm"}
    session.open(session.shop.new_part(rib))
    driver.app.navigation.go("part")
    driver.settle()
    driver.press("next")
    driver.press("understood")
    view = driver.screen.view
    assert any(words.text == view.setting for words in driver.widgets(Words))
    assert view.setting.startswith("ram ") and view.setting.endswith("gripping face, 120/min")
    told: set[tuple[str, ...]] = set()
    for _ in range(driver.screen.pages.count):
        told |= {tuple(text for text, _ in row._cells) for row in driver.widgets(TableRow)}
        if driver.screen.pages.count > 1:
            driver.press("further")
    for zone in view.strip.brackets:
        where = str(zone.first + 1) if zone.first == zone.last else f"{zone.first + 1} to {zone.last + 1}"
        assert zone.mm_per_s and zone.s
        assert (where, str(zone.strokes), zone.mm_per_s, zone.s) in told


def test_a_sector_that_is_asked_about_leaves_the_strip_in_sight(start: Any) -> None:
    """With the most lines over it: what is done takes two, and what is told of the sector two more."""
    driver = start(HELD["7 inch, portrait"])
    session = driver.app.session
    outline = {"segments": [["300 mm", "200 mm"], ["200 mm", None], ["250 mm", "-250 mm"]]}
    session.open(session.shop.new_part(flange(outline=outline, name="Bowl rim, both ways")))
    driver.app.navigation.go("part")
    driver.settle()
    driver.press("next")
    driver.press("understood")
    strip, pages = driver.screen.strip, driver.screen.pages
    for sector in (0, 6):
        driver.screen.tap(sector)
        driver.idle(2)
        assert driver.screen.view.edit_text and pages.page == 0
        assert strip.get_parent_window() is not None and strip.opacity


@pytest.mark.parametrize("held", [name for name in HELD if not name.startswith("13")])
def test_where_it_strikes_is_drawn_without_crowding_the_strip(start: Any, held: str) -> None:
    """Under the strip, which keeps twice its height, where there is room beside the text, else on a page of
    the card; at the gaps only where as much is left for the strip."""
    from shopapp.widgets.drawings import StripBlock
    from shopapp.widgets.plan_block import PlanBlock

    driver = start(HELD[held])
    session = driver.app.session
    session.open(session.shop.new_part(flange()))
    driver.app.navigation.go("part")
    driver.settle()
    driver.press("next")
    driver.press("understood")
    pages = driver.screen.pages.count
    seen = []
    for _ in range(pages):
        strips = [*driver.widgets(StripBlock), None]
        seen += [(figure, strips[0]) for figure in driver.widgets(PlanBlock) if figure.height > 1]
        if pages > 1:
            driver.press("further")
    assert seen
    figure, strip = seen[0]
    if "10 inch, landscape" in held:
        assert strip is not None and strip.height >= 2.0 * figure.height
    assert figure.width > 0 and figure.y >= 0 and figure.right <= driver.size_px[0] + 1
    driver.press("done")
    (strip,) = driver.widgets(StripBlock)
    figures = [figure for figure in driver.widgets(PlanBlock) if figure.height > 1]
    assert all(strip.height >= figure.height for figure in figures)
    assert bool(figures) or "10 inch, landscape" not in held
