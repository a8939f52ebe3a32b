"""The pass card on the screen: what is set, and how every zone is fed, wherever the strip lacks room."""

from __future__ import annotations

from typing import Any

import pytest

from tests.gui.screens_of import HELD

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
