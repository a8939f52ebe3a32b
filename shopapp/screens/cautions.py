"""Cautions: before the first pass of a part, and always one touch away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from shopapp.areas import TALL, WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import CautionsView
from shopapp.screens.base import Screen
from shopapp.widgets.rows import RowBlock

UNDERSTOOD, WHY = "understood", "turn to the last page first"


class CautionsScreen(Screen):
    """All of them in pages; the key to acknowledge them comes alive once every one was on the screen."""

    view: CautionsView | None

    def open(self) -> None:
        """The screen is shown; what was shown an earlier time is to be shown again."""
        self._seen: set[str] = set()
        super().open()

    def lay(self, area: Area, shape: str) -> None:
        """Text over the whole width, keys in one row below."""
        self.lay_header(area, cautions=False)
        rows = self.most_rows[TALL] if shape == TALL else 1
        whole, seen = area.all_of_it(), len(self._seen)
        self.lay_pages(self.blocks(), area, rows, 2 if shape == WIDE else 1)
        self._seen |= {block.head for block in self.pages.children}
        if len(self._seen) > seen:
            self.lay_pages(self.blocks(), whole, rows, 2 if shape == WIDE else 1)

    def key_data(self) -> tuple[Key, ...]:
        """Keys of the view; that for "understood" is off until every caution was shown."""
        assert self.view is not None
        unseen = any(head not in self._seen for head, _ in self.view.cautions)
        return tuple(
            replace(k, enabled=False, why=WHY) if unseen and k.name == UNDERSTOOD else k
            for k in super().key_data()
        )

    def blocks(self) -> Sequence[Any]:
        """A row for each caution."""
        assert self.view is not None
        return [
            self.kept(c, lambda c=c: RowBlock("caution", "ink", c[0], c[1], strong=True))
            for c in self.view.cautions
        ]

    def take(self, view: CautionsView) -> None:
        """Closing leads back to where it was opened, once understood to the trial that wanted it, else on."""
        on = view.go == "pass_card" and self.came_from != "trial"
        if view.go and not view.needed and not on and self.came_from:
            self.navigate(self.came_from)
        else:
            super().take(view)

    def back(self) -> None:
        """Back to where it was opened."""
        self.navigate(self.came_from or "bench")

    def act(self, action: str) -> None:
        """The keyboard's help key closes what it opened."""
        if action == "help":
            self.back()
        else:
            super().act(action)
