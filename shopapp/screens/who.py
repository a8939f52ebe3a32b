"""Who works: a name is touched, or typed where it is new."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import TALL, Area
from shopapp.presenters.views import WhoRow, WhoView
from shopapp.screens.typing import TypingScreen
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow

NAME = "name"


class WhoScreen(TypingScreen):
    """Rows of names, in two columns where there is room; while typing, the new name and letters."""

    view: WhoView | None

    def lay(self, area: Area, shape: str) -> None:
        """As on other lists."""
        if self.field:
            self.lay_typing(area, shape, [self._new(True), *self._names()], self.typing_keys("text"))
            return
        self.lay_header(area)
        self.lay_pages(self.blocks(), area, 1, 1 if shape == TALL else 2)

    def blocks(self) -> Sequence[Any]:
        """The new name first, then those used before, then what a name is for."""
        view = self.view
        assert view is not None
        said = [self.kept(("said", text), lambda t=text: Sentence(t)) for text in view.sentences]
        return [self._new(False), *self._names(), *said]

    def enter(self) -> None:
        """Enter takes what was typed."""
        if self.field and self.value_of(self.field).strip():
            self.end_typing()
            self.take(self.presenter.press("take_typed"))
        else:
            super().enter()

    def fields_in_order(self) -> list[str]:
        """The new name alone."""
        return [NAME]

    def value_of(self, field: str) -> str:
        """As typed."""
        assert self.view is not None
        return self.view.typed

    def _names(self) -> list[FieldRow]:
        assert self.view is not None
        return [self.kept(row, lambda row=row: self._row(row)) for row in self.view.rows]

    def _row(self, row: WhoRow) -> FieldRow:
        shown = FieldRow(row.name, row.label, row.value, state=row.state)
        shown.bind(on_touched=lambda key: self._choose(key.name))
        return shown

    def _choose(self, name: str) -> None:
        """A name that is touched ends typing."""
        self.end_typing()
        self.press(name)

    def _new(self, editing: bool) -> FieldRow:
        text = self.value_of(NAME)

        def make() -> FieldRow:
            row = FieldRow("field:" + NAME, "New name", text, hint="touch and type", editing=editing)
            row.bind(on_touched=lambda row: self.press(row.name))
            return row

        return self.kept((NAME, text, editing), make)
