"""Cells of a table, shown elsewhere while one is typed into, are back in their row afterwards."""

from __future__ import annotations

from typing import Any

from shopapp.widgets.side_by_side import SideBySide
from shopapp.widgets.words import Words


def test_cells_are_back_in_their_rows_after_one_was_typed(start: Any) -> None:
    driver = start()
    driver.press("new")
    driver.screen.press("step:tool")
    driver.idle()
    before = cells(driver)
    assert before.count(3) >= 3 and before.count(2) >= 1  # bites; fields that share a row
    driver.screen.press("field:tool.strokes_per_minute")  # the cells stand below it as rows of their own
    driver.idle()
    driver.screen.choose("")
    driver.idle()
    assert cells(driver) == before


def cells(driver: Any) -> list[int]:
    """How many cells every row of several has, over all pages."""
    found = []
    for _ in range(driver.screen.pages.count):
        rows = [block for block in driver.screen.blocks() if isinstance(block, SideBySide)]
        assert rows
        found += [sum(child.__class__.__name__ == "FieldRow" for child in row.children) for row in rows]
        driver.screen.press("further")
        driver.idle()
    return found


def test_a_cell_that_is_typed_into_says_its_row(start: Any) -> None:
    driver = start()
    driver.press("new")
    for name in ("step:line", "choose:form=offsets", "row_add"):
        driver.screen.press(name)
    names = [field.name for field in driver.screen.all_fields() if "[" in field.name]
    row = 1 + int(names[-1].split("[")[1].rstrip("]"))
    driver.screen.choose(names[-1])
    driver.idle(2)
    said = [words.text for words in driver.widgets(Words) if words.text.startswith("Row ")]
    assert row > 2 and said == [f"Row {row} of {row}: y, mm"]
