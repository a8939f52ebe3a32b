"""What is said of the contrast of texts: that a weak one and a hidden one are found, in a drawing as well."""

from __future__ import annotations

from typing import Any

import pytest

import core
from tests.gui.contrast import weak_texts
from tests.gui.screens_of import HELD

pytestmark = pytest.mark.gui
SCREENS = ("bench", "part", "cautions", "pass_card", "gaps", "next_step", "finish", "bow", "setup", "display")


@pytest.mark.parametrize("held", ["7 inch, landscape", "10 inch, portrait"])
def test_texts_stand_out_on_every_screen(start: Any, rib: dict[str, Any], held: str) -> None:
    """By 7:1 from what is painted behind them, in both palettes; after a pass whose gaps are read."""
    driver = start(HELD[held])
    session = driver.app.session
    session.open(session.shop.new_part(rib))
    bar, planned = core.simulated_bar(session.job, 5), core.refit(session.job, []).next_pass
    bar.work(planned.action, planned.bite, [int(m) for m in planned.strokes])
    session.log(core.pass_done(planned.action, [int(m) for m in planned.strokes], planned.bite))
    session.log(core.gaps_read(bar.gaps()))
    weak = {}
    for name in SCREENS:
        driver.app.navigation.go(name)
        driver.settle()
        assert driver.app.navigation.name == name
        weak[name] = weak_texts(driver)
    assert {name: texts for name, texts in weak.items() if texts} == {}


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
