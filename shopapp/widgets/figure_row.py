"""A row of a table of figures: what, its value large, and where it is from."""

from __future__ import annotations

from typing import Any

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from shopapp.sizes import ARM_MM, CLOSE_MM, GAP_MM
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

EDGE_MM = 0.3


class FigureRow(Widget):
    """The label with its value at the right, or above it where both do not fit beside each other; then the
    tail over the whole width. A line parts rows."""

    def __init__(self, label: str, value: str, tail: str) -> None:
        super().__init__()
        self._label = Words(text=label, sizes_mm=[CLOSE_MM], upright="top")
        self._value = Words(text=value, sizes_mm=[ARM_MM, CLOSE_MM], bold=True, align="right", upright="top")
        self._tail = Words(text=tail, role="quiet", upright="top")
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        for words in (self._label, self._value, self._tail):
            self.add_widget(words)
        self.bind(pos=self._place, size=self._place)
        look.follow(palette=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return sum(self._heights(width)) + look.px(GAP_MM / 2)

    def _heights(self, width: float) -> tuple[float, float, float]:
        """Of the label where it has a line of its own, of the value, of the tail."""
        value = self._value.height_for(width, ARM_MM)
        tail = self._tail.height_for(width) if self._tail.text else 0.0
        return (0.0 if self._beside(width) else self._label.height_for(width)), value, tail

    def _beside(self, width: float) -> bool:
        wide = self._label.width_for_one_line() + self._value.width_for_one_line(ARM_MM)
        return wide + look.px(2 * GAP_MM) <= width

    def _place(self, *_: Any) -> None:
        label, value, tail = self._heights(self.width)
        top, left, width = self.top - label, self.x, self.width
        if label:
            self._label.pos, self._label.size = (left, top), (width, label)
            self._value.pos, self._value.size = (left, top - value), (width, value)
        else:
            wide = self._value.width_for_one_line(ARM_MM) + 2
            self._label.pos, self._label.size = (left, top - value), (width - wide - look.px(GAP_MM), value)
            self._value.pos, self._value.size = (self.right - wide, top - value), (wide, value)
        self._label.upright = "top" if label else "middle"
        self._tail.pos, self._tail.size = (left, top - value - tail), (width, tail)
        sheet = Sheet(look.px_per_mm, measured)
        sheet.level("rule", self.x, self.right, self.y, look.px(EDGE_MM))
        paint(self._drawing, sheet)
