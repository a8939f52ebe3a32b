"""Own figures of a metal: rows that can be typed over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import LOW, WIDE, Area
from shopapp.presenters.views import OwnMetalView
from shopapp.screens.form import FormScreen
from shopapp.screens.placing import margined, with_further
from shopapp.sizes import GAP_MM
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.look import look


class OwnMetalScreen(FormScreen):
    """Rows in two columns where there is room; while typing, the row and its keys."""

    view: OwnMetalView | None

    def lay(self, area: Area, shape: str) -> None:
        """Figures and sentences above the keys, or the figure that is typed."""
        field = self.view_of(self.field)
        if field is not None:
            self.lay_typing(area, shape, [self.row(field, True)], self.keys_of(field))
            return
        self.lay_header(area)
        data = self.key_data()
        keys = area.bottom(self.keys.height_of(1), look.px(GAP_MM))
        if self._lay_rows(margined(area), shape) > 1:
            data = with_further(data, self.pages.page, self.pages.count)
        self.keys.lay(data, keys)

    def _lay_rows(self, area: Area, shape: str) -> int:
        """The number of pages; where there is little room, in as many columns as need the fewest."""
        if shape == LOW:
            single = self.pages.lay(self.blocks(), area)
            if single == 1 or self.pages.lay(self.blocks(), area, 2) < single:
                return self.pages.count
        return self.pages.lay(self.blocks(), area, 2 if shape == WIDE else 1)

    def blocks(self) -> Sequence[Any]:
        """What is wrong, the rows, what to watch for."""
        view = self.view
        assert view is not None
        wrong = [view.complaint] if view.complaint else []
        return [
            *(self.kept(("wrong", text), lambda t=text: Sentence(t, "todo")) for text in wrong),
            *self.field_rows(),
            *self.table_rows(),
            *(self.kept(text, lambda t=text: Sentence(t)) for text in view.sentences),
        ]
