"""What the shop owns: a list to choose from, or one thing with all that it holds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import TALL, Area
from shopapp.presenters.views import InventoryRow, InventoryView
from shopapp.screens.base import Screen
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.figure_row import FigureGroup

LIST, BENCH = "list", "bench"


class InventoryScreen(Screen):
    """Rows over the whole width, in two columns where there is room; keys in one row below."""

    view: InventoryView | None

    def open(self) -> None:
        """From the bench it begins with the list."""
        if self.came_from == BENCH:
            self.presenter.press(LIST)
        super().open()

    def back(self) -> None:
        """From one thing to the list, from there to the bench."""
        if self.view is not None and not self.view.listing:
            self.press(LIST)
        else:
            super().back()

    def press(self, name: str) -> None:
        """What is shown next begins on its first page."""
        if name.partition(":")[0] in ("show", "open", LIST, "forget_it"):
            self.pages.page, self.keys.page = 0, 0
        super().press(name)

    def lay(self, area: Area, shape: str) -> None:
        """As on the screen of a metal."""
        self.lay_header(area)
        tall = shape == TALL
        self.lay_pages(self.blocks(), area, 2 if tall else 1, 1 if tall else 2)

    def question(self) -> str:
        """Whether it is to be forgotten."""
        assert self.view is not None
        return self.view.question

    def blocks(self) -> Sequence[Any]:
        """What cannot be read, the rows or the figures, what there is to say."""
        view = self.view
        assert view is not None
        damaged = [self.kept(("damaged", t), lambda t=t: Sentence(t, "todo")) for t in view.damaged]
        rows = [self.kept(row, lambda row=row: self._row(row)) for row in view.rows]
        figures = [self.kept(r, lambda r=r: FigureGroup([(r.label, r.value)], r.tail)) for r in view.figures]
        said = [self.kept(("said", t), lambda t=t: Sentence(t)) for t in view.sentences]
        return [*damaged, *rows, *figures, *said]

    def _row(self, row: InventoryRow) -> FieldRow:
        shown = FieldRow(row.name, row.label, row.value, state=row.state)
        shown.bind(on_touched=lambda key: self.press(key.name))
        return shown
