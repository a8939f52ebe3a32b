"""Fields of one row of a table beside each other, and a key that drops the row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.pieces import Key as KeyData
from shopapp.sizes import GAP_MM, KEY_MM
from shopapp.widgets.field_row import FieldRow
from shopapp.widgets.key import Key
from shopapp.widgets.look import look


class SideBySide(Widget):
    """fields : rows that share the width; drop : the key at the end, or None; press : takes its name."""

    def __init__(
        self, fields: Sequence[FieldRow], drop: KeyData | None, press: Callable[[str], None]
    ) -> None:
        super().__init__()
        self._fields = list(fields)
        self._drop: Key | None = None
        if drop is not None:
            self._drop = Key(name=drop.name, text=drop.text, enabled=drop.enabled)
            self._drop.bind(on_touched=lambda key: press(key.name) if key.enabled else None)
            self.add_widget(self._drop)
        for field in self._fields:
            if field.parent is not None:
                field.parent.remove_widget(field)
            self.add_widget(field)
        self.bind(pos=self._place, size=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels of the highest field."""
        return max(field.height_for(self._share(width)) for field in self._fields)

    def _share(self, width: float) -> float:
        room = width - (look.px(KEY_MM + GAP_MM) if self._drop is not None else 0.0)
        return (room - look.px(GAP_MM) * (len(self._fields) - 1)) / len(self._fields)

    def _place(self, *_: Any) -> None:
        area = Area(self.x, self.y, self.width, self.height)
        if self._drop is not None:
            place = area.right(look.px(KEY_MM), look.px(GAP_MM))
            self._drop.pos, self._drop.size = (place.x, place.y), (place.width, place.height)
        share = self._share(self.width)
        for field in self._fields:
            place = area.left(share, look.px(GAP_MM))
            field.pos, field.size = (place.x, place.y), (place.width, place.height)
