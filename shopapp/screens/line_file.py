"""Dropped files: a list to choose from, or one of them with its line drawn to scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from kivy.clock import Clock
from kivy.properties import ObjectProperty

from shopapp.areas import TALL, WIDE, Area
from shopapp.presenters.views import InventoryRow, LineFileView
from shopapp.screens.base import Screen, load_kv
from shopapp.widgets.blocks import FactBlock, Sentence
from shopapp.widgets.field_row import FieldRow

load_kv(__file__)
LIST = "list"


class LineFileScreen(Screen):
    """Rows over the whole width; then the line beside what is known of it, keys below."""

    outline = ObjectProperty(None)
    view: LineFileView | None

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._then = Clock.create_trigger(self._go_on)

    def open(self) -> None:
        """It begins with the list."""
        self.presenter.press(LIST)
        super().open()

    def back(self) -> None:
        """From a file to the list, from there to where the list was asked for."""
        if self.view is not None and not self.view.listing:
            self.press(LIST)
        else:
            super().back()

    def press(self, name: str) -> None:
        """What is shown next begins on its first page."""
        self.pages.page = self.pages.page if name == "further" else 0
        super().press(name)

    def take(self, view: LineFileView) -> None:
        """What takes longer than a touch may wait goes on once this is painted, also while another screen is
        shown."""
        super().take(view)
        if view.then:
            self._then()

    def _go_on(self, *_: Any) -> None:
        assert self.view is not None
        self.take(self.presenter.press(self.view.then))

    def lay(self, area: Area, shape: str) -> None:
        """The line where there is one; else the list, or the question."""
        view = self.view
        assert view is not None
        self.outline.outline = view.outline
        if view.outline is not None:
            super().lay(area, shape)
            return
        self.hide([self.outline])
        self.lay_header(area)
        tall = shape == TALL
        rows = 3 if tall else 2 if shape == WIDE or not view.listing else 1
        self.lay_pages(self.blocks(), area, rows, 1 if tall else 2)

    def question(self) -> str:
        """Which unit."""
        assert self.view is not None
        return self.view.question

    def drawings(self) -> Sequence[Any]:
        """The line."""
        return () if self.view is None or self.view.outline is None else (self.outline,)

    def blocks(self) -> Sequence[Any]:
        """What looks odd, the rows or the facts, what else there is to say."""
        view = self.view
        assert view is not None
        warnings = [self.kept(("warning", t), lambda t=t: Sentence(t, "todo")) for t in view.warnings]
        rows = [self.kept(row, lambda row=row: self._row(row)) for row in view.rows]
        facts = [self.kept(fact, lambda f=fact: FactBlock(f)) for fact in view.facts]
        said = [self.kept(("said", t), lambda t=t: Sentence(t)) for t in view.sentences]
        return [*facts[:1], *warnings, *facts[1:], *rows, *said]

    def _row(self, row: InventoryRow) -> FieldRow:
        shown = FieldRow(row.name, row.label, row.value, state=row.state)
        shown.bind(on_touched=lambda key: self.press(key.name))
        return shown
