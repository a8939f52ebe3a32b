"""Drawings as blocks of a page: each knows how high it wants to be."""

from __future__ import annotations

from typing import Any

from kivy.graphics import InstructionGroup
from kivy.properties import NumericProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.views import ReseatView
from shopapp.sizes import ARM_MM, CLOSE_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.outline import OutlineView
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.strip import StripView
from shopapp.widgets.words import Words

STRIP_MM, ZONES_MM, OUTLINE_MM, ACTION_MM, RESEAT_MM, APART_MM = 35.0, 12.0, 42.0, 8.5, 30.0, 4.0
NARROW_MM = 80.0
"""Width below which what to do may be small"""


class StripBlock(StripView):
    """The strip, 35 mm high or what the pages give it."""

    high_mm = NumericProperty(STRIP_MM)
    grows = True

    def height_for(self, width: float) -> float:
        """Height in pixels; zones with their feed take more."""
        fed = self.strip is not None and any(bracket.feed for bracket in self.strip.brackets)
        zones = ZONES_MM if fed and self.captioned else 0.0
        return look.px(self.high_mm + zones)


class OutlineBlock(OutlineView):
    """The line drawn to scale."""

    high_mm = NumericProperty(OUTLINE_MM)
    grows = True

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(self.high_mm)


class ActionBlock(Widget):
    """What to do, as a word beside its sign. arrows : name of that, or ""; setting : what to set for
    it, at its right where both find room, else below."""

    text = StringProperty("")
    arrows = StringProperty("")
    setting = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._words = Words(sizes_mm=[ARM_MM, CLOSE_MM], bold=True)
        self._picture = InstructionGroup()
        self.canvas.add(self._picture)
        self._setting = Words(sizes_mm=[CLOSE_MM])
        self.add_widget(self._words)
        self.add_widget(self._setting)
        for name in ("pos", "size", "text", "arrows", "setting"):
            self.fbind(name, self._place)
        look.follow(palette=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels: one line, or more where the width needs them."""
        self._words.text, self._setting.text = self.text, self.setting
        room = width - self._side()
        high = max(look.px(ACTION_MM), self._words.height_for(room, self._capital_mm(width)))
        return high if self._beside(width) else high + self._below(width)

    def _beside(self, width: float) -> bool:
        """Whether what to set stands at the right of what to do."""
        taken = self._side() + self._words.width_for_one_line() + look.px(APART_MM)
        return not self.setting or taken + self._setting.width_for_one_line() <= width

    def _capital_mm(self, width: float) -> float:
        """For reading at arm's length, but beside the keys of a small screen, which are touched from near."""
        return ARM_MM if width >= look.px(NARROW_MM) else CLOSE_MM

    def _below(self, width: float) -> float:
        return self._setting.height_for(width) if self.setting else 0.0

    def _side(self) -> float:
        return look.px(1.6 * ACTION_MM) if self.arrows else 0.0

    def _place(self, *_: Any) -> None:
        sheet = Sheet(look.px_per_mm, measured)
        side = look.px(ACTION_MM)
        self._words.text, self._setting.text = self.text, self.setting
        beside = self._beside(self.width)
        low = 0.0 if beside else min(self._below(self.width), self.height)
        high = self.height - low
        if self.arrows:
            sheet.picture("ink", self.arrows, self.x + 0.75 * side, self.y + low + high / 2, 1.4 * side)
        paint(self._picture, sheet)
        self._words.pos = (self.x + self._side(), self.y + low)
        other = self._setting.width_for_one_line() + 1 if self.setting and beside else 0.0
        apart = look.px(APART_MM) if other else 0.0
        self._words.size = (self.width - self._side() - other - apart, high)
        self._setting.pos = (self.right - other if beside else self.x, self.y)
        self._setting.size = (other if beside else self.width, high if beside else low)


class ReseatBlock(Widget):
    """How to move the template: where it lies thin, where it should lie bold, arrows with numbers."""

    reseat: ReseatView | None = ObjectProperty(None, allownone=True)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._picture = InstructionGroup()
        self.canvas.add(self._picture)
        for name in ("pos", "size", "reseat"):
            self.fbind(name, self._place)
        look.follow(palette=self._place)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(RESEAT_MM)

    def _place(self, *_: Any) -> None:
        sheet = Sheet(look.px_per_mm, measured)
        if self.reseat is not None and self.width > look.px(RESEAT_MM):
            draw_reseat(sheet, self.reseat, Area(self.x, self.y, self.width, self.height))
        paint(self._picture, sheet)


def draw_reseat(sheet: Sheet, reseat: ReseatView, area: Area) -> None:
    """Near end left, far end right, outward up; moves drawn 6 mm long at most, as their numbers differ."""
    near, far = reseat.shift_mm - reseat.tilt_mm / 2, reseat.shift_mm + reseat.tilt_mm / 2
    longest = max(abs(near), abs(far), 1e-9)
    rest = area.all_of_it()
    row = rest.bottom(sheet.px * line_mm(CLOSE_MM))
    x0, x1 = area.x + sheet.px * 6, area.x + area.width - sheet.px * 6
    texts = [_move_text("near end", near), _move_text("far end", far)]
    both = sum(sheet.measure(text, CLOSE_MM) for text in texts) + sheet.px * 4 <= area.width
    rows = [row, row] if both else [rest.bottom(sheet.px * line_mm(CLOSE_MM)), row]
    level = rest.y + rest.height / 2
    y0, y1 = (level + sheet.px * 6 * move / longest for move in (near, far))
    sheet.slanted("rule", x0, level, x1, level, sheet.px * 0.5)
    sheet.slanted("ink", x0, y0, x1, y1, sheet.px * 1.2)
    for (x, y, move), text, place, align in zip(
        ((x0, y0, near), (x1, y1, far)), texts, rows, (0.0, 1.0), strict=True
    ):
        sheet.upright("ink", x, min(level, y), max(level, y), sheet.px * 0.8)
        sheet.picture("ink", "up" if move >= 0 else "down", x, y, sheet.px * 4)
        end = area.x + align * area.width
        sheet.text("ink", text, end, place.y + place.height / 2, CLOSE_MM, align)


def _move_text(end: str, move_mm: float) -> str:
    return f"{end} {abs(move_mm):.2f} mm {'outward' if move_mm >= 0 else 'inward'}"
