"""A field that can be touched: its label, its value with the unit, what is wrong with it."""

from __future__ import annotations

from typing import Any

from kivy.graphics import InstructionGroup

from shopapp.areas import Area
from shopapp.presenters.pieces import PLAIN, with_unit
from shopapp.sizes import ARM_MM, CLOSE_MM, GAP_MM, KEY_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.key import Key
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

INSET_MM, MARK_MM, CURSOR = 1.5, 4.0, "_"


class FieldRow(Key):
    """label, value with unit; hint where it is empty; complaint; state : shape beside the value.

    ``editing`` : it is being typed into, and shows where the next letter goes; ``anew`` : it was just
    opened, and the next figure takes the place of what it holds.
    """

    def __init__(
        self,
        name: str,
        label: str,
        value: str,
        unit: str = "",
        hint: str = "",
        complaint: str = "",
        state: str = PLAIN,
        editing: bool = False,
        anew: bool = False,
        enabled: bool = True,
    ) -> None:
        shown = f"{value}{CURSOR}" if editing and not (anew and value) else value
        first, *rest = hint.split("; ")
        told = with_unit(shown, unit) if shown else "; ".join((with_unit(first, unit), *rest))
        self.state = state
        sizes = [ARM_MM, CLOSE_MM] if shown else [CLOSE_MM]
        self._label = Words(text=label, upright="top")
        self._value = Words(text=told, sizes_mm=sizes, bold=bool(value), upright="top")
        self._wrong = Words(text=complaint, upright="top")
        self._mark = InstructionGroup()
        self._ready = False
        super().__init__(name=name, chosen=editing, enabled=enabled)
        self.canvas.add(self._mark)
        for words in (self._label, self._value, self._wrong):
            self.add_widget(words)
        self._ready = True
        self._paint()
        self._place()

    @property
    def names(self) -> tuple[str, ...]:
        """Its own name, as of fields beside each other there are several."""
        return (self.name,)

    def height_for(self, width: float) -> float:
        """Height in pixels: at least a key."""
        room = width - look.px(2 * INSET_MM)
        wrong = self._wrong.height_for(room - self._indent()) + look.px(1) if self._wrong.text else 0.0
        beside = self._beside(room)
        label, value = self._label.height_for(room), self._value_height(room)
        lines = max(label, value) if beside else label + value
        return max(look.px(KEY_MM), lines + wrong + look.px(2 * INSET_MM))

    def _indent(self) -> float:
        return look.px(MARK_MM + 1)

    def _value_room(self, room: float) -> float:
        return room - (self._indent() if self.state != PLAIN else 0.0)

    def _value_height(self, room: float) -> float:
        return self._value.height_for(self._value_room(room), self._value_mm(room))

    def _value_mm(self, room: float) -> float:
        largest: float = self._value.sizes_mm[0]
        one_line = self._value.width_for_one_line(largest) <= self._value_room(room)
        return largest if one_line else CLOSE_MM

    def _beside(self, room: float) -> bool:
        """Label and value on one line, where both fit."""
        label = self._label.width_for_one_line()
        value = self._value.width_for_one_line(self._value_mm(room)) + (room - self._value_room(room))
        return label + value + look.px(2 * GAP_MM) <= room

    def _place(self, *args: Any) -> None:
        super()._place(*args)
        if not self._ready or self.width <= 0.0:
            return
        area = Area(self.x, self.y, self.width, self.height).inset(look.px(INSET_MM))
        sheet, ink = Sheet(look.px_per_mm, measured), "ground" if self.chosen or self.pressed else "ink"
        if self._wrong.text:
            row = area.bottom(self._wrong.height_for(area.width - self._indent()), look.px(1))
            self._picture(sheet, ink, "todo", row.left(look.px(MARK_MM), look.px(1)))
            _put(self._wrong, row)
        if self._beside(area.width):
            wide = self._value.width_for_one_line(self._value_mm(area.width)) + 2
            value = area.right(wide + area.width - self._value_room(area.width), look.px(GAP_MM))
            self._label.upright = self._value.upright = "middle"
        else:
            self._label.upright = self._value.upright = "top"
            _put(self._label, area.top(self._label.height_for(area.width)))
            value = area.all_of_it()
        if self.state != PLAIN:
            role = ink if self.chosen or self.pressed else self.state
            self._picture(sheet, role, self.state, value.left(look.px(MARK_MM), look.px(1)))
        _put(self._value, value)
        if self._label.upright == "middle":
            _put(self._label, area)
        paint(self._mark, sheet)

    def _picture(self, sheet: Sheet, role: str, name: str, place: Area) -> None:
        """A mark at the height of the first line, or amid a single one."""
        side = look.px(MARK_MM)
        first = look.px(line_mm(self._value_mm(self.width - look.px(2 * INSET_MM)))) / 2
        middle = (
            place.y + place.height / 2 if self._label.upright == "middle" else place.y + place.height - first
        )
        sheet.picture(role, name, place.x + side / 2, middle, side)

    def _paint(self, *args: Any) -> None:
        super()._paint(*args)
        if not self._ready:
            return
        role = "ground" if self.chosen or self.pressed else "ink"
        for words in (self._label, self._value, self._wrong):
            words.role = role
        self._place()

    def words_fit(self) -> bool:
        """Whether all its texts lie within the row."""
        return all(w.set_lines()[2] for w in (self._label, self._value, self._wrong) if w.text)


def _put(words: Words, area: Area) -> None:
    words.pos, words.size = (area.x, area.y), (area.width, area.height)
