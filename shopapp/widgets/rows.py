"""Rows of lists: passes and checks, two lines each, their state as a shape before them."""

from __future__ import annotations

from typing import Any

from kivy.graphics import InstructionGroup
from kivy.uix.widget import Widget

from shopapp.presenters.pieces import PLAIN
from shopapp.presenters.views import PassRow
from shopapp.sizes import CLOSE_MM, GAP_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

PICTURE_MM, EDGE_MM = 7.0, 0.3


class RowBlock(Widget):
    """A picture, a bold line and a quiet one; strong : the row is the next thing to do. A line parts rows."""

    def __init__(self, picture: str, role: str, head: str, tail: str, strong: bool = False) -> None:
        super().__init__()
        self.picture, self.role, self.head, self.strong = picture, role, head, strong
        self._head = Words(text=head, bold=strong, upright="top")
        self._tail = Words(text=tail, upright="top")
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        self.add_widget(self._head)
        self.add_widget(self._tail)
        self.bind(pos=self._place, size=self._place)
        look.follow(palette=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        room = width - look.px(PICTURE_MM + GAP_MM)
        tail = self._tail.height_for(room) if self._tail.text else 0.0
        return self._head.height_for(room) + tail + look.px(GAP_MM / 2)

    def _place(self, *_: Any) -> None:
        sheet = Sheet(look.px_per_mm, measured)
        sheet.level("rule", self.x, self.right, self.y, look.px(EDGE_MM))
        x, middle = self.x + look.px(PICTURE_MM / 2), self.top - look.px(line_mm(CLOSE_MM) / 2)
        if self.picture:
            sheet.picture(self.role, self.picture, x, middle, look.px(PICTURE_MM - 2))
        paint(self._drawing, sheet)
        left, room = self.x + look.px(PICTURE_MM + GAP_MM), self.width - look.px(PICTURE_MM + GAP_MM)
        high = self._head.height_for(room)
        self._head.pos, self._head.size = (left, self.top - high), (room, high)
        tail = self._tail.height_for(room) if self._tail.text else 0.0
        self._tail.pos, self._tail.size = (left, self.top - high - tail), (room, tail)


def pass_row(row: PassRow) -> RowBlock:
    """A pass of the list: what, then what was expected and what it was; what has changed says so."""
    strokes = "1 stroke" if row.strokes == "1" else f"{row.strokes} strokes"
    number = "" if row.number is None else f"{row.number}  "
    head = f"{number}{row.action}, {row.bite} bite, {strokes}"
    parts = []
    if row.expected:
        parts.append(f"expected {row.expected}")
    if row.beside:
        parts.append(row.beside)
    if row.status == "done" and row.was:
        parts.append(f"was {row.was}" if row.was != "not read" else "gaps not read")
    tail = "\n".join(filter(None, (", ".join(parts), row.note)))
    words = {"done": "done", "next": "next", "planned": "planned"}[row.status]
    if row.status == "done":
        picture, role = ("tick", "ink") if row.state == PLAIN else (row.state, row.state)
    else:
        picture, role = ("start", "ink") if row.status == "next" else ("after", "rule")
    changed = ", changed" if row.changed else ""
    return RowBlock(picture, role, f"{head} ({words}{changed})", tail, strong=row.status == "next")
