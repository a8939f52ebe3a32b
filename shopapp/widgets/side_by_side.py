"""Fields beside each other: those that belong together, or of one row of a table with a key that drops it."""

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
        self.gather()
        self.bind(pos=self._place, size=self._place)

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its fields, as keys."""
        return tuple(field.name for field in self._fields)

    def gather(self) -> None:
        """Take the fields back from where they were shown meanwhile, such as while one is typed into."""
        for field in self._fields:
            if field.parent is not self:
                if field.parent is not None:
                    field.parent.remove_widget(field)
                self.add_widget(field)
        self._place()

    def height_for(self, width: float) -> float:
        """Height in pixels of all lines; a line holds as many fields as can be keys beside each other."""
        lines = self._lines(width)
        heights = [self._line_height(line, width) for line in lines]
        return sum(heights) + look.px(GAP_MM) * (len(lines) - 1)

    def _room(self, width: float) -> float:
        return width - (look.px(KEY_MM + GAP_MM) if self._drop is not None else 0.0)

    def _lines(self, width: float) -> list[list[FieldRow]]:
        fit = int((self._room(width) + look.px(GAP_MM)) / look.px(KEY_MM + GAP_MM) + 1e-6)
        most = max(1, min(fit, len(self._fields)))
        return [self._fields[i : i + most] for i in range(0, len(self._fields), most)]

    def _share(self, line: Sequence[FieldRow], width: float) -> float:
        return (self._room(width) - look.px(GAP_MM) * (len(line) - 1)) / len(line)

    def _line_height(self, line: Sequence[FieldRow], width: float) -> float:
        return max(field.height_for(self._share(line, width)) for field in line)

    def _place(self, *_: Any) -> None:
        area, width = Area(self.x, self.y, self.width, self.height), self.width
        if self._drop is not None:
            place = area.right(look.px(KEY_MM), look.px(GAP_MM))
            self._drop.pos, self._drop.size = (place.x, place.y), (place.width, place.height)
        lines = self._lines(width)
        for line in lines:
            last = line is lines[-1]
            row = area if last else area.top(self._line_height(line, width), look.px(GAP_MM))
            for field in line:
                place = row.left(self._share(line, width), look.px(GAP_MM))
                field.pos, field.size = (place.x, place.y), (place.width, place.height)
