"""What is said of the contrast of texts: that a weak one and a hidden one are found, in a drawing as well."""

from __future__ import annotations

from typing import Any

import pytest

from tests.gui.contrast import weak_texts

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("role", ["rule", "ground", "ink"])
def test_a_weak_and_a_hidden_text_are_found_in_both_palettes(start: Any, role: str) -> None:
    """Lines are 3:1 and more, not 7:1 against the ground; the ground on itself is not to be seen."""
    from shopapp.widgets.words import Words

    driver = start()
    assert weak_texts(driver) == []
    driver.screen.add_widget(Words(text="weak", role=role, pos=(400, 400), size=(200, 40)))
    found = weak_texts(driver)
    assert len(found) == (0 if role == "ink" else 2)
    assert all("'weak'" in text for text in found)
    assert {text.partition(" in the ")[2] for text in found} <= {"bright shop", "dim shop"}


def test_a_weak_letter_of_a_drawing_is_found(start: Any) -> None:
    from kivy.graphics import InstructionGroup

    from shopapp.widgets.glyphs import measured
    from shopapp.widgets.look import look
    from shopapp.widgets.painting import paint
    from shopapp.widgets.sheet import Sheet

    driver = start()
    sheet, group = Sheet(look.px_per_mm, measured), InstructionGroup()
    sheet.box("rule", 380, 380, 480, 440)
    sheet.text("ink", "8", 400, 400, 5.0)
    driver.screen.canvas.add(group)
    paint(group, sheet)
    assert any("a letter at" in text for text in weak_texts(driver))
