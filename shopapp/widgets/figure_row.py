"""Rows of a table of figures: what, its value at the right, and where they are from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.sizes import GAP_MM
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

EDGE_MM = 0.3


class FigureGroup(Widget):
    """Figures : label and value each, the value at the right of its label, or below it where both do not fit
    beside each other; then the tail of all of them over the whole width. A line parts groups."""

    def __init__(self, figures: Sequence[tuple[str, str]], tail: str) -> None:
        super().__init__()
        self._rows = [
            (Words(text=label, upright="top"), Words(text=value, bold=True, align="right", upright="top"))
            for label, value in figures
        ]
        self._tail = Words(text=tail, role="quiet", upright="top")
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        for words in (*(words for row in self._rows for words in row), self._tail):
            self.add_widget(words)
        self.bind(pos=self._place, size=self._place)
        look.follow(palette=self._tint)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        rows = sum(
            max(_heights(*row, width)) if _beside(*row, width) else sum(_heights(*row, width))
            for row in self._rows
        )
        return rows + self._under(width) + look.px(GAP_MM / 2)

    def _under(self, width: float) -> float:
        return self._tail.height_for(width) if self._tail.text else 0.0

    def _place(self, *_: Any) -> None:
        rest = Area(self.x, self.y, self.width, self.height)
        for label, value in self._rows:
            heights, beside = _heights(label, value, self.width), _beside(label, value, self.width)
            first = rest.top(max(heights) if beside else heights[0])
            second = first if beside else rest.top(heights[1])
            wide = value.width_for_one_line() + 2 if beside else self.width
            label.pos, label.size = (first.x, first.y), (self.width - (wide if beside else 0.0), first.height)
            value.pos, value.size = (self.right - wide, second.y), (wide, second.height)
        tail = rest.top(self._under(self.width))
        self._tail.pos, self._tail.size = (tail.x, tail.y), (tail.width, tail.height)
        self._tint()

    def _tint(self, *_: Any) -> None:
        sheet = Sheet(look.px_per_mm, measured)
        sheet.level("rule", self.x, self.right, self.y, look.px(EDGE_MM))
        paint(self._drawing, sheet)


def _beside(label: Words, value: Words, width: float) -> bool:
    return label.width_for_one_line() + value.width_for_one_line() + look.px(GAP_MM) <= width


def _heights(label: Words, value: Words, width: float) -> tuple[float, float]:
    """Of the label, and of the value where there is one."""
    return label.height_for(width), value.height_for(width) if value.text else 0.0
