"""Bench: the parts in work, each a card; what it is next; new parts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import LOW, TALL, WIDE, Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import BenchView, Card, Damaged
from shopapp.screens.typing import TypingScreen
from shopapp.sizes import ARM_MM, GAP_MM
from shopapp.widgets.blocks import Sentence
from shopapp.widgets.card import CARD_MM, CardKey
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.look import look

TALLEST_MM = 60.0
"""Height of a card at most"""
DISPLAY, SEARCH, COLUMNS = "display", "search", {WIDE: 2, LOW: 1, TALL: 1}


class BenchScreen(TypingScreen):
    """Cards in pages; a touch on one opens its part. Typing searches for parts by name."""

    view: BenchView | None

    def lay(self, area: Area, shape: str) -> None:
        """Cards over the whole width, keys in one row below; while searching, what is typed above them."""
        if self.field:
            self.lay_typing(area, shape, [self._sought(), *self.blocks()], self.typing_keys("text"))
            return
        self.lay_header(area)
        rows = 1 if shape == WIDE else self.most_rows[shape]
        self._grow_cards(area, COLUMNS[shape], rows)
        self.lay_pages(self.blocks(), area, rows, COLUMNS[shape])

    def _grow_cards(self, area: Area, columns: int, rows: int) -> None:
        """Few cards share the height that there is."""
        assert self.view is not None
        room = area.height - self.keys.height_of(rows) - look.px(GAP_MM)
        lines = -(-len(self.view.cards) // columns) + len(self.view.damaged)
        share_mm = room / max(1, lines) / look.px_per_mm - GAP_MM
        for card in self.view.cards:
            shown = self.kept(card, lambda card=card: self._card(card))
            shown.high_mm = min(max(share_mm, CARD_MM), TALLEST_MM)

    def blocks(self) -> Sequence[Any]:
        """What is damaged first, then the cards, or what to do first."""
        view = self.view
        assert view is not None
        blocks = [self.kept(d, lambda d=d: self._damaged(d)) for d in view.damaged]
        if view.empty:
            blocks.append(self.kept(view.empty, lambda: Sentence(view.empty, capital_mm=ARM_MM)))
        blocks += [self.kept(c, lambda c=c: self._card(c)) for c in view.cards]
        blocks += [self.kept(view.more, lambda: Sentence(view.more))] if view.more else []
        return blocks

    def key_data(self) -> Any:
        """Keys of the view, one for each damaged file that can be brought back; a new part is the last."""
        view = self.view
        assert view is not None
        given = super().key_data()
        new = tuple(k for k in given if k.name == "new")
        others = tuple(k for k in given if k.name != "new")
        mend = (key for d in view.damaged for key in (d.restore, d.accept) if key is not None)
        return (*mend, *others, Key(DISPLAY, "Settings"), *new)

    def press(self, name: str) -> None:
        """Settings are no matter of the bench's presenter."""
        if name == DISPLAY:
            self.navigate(DISPLAY)
        elif name == SEARCH:
            self.choose(SEARCH)
        else:
            super().press(name)

    def question(self) -> str:
        """Under whose name entries are logged."""
        assert self.view is not None
        return "" if self.field else self.view.who

    def fields_in_order(self) -> list[str]:
        """What is searched for."""
        return [SEARCH]

    def value_of(self, field: str) -> str:
        """As typed."""
        assert self.view is not None
        return self.view.sought

    def _sought(self) -> FieldRow:
        text = self.value_of(SEARCH)
        return self.kept((SEARCH, text), lambda: FieldRow(SEARCH, "Part called", text, editing=True))

    def _card(self, card: Card) -> CardKey:
        key = CardKey(card)
        key.bind(on_touched=lambda key: self.press(key.name))
        return key

    def _damaged(self, damaged: Damaged) -> Sentence:
        return Sentence(f"{damaged.name}: {damaged.text}", "todo")
