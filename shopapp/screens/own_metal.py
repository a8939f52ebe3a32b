"""Own figures of a metal: rows that can be typed over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import FieldView, OwnMetalView
from shopapp.screens.placing import margined, with_further
from shopapp.screens.typing import TypingScreen
from shopapp.sizes import GAP_MM
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.look import look

FIELD = "field:"


class OwnMetalScreen(TypingScreen):
    """Rows in two columns where there is room; while typing, the row and its keys."""

    view: OwnMetalView | None

    def lay(self, area: Area, shape: str) -> None:
        """Figures and sentences above the keys, or the figure that is typed."""
        if self.field:
            field = self._field(self.field)
            self.lay_typing(area, shape, [self._row(field, True)], self.typing_keys(field.kind))
            return
        self.lay_header(area)
        data = self.key_data()
        keys = area.bottom(self.keys.height_of(1), look.px(GAP_MM))
        if self.pages.lay(self.blocks(), margined(area), 2 if shape == WIDE else 1) > 1:
            data = with_further(data, self.pages.page, self.pages.count)
        self.keys.lay(data, keys)

    def blocks(self) -> Sequence[Any]:
        """What is wrong, the rows, what to watch for."""
        view = self.view
        assert view is not None
        wrong = [view.complaint] if view.complaint else []
        return [
            *(self.kept(("wrong", text), lambda t=text: Sentence(t, "todo")) for text in wrong),
            *(self._row(field, False) for field in view.fields),
            *(self.kept(text, lambda t=text: Sentence(t)) for text in view.sentences),
        ]

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

    def _field(self, name: str) -> FieldView:
        assert self.view is not None
        return next(field for field in self.view.fields if field.name == name)

    def _row(self, field: FieldView, editing: bool) -> FieldRow:
        def make() -> FieldRow:
            shown = (field.label, field.value, field.unit, field.hint, field.complaint)
            row = FieldRow(FIELD + field.name, *shown, editing=editing)
            row.bind(on_touched=lambda row: self.press(row.name))
            return row

        return self.kept((field, editing), make)
