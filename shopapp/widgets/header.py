"""The header: how to go back, where am I, what is the unit, and the cautions always one touch away."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.sizes import ARM_MM, CLOSE_MM, GAP_MM, HEADER_MM, KEY_MM
from shopapp.widgets.key import Key
from shopapp.widgets.look import look
from shopapp.widgets.words import Words

NARROW_MM = 80.0
"""Below this width the text stands under the two keys instead of between them"""


class Header(Widget):
    """A band of 12 mm, or as high as its text; its two keys hang below it, beside a line that says what the
    screen asks, or what is wrong (alarm: reversed). Dispatches ``on_back`` and ``on_cautions``."""

    __events__ = ("on_back", "on_cautions")
    where = StringProperty("")
    note = StringProperty("")
    alarm = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        with self.canvas.before:
            self._colour, self._band = Color(), Rectangle()
            self._alarm_colour, self._alarm = Color(), Rectangle(size=(0, 0))
        self.back = Key(name="back", icon="back")
        self.cautions = Key(name="cautions", icon="caution")
        self._where = Words(sizes_mm=[ARM_MM, CLOSE_MM], bold=True)
        self._note = Words(sizes_mm=[CLOSE_MM])
        for widget in (self._where, self._note, self.back, self.cautions):
            self.add_widget(widget)
        self.back.bind(on_touched=lambda *_: self.dispatch("on_back"))
        self.cautions.bind(on_touched=lambda *_: self.dispatch("on_cautions"))
        for name in ("where", "note", "alarm"):
            self.fbind(name, self._write)
        look.follow(palette=self._write)

    def on_back(self) -> None:
        """The back key was touched."""

    def on_cautions(self) -> None:
        """The caution key was touched."""

    def height_for(self, width: float, back: bool, cautions: bool) -> float:
        """Height in pixels that shows the keys and every line of the text."""
        self._write()
        keys = look.px(KEY_MM)
        stacked = self._stacked(width)
        room = width - look.px(2) if stacked else self._room(width, back, cautions)
        where = self._where.height_for(room, CLOSE_MM)
        note = self._note.height_for(room) + look.px(GAP_MM / 2) if self.note else 0.0
        if stacked:
            return keys + look.px(GAP_MM / 2) + where + note
        return max(keys, max(look.px(HEADER_MM), where) + note)

    def lay(self, area: Area, back: bool, cautions: bool) -> None:
        """Set out in an area; keys that lead nowhere are left out."""
        self.pos, self.size = (area.x, area.y), (area.width, area.height)
        rest = area.all_of_it()
        if self._stacked(area.width):
            row = rest.top(look.px(KEY_MM), look.px(GAP_MM / 2))
            self._key(self.back, row.left, back)
            self._key(self.cautions, row.right, cautions)
            self._band.size = (0, 0)
            text = Area(rest.x + look.px(1), rest.y, rest.width - look.px(2), rest.height)
        else:
            self._key(self.back, rest.left, back)
            self._key(self.cautions, rest.right, cautions)
            left, right = look.px(0 if back else 2), look.px(0 if cautions else 2)
            text = Area(rest.x + left, rest.y, rest.width - left - right, rest.height)
            lines = self._where.height_for(text.width, CLOSE_MM)
            band = area.all_of_it().top(max(look.px(HEADER_MM), lines))
            self._band.pos, self._band.size = (band.x, band.y), (band.width, band.height)
        note = self._note.height_for(text.width) if self.note else 0.0
        _put(self._note, text.bottom(note, look.px(GAP_MM / 2) if note else 0.0))
        where = max(look.px(HEADER_MM), self._where.height_for(text.width, CLOSE_MM))
        _put(self._where, text if self._stacked(area.width) or note else text.top(where))
        self._write()

    def _stacked(self, width: float) -> bool:
        return width < look.px(NARROW_MM)

    def _room(self, width: float, back: bool, cautions: bool) -> float:
        keys = int(back) + int(cautions)
        return width - look.px((KEY_MM + GAP_MM) * keys + 2 * (2 - keys))

    def _key(self, key: Key, cut: Any, shown: bool) -> None:
        key.opacity = 1 if shown else 0
        if not shown:
            key.size = (0, 0)
            return
        side = cut(look.px(KEY_MM), look.px(GAP_MM))
        key.size = (side.width, look.px(KEY_MM))
        key.pos = (side.x, side.y + side.height - key.height)

    def _write(self, *_: Any) -> None:
        self._colour.rgba = look.rgba("panel")
        self._where.text = self.where
        self._note.role = "ground" if self.alarm else "ink"
        self._note.text = self.note
        self._alarm_colour.rgba = look.rgba("ink")
        self._alarm.pos = (self._note.x - look.px(1), self._note.y)
        self._alarm.size = (self._note.width + look.px(2), self._note.height) if self.alarm else (0, 0)


def _put(widget: Widget, area: Area) -> None:
    widget.pos, widget.size = (area.x, area.y), (area.width, area.height)
