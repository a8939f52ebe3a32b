"""Cells of a table, shown elsewhere while one is typed into, are back in their row afterwards."""

from __future__ import annotations

from typing import Any

from shopapp.widgets.side_by_side import SideBySide


def test_cells_are_back_in_their_rows_after_one_was_typed(start: Any) -> None:
    driver = start()
    driver.press("new")
    driver.screen.press("step:tool")
    driver.screen.press("field:machine.rated_strength")  # the cells stand below it as rows of their own
    driver.idle()
    driver.screen.choose("")
    driver.idle()
    found = 0
    for _ in range(driver.screen.pages.count):
        rows = [block for block in driver.screen.blocks() if isinstance(block, SideBySide)]
        assert rows
        for row in rows:
            cells = [child for child in row.children if child.__class__.__name__ == "FieldRow"]
            assert len(cells) == 3
            found += 1
        driver.screen.press("further")
        driver.idle()
    assert found >= 3
