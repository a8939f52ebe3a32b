"""Settings: who works, bright or dim shop, and a line to hold a ruler against."""

from __future__ import annotations

from typing import Any

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.display import DisplayView
from shopapp.screens.base import Screen
from shopapp.screens.placing import margined
from shopapp.sizes import COUNTS_MM
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet

RULER_HIGH_MM, END_MM = 10.0, 8.0


class RulerBlock(Widget):
    """A line between two upright ends, as long as the program believes ``length_mm`` to be."""

    def __init__(self, length_mm: float) -> None:
        super().__init__()
        self.length_mm = length_mm
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        self.bind(pos=self._draw, size=self._draw)
        look.follow(palette=self._draw, px_per_mm=self._draw)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(RULER_HIGH_MM)

    def _draw(self, *_: Any) -> None:
        sheet = Sheet(look.px_per_mm, measured)
        x0, px = self.x + look.px(1), look.px_per_mm
        x1 = x0 + look.px(self.length_mm)
        sheet.level("ink", x0, x1, self.center_y, 0.5 * px)
        for x in (x0, x1):
            sheet.upright(
                "ink", x, self.center_y - END_MM * px / 2, self.center_y + END_MM * px / 2, 0.3 * px
            )
        paint(self._drawing, sheet)


class DisplayScreen(Screen):
    """Who works, the ruler's line and the keys."""

    view: DisplayView | None
    typed_text = True

    def lay(self, area: Area, shape: str) -> None:
        """Line and text beside the block of keys; what is typed goes before who works."""
        view = self.view
        assert view is not None
        content, keys = self.pad_areas(area, shape)
        entry = f"{view.entry}_ mm"
        who = self.kept(("who", view.who), self._who)
        ruler = self.kept("ruler", lambda: RulerBlock(view.ruler_mm))
        text = self.kept(view.text, lambda: Sentence(view.text))
        typed = self.kept(entry, lambda: Sentence(entry, capital_mm=COUNTS_MM, bold=True))
        blocks = [ruler, typed, text, who] if view.entry else [who, ruler, text, typed]
        self.pages.lay(blocks, margined(content), first_only=True)
        self.keys.lay(view.keys, keys, ("erase",), self.pad_main(shape, digits=True))

    def _who(self) -> FieldRow:
        assert self.view is not None
        row = FieldRow("who", "Who works", self.view.who)
        row.bind(on_touched=lambda row: self.press(row.name))
        return row
