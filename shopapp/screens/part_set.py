"""Set: its parts side by side, or a chart over the whole width."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import LOW, TALL, WIDE, Area
from shopapp.presenters.views import SetLine, SetRow, SetView
from shopapp.screens.base import Screen
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.picture import PictureBlock
from shopapp.widgets.table_row import TableRow

CHARTS_MM = {WIDE: 58.0, LOW: 38.0, TALL: 56.0}
"""Height of both charts together at least, by the shape of the screen"""


class SetScreen(Screen):
    """Rows or chart over the whole width; keys below."""

    view: SetView | None
    _shape = WIDE

    def press(self, name: str) -> None:
        """What is shown next begins on its first page."""
        if name.partition(":")[0] in ("show", "set", "list"):
            self.pages.page = 0
        super().press(name)

    def lay(self, area: Area, shape: str) -> None:
        """Parts in one column, so that figures stand under each other."""
        self.lay_header(area)
        self._shape = shape
        self.lay_pages(self.blocks(), area, 2 if shape == TALL else 1)

    def question(self) -> str:
        """What the next part starts from."""
        assert self.view is not None
        return self.view.start

    def blocks(self) -> Sequence[Any]:
        """What changed, the parts, what there is to say; the chart before all of that."""
        view = self.view
        assert view is not None
        watch = [self.kept(("watch", t), lambda t=t: Sentence(t, "todo")) for t in view.watch]
        picture = view.picture
        least = CHARTS_MM[self._shape]
        drawn = (
            []
            if picture is None
            else [self.kept((picture, least), lambda: PictureBlock(picture, least_mm=least))]
        )
        rows = [self.kept(row, lambda row=row: self._row(row)) for row in view.rows]
        head = next((line for line in view.table if line.head), None)
        lines = [self.kept((line, head), lambda line=line: _table_row(line, head)) for line in view.table]
        said = [self.kept(("said", t), lambda t=t: Sentence(t)) for t in view.sentences]
        if self.small:  # the table would begin on the second page
            return [*drawn, *rows, *lines, *watch, *said]
        return [*drawn, *watch, *rows, *lines, *said]

    def _row(self, row: SetRow) -> FieldRow:
        shown = FieldRow(row.name, row.label, row.value)
        shown.bind(on_touched=lambda key: self.press(key.name))
        return shown


def _table_row(line: SetLine, head: SetLine | None) -> TableRow:
    """A line of the table; any but the heading has it again where a page begins with it."""
    row = TableRow(line.cells, line.head or line.bold)
    if head is not None and line is not head:
        row.heading = TableRow(head.cells, bold=True)
    return row
