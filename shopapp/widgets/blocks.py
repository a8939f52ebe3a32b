"""What pages are made of: sentences, facts with their state, rows that can be touched."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, InstructionGroup
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.pieces import PLAIN, Fact
from shopapp.sizes import ARM_MM, CLOSE_MM, COUNTS_MM, GAP_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

STATE_MM, PROGRESS_MM, ROOMY_MM = 4.0, 8.0, 130.0
"""Of the last: width from which a large value stands beside its label, too"""


class Sentence(Widget):
    """A text over the whole width, with the picture of its state before it where it has one."""

    def __init__(
        self,
        text: str,
        state: str = PLAIN,
        capital_mm: float = CLOSE_MM,
        role: str = "ink",
        bold: bool = False,
    ) -> None:
        super().__init__()
        self.state, self.capital_mm = state, capital_mm
        self._words = Words(text=text, sizes_mm=[capital_mm], role=role, upright="top", bold=bold)
        with self.canvas:
            Color()
        self._picture = InstructionGroup()
        self.canvas.add(self._picture)
        self.add_widget(self._words)
        self.bind(pos=self._place, size=self._place)
        look.follow(palette=self._place)

    @property
    def indent(self) -> float:
        """Pixels that the picture takes."""
        return look.px(STATE_MM + GAP_MM) if self.state != PLAIN else 0.0

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return self._words.height_for(width - self.indent)

    def _place(self, *_: Any) -> None:
        self._words.pos = (self.x + self.indent, self.y)
        self._words.size = (self.width - self.indent, self.height)
        sheet = Sheet(look.px_per_mm, measured)
        if self.state != PLAIN:
            side = look.px(STATE_MM)
            middle = self.top - look.px(line_mm(self.capital_mm)) / 2
            sheet.picture(self.state, self.state, self.x + side / 2, middle, side)
        paint(self._picture, sheet)


class FactBlock(Widget):
    """A label and its value, beside each other where they fit; the number that counts is large."""

    def __init__(self, fact: Fact) -> None:
        super().__init__()
        self.fact = fact
        self._label = Words(text=fact.label, role="quiet", upright="top")
        sizes = [COUNTS_MM, ARM_MM, CLOSE_MM] if fact.big else [CLOSE_MM]
        role = "ink" if fact.state == PLAIN else fact.state
        self._value = Words(text=fact.value, role=role, sizes_mm=sizes, bold=fact.big, upright="top")
        self._picture = InstructionGroup()
        self.canvas.add(self._picture)
        self.add_widget(self._label)
        self.add_widget(self._value)
        self.bind(pos=self._place, size=self._place)
        look.follow(palette=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        label, value = self._heights(width)
        return max(label, value) if self._beside(width) else label + value

    def _indent(self) -> float:
        return look.px(STATE_MM + 1) if self.fact.state != PLAIN else 0.0

    def _size_mm(self, width: float) -> float:
        """The largest of its sizes at which the value is one line."""
        sizes: list[float] = self._value.sizes_mm
        room = width - self._indent()
        return next((s for s in sizes if self._value.width_for_one_line(s) <= room), sizes[-1])

    def _beside(self, width: float) -> bool:
        value = self._value.width_for_one_line(self._size_mm(width)) + self._indent()
        roomy = not self.fact.big or width >= look.px(ROOMY_MM)
        return roomy and self._label.width_for_one_line() + look.px(2 * GAP_MM) + value <= width

    def _heights(self, width: float) -> tuple[float, float]:
        value = self._value.height_for(width - self._indent(), self._size_mm(width))
        return self._label.height_for(width), value

    def _place(self, *_: Any) -> None:
        area = Area(self.x, self.y, self.width, self.height)
        label, _value = self._heights(self.width)
        beside = self._beside(self.width)
        if beside:
            wide = self._value.width_for_one_line(self._size_mm(self.width)) + self._indent() + 2
            value_area = area.right(wide)
            label_area = area
        else:
            label_area = area.top(label)
            value_area = area
        sheet = Sheet(look.px_per_mm, measured)
        if self.fact.state != PLAIN:
            mark = value_area.left(look.px(STATE_MM), look.px(1))
            side = look.px(STATE_MM)
            first = look.px(line_mm(self._size_mm(self.width)))
            sheet.picture(
                self.fact.state, self.fact.state, mark.x + side / 2, mark.y + mark.height - first / 2, side
            )
        paint(self._picture, sheet)
        for words, place in ((self._label, label_area), (self._value, value_area)):
            words.pos, words.size = (place.x, place.y), (place.width, place.height)


class Progress(Widget):
    """A frame that fills from the left. share : done, 0 to 1"""

    def __init__(self, share: float) -> None:
        super().__init__()
        self._share = share
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        self.bind(pos=self._draw, size=self._draw)
        look.follow(palette=self._draw, px_per_mm=self._draw)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(PROGRESS_MM)

    def _draw(self, *_: Any) -> None:
        sheet, edge = Sheet(look.px_per_mm, measured), look.px(0.5)
        sheet.frame("ink", self.x, self.y, self.right, self.top, edge)
        full = self.width - 2 * edge
        sheet.box("go", self.x + edge, self.y + edge, self.x + edge + self._share * full, self.top - edge)
        paint(self._drawing, sheet)
