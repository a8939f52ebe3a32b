"""A part on the bench: its line, its falling gap, what is next; the whole card is one key."""

from __future__ import annotations

import itertools
from typing import Any

from kivy.graphics import InstructionGroup
from kivy.properties import NumericProperty

from shopapp.areas import Area
from shopapp.presenters.pieces import PLAIN
from shopapp.presenters.views import Card
from shopapp.sizes import ARM_MM, CLOSE_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.key import Key
from shopapp.widgets.look import look
from shopapp.widgets.outline import Placing
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.words import Words

CARD_MM, PICTURE_SHARE, INSET_MM, MARK_MM, NUMBERS_APART_MM = 20.0, 1.6, 1.5, 4.0, 4.6
MOST_OF_WIDTH, LARGE_FROM_MM = 0.36, 50.0
"""Of a card: the share of its width that the picture takes at most, and the height from which its text is
for reading at arm's length"""


class CardKey(Key):
    """card : what to show. high_mm : height where its text needs no more; the picture grows with it"""

    high_mm = NumericProperty(CARD_MM)

    def __init__(self, card: Card) -> None:
        self.card = card
        self._name = Words(text=", ".join(t for t in (card.name, card.in_set) if t), bold=True)
        state = "ink" if card.state == PLAIN else card.state
        told = ", ".join(text for text in (card.state_text, card.widest) if text)
        self._state = Words(text=told, role=state)
        self._next = Words(text=card.next)
        self._picture = InstructionGroup()
        super().__init__(name=f"open:{card.part_id}")
        self.canvas.add(self._picture)
        for words in (self._name, self._state, self._next):
            self.add_widget(words)
        self._place()

    def height_for(self, width: float) -> float:
        """Height in pixels: a line for the name, one for its state, two for what is next."""
        lines = self._texts(width)
        return max(look.px(self.high_mm), sum(high for _, high in lines) + look.px(2 * INSET_MM))

    def _texts(self, width: float) -> list[tuple[Words, float]]:
        for words in (self._name, self._state, self._next):
            words.sizes_mm = [ARM_MM if self.high_mm >= LARGE_FROM_MM else CLOSE_MM]
        room = width - self._picture_px(width) - look.px(4 * INSET_MM)
        marked = room - look.px(MARK_MM + 1)
        return [
            (self._name, self._name.height_for(room)),
            (self._state, self._state.height_for(marked)),
            (self._next, self._next.height_for(room)),
        ]

    def _picture_px(self, width: float) -> float:
        return min(look.px(PICTURE_SHARE * max(CARD_MM, self.high_mm)), MOST_OF_WIDTH * width)

    def _place(self, *args: Any) -> None:
        super()._place(*args)
        area = Area(self.x, self.y, self.width, self.height).inset(look.px(INSET_MM))
        picture = area.left(self._picture_px(self.width), look.px(2 * INSET_MM))
        sheet = Sheet(look.px_per_mm, measured)
        for words, high in self._texts(self.width):
            row = area.top(high)
            if words is self._state and self.card.state != PLAIN:
                side = look.px(MARK_MM)
                mark = row.left(side, look.px(1))
                first = look.px(line_mm(words.sizes_mm[0])) / 2
                sheet.picture(
                    self.card.state, self.card.state, mark.x + side / 2, row.y + row.height - first, side
                )
            words.pos, words.size = (row.x, row.y), (row.width, row.height)
        self._draw(sheet, picture)
        paint(self._picture, sheet)

    def _draw(self, sheet: Sheet, area: Area) -> None:
        """The line above, the widest gap after each pass as a falling line against the tolerance below, the
        widest of all and the tolerance as numbers at its right."""
        if min(area.width, area.height) < look.px(8):
            return
        history, tolerance = self.card.history_mm, self.card.tolerance_mm
        if history and tolerance:
            self._draw_history(sheet, area.bottom(area.height * 0.5, look.px(1)))
        if len(self.card.outline) > 1:
            place = Placing(self.card.outline, area)
            places = [place(p) for p in self.card.outline]
            for one, other in itertools.pairwise(places):
                sheet.slanted("ink", *one, *other, look.px(0.7))

    def _draw_history(self, sheet: Sheet, area: Area) -> None:
        history, tolerance = self.card.history_mm, self.card.tolerance_mm
        texts = (self.card.history_text, self.card.limit_text)
        area = area.left(area.width - max(sheet.measure(t, CLOSE_MM) for t in texts) - look.px(2))
        area.top(look.px(CLOSE_MM / 2))
        scale = area.height / max(*history, tolerance * 1.2)
        limit, widest = area.y + tolerance * scale, area.y + max(history) * scale
        x = area.x + area.width + look.px(2)
        above = max(limit, area.y + look.px(CLOSE_MM / 2))
        sheet.text("quiet", self.card.limit_text, x, above, CLOSE_MM, 0.0)
        if widest - limit >= look.px(NUMBERS_APART_MM):
            sheet.text("ink", self.card.history_text, x, widest, CLOSE_MM, 0.0)
        sheet.box("band", area.x, area.y, area.x + area.width, area.y + tolerance * scale)
        sheet.level("rule", area.x, area.x + area.width, area.y + tolerance * scale, look.px(0.3))
        sheet.level("ink", area.x, area.x + area.width, area.y, look.px(0.3))
        step = area.width / max(1, len(history) - 1) if len(history) > 1 else area.width / 2
        places = [(area.x + i * step, area.y + gap * scale) for i, gap in enumerate(history)]
        for one, other in itertools.pairwise(places):
            sheet.slanted("ink", *one, *other, look.px(0.7))
        for gap, (x, y) in zip(history, places, strict=True):
            state = "ok" if gap <= tolerance else "over"
            sheet.picture(state, state, x, y, look.px(2.4))

    def _paint(self, *args: Any) -> None:
        super()._paint(*args)
        inverse = self.pressed
        for words, role in ((self._name, "ink"), (self._state, _role(self.card)), (self._next, "ink")):
            words.role = "ground" if inverse else role
        self._picture_shown(not inverse)

    def _picture_shown(self, shown: bool) -> None:
        """The drawing is left out while the card is pressed: its colours do not stand on the pressed one."""
        if not shown:
            self._picture.clear()
        elif self.parent is not None:
            self._place()


def _role(card: Card) -> str:
    return "ink" if card.state == PLAIN else card.state
