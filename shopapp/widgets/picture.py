"""A picture of the set-up as a block of a page: the drawing, and under it what it says in numbers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.pieces import PLAIN, Profile
from shopapp.presenters.views import (
    ChartDrawing,
    CurveDrawing,
    LineDrawing,
    MachineDrawing,
    Picture,
    StrengthDrawing,
    ToolDrawing,
)
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.chart_drawing import draw_chart
from shopapp.widgets.glyphs import measured
from shopapp.widgets.line_drawing import draw_lines
from shopapp.widgets.look import look
from shopapp.widgets.machine_drawing import draw_machine
from shopapp.widgets.metal_drawing import draw_curve, draw_strengths
from shopapp.widgets.painting import paint
from shopapp.widgets.profile import draw_profile
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.tool_drawing import draw_tool

LEAST_MM, TOO_SMALL_MM, MARGIN_MM = 25.0, 18.0, 1.0
DRAW: dict[type, Callable[[Sheet, Any, Area], None]] = {
    Profile: draw_profile,
    ChartDrawing: draw_chart,
    LineDrawing: draw_lines,
    ToolDrawing: draw_tool,
    MachineDrawing: draw_machine,
    CurveDrawing: draw_curve,
    StrengthDrawing: draw_strengths,
}


class PictureBlock(Widget):
    """The drawing takes all the height that its sentences leave. least_mm : its height at least; bare : of
    the sentences only those that tell of something wrong"""

    grows = True

    def __init__(self, picture: Picture, *, least_mm: float = LEAST_MM, bare: bool = False) -> None:
        super().__init__()
        self._least_mm = least_mm
        self.picture = picture
        self.sheet = Sheet(look.px_per_mm, measured)
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        self._said = [Sentence(text, state) for text, state in picture.said if state != PLAIN or not bare]
        for sentence in self._said:
            self.add_widget(sentence)
        for name in ("pos", "size"):
            self.fbind(name, self._place)
        look.follow(palette=self._place, px_per_mm=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(self._least_mm) + sum(sentence.height_for(width) for sentence in self._said)

    def drawn_in(self) -> Area:
        """Where the drawing itself goes."""
        room = Area(self.x, self.y, self.width, self.height)
        room.bottom(sum(sentence.height_for(self.width) for sentence in self._said), look.px(MARGIN_MM))
        return room

    def _place(self, *_: Any) -> None:
        room = self.drawn_in()
        y = self.y + sum(sentence.height_for(self.width) for sentence in self._said)
        for sentence in self._said:
            high = sentence.height_for(self.width)
            y -= high
            sentence.pos, sentence.size = (self.x, y), (self.width, high)
        self.sheet = Sheet(look.px_per_mm, measured)
        if min(room.width, room.height) > look.px(TOO_SMALL_MM):
            DRAW[type(self.picture.drawing)](self.sheet, self.picture.drawing, room)
        paint(self._drawing, self.sheet)
