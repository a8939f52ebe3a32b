"""Measuring an original: what is read where, one after the other, and the line drawn as it becomes known."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.properties import ObjectProperty

from shopapp.areas import TALL, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import LENGTHS, FieldView, OriginalView
from shopapp.screens.base import load_kv
from shopapp.screens.typing import TypingScreen
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.field_row import FieldRow

load_kv(__file__)
FIELD, UNIT, READ = "field:", "unit:", "read["


class OriginalScreen(TypingScreen):
    """The line above rows to be typed over; while typing, the row, those after it, and the keys."""

    outline = ObjectProperty(None)
    view: OriginalView | None

    def lay(self, area: Area, shape: str) -> None:
        """As on the screen of a metal; the line is the first block."""
        view = self.view
        assert view is not None
        self.outline.outline = view.outline
        self.hide([self.outline])
        if self.field:
            order = self.fields_in_order()
            after = order[order.index(self.field) :] if self.field in order else []
            rows = [self._row(self._field(name), name == self.field) for name in after]
            self.lay_typing(area, shape, rows, self._entry_keys())
            return
        self.lay_header(area)
        tall = shape == TALL
        self.lay_pages(self.blocks(), area, 3 if tall else 1, 1 if tall else 2)

    def blocks(self) -> Sequence[Any]:
        """What is asked first, what to do, the readings; the line and how well it is known before all of that
        once it is there."""
        view = self.view
        assert view is not None
        said = [self.kept(text, lambda t=text: Sentence(t)) for text in view.sentences]
        wrong = [self.kept(("wrong", t), lambda t=t: Sentence(t, "todo")) for t in view.warnings]
        rows = [self._row(field, False) for field in view.fields]
        facts = [self.kept(fact, lambda f=fact: FactBlock(f)) for fact in view.facts]
        if view.outline is None:
            asked = sum(not field.name.startswith(READ) for field in view.fields)
            return [*rows[:asked], *wrong, *said, *rows[asked:]]
        return [self.outline, *wrong, *facts, *rows, *said]

    def _entry_keys(self) -> tuple[Key, ...]:
        """A reading's place may be left out; units then give way to that key."""
        assert self.view is not None
        worn = tuple(key for key in self.view.worn if key.name == f"worn:{self.field}")
        if not worn:
            return self.typing_keys("number")
        keys = self.typing_keys("number", LENGTHS[:-1])
        digits = tuple(key for key in keys if not key.name.startswith(UNIT))
        units = tuple(key for key in keys if key.name.startswith(UNIT))
        return (*digits[:-1], *worn, *units, digits[-1])

    def key_data(self) -> tuple[Key, ...]:
        """Keys of the view."""
        assert self.view is not None
        return self.view.keys

    def fields_in_order(self) -> list[str]:
        """As they stand."""
        assert self.view is not None
        return [field.name for field in self.view.fields]

    def value_of(self, field: str) -> str:
        """What is typed."""
        return self._field(field).value

    def is_number(self, field: str) -> bool:
        """All of them."""
        return bool(field)

    def _field(self, name: str) -> FieldView:
        assert self.view is not None
        return next(field for field in self.view.fields if field.name == name)

    def _row(self, field: FieldView, editing: bool) -> FieldRow:
        def make() -> FieldRow:
            shown = (field.label, field.value, field.unit, field.hint, field.complaint)
            row = FieldRow(FIELD + field.name, *shown, editing=editing, anew=anew)
            row.bind(on_touched=lambda row: self.press(row.name))
            return row

        anew = editing and self.anew
        return self.kept((field, editing, anew), make)
