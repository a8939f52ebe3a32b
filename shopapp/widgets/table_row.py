"""A row of a table: cells at the same places in every row, each as short as its column asks for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from shopapp.sizes import ARM_MM, CLOSE_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

EDGE_MM, FREE_MM = 0.3, 1.0
ROOMY_MM = 130.0
"""Width from which the cells are for reading at arm's length"""
FIRST_SHARE = 0.3
"""Of the width, for the first column; the others share the rest"""


class TableRow(Widget):
    """cells : (text, shorter text), the first at the left, the others at the right of their columns; role :
    of all of them; capital_mm : height of their letters, None for what goes with the width; first_share :
    of the width, for the first column. A line parts rows. heading : that over it, where a page begins
    with it."""

    heading: TableRow | None = None

    def __init__(
        self,
        cells: Sequence[tuple[str, str]],
        bold: bool = False,
        role: str = "ink",
        capital_mm: float | None = None,
        first_share: float = FIRST_SHARE,
    ) -> None:
        super().__init__()
        self._wanted_mm, self._first_share = capital_mm, first_share
        self._cells = tuple(cells)
        self._words = [
            Words(bold=bold, role=role, align="right" if i else "left") for i in range(len(self._cells))
        ]
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        for words in self._words:
            self.add_widget(words)
        self.bind(pos=self._place, size=self._place)
        look.follow(palette=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return row_height(width, self._wanted_mm)

    def _place(self, *_: Any) -> None:
        first, capital_mm = self._first_share * self.width, self._wanted_mm or _capital_mm(self.width)
        each = (self.width - first) / max(len(self._cells) - 1, 1)
        for i, (words, (text, short)) in enumerate(zip(self._words, self._cells, strict=True)):
            wide = (each if i else first) - look.px(FREE_MM)
            words.sizes_mm = [capital_mm, CLOSE_MM]
            words.text = text
            if words.width_for_one_line(self._wanted_mm or CLOSE_MM) > wide:
                words.text = short
            left = self.x if i == 0 else self.x + first + (i - 1) * each + look.px(FREE_MM)
            words.pos, words.size = (left, self.y), (wide, self.height)
        sheet = Sheet(look.px_per_mm, measured)
        sheet.level("rule", self.x, self.right, self.y, look.px(EDGE_MM))
        paint(self._drawing, sheet)


def row_height(width: float, capital_mm: float | None = None) -> float:
    """Height in pixels, alike for all rows with letters of a height."""
    return look.px(line_mm(capital_mm or _capital_mm(width)) + FREE_MM)


def _capital_mm(width: float) -> float:
    return ARM_MM if width >= look.px(ROOMY_MM) else CLOSE_MM
