"""The cross-section drawn to scale, the edge that the tool works named beside it."""

from __future__ import annotations

from typing import Any

from kivy.graphics import InstructionGroup
from kivy.properties import NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.pieces import Profile
from shopapp.sizes import CLOSE_MM
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.outline import NARROWEST_PX, Placing
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet

PROFILE_MM, THINNEST_MM, POINTER_MM = 30.0, 0.8, 2.6
NAME = "worked edge"


def draw_profile(sheet: Sheet, profile: Profile, area: Area) -> None:
    """Walls filled, as thick as they are but never too thin to be seen; a pointer with a name at each worked
    edge, the free edge of the flange in the plane of the curve."""
    rest = area.inset(sheet.px)
    rest.right(sheet.measure(NAME, CLOSE_MM) + sheet.px * (POINTER_MM + 2))
    corners = [c for y0, z0, y1, z1 in profile.rectangles for c in ((y0, z0), (y1, z1))]
    place = Placing(corners, rest)
    for box in profile.rectangles:
        _fill(sheet, "rule", box, place)
    for box in profile.worked:
        _fill(sheet, "go", box, place)
        x, y = place((box[2], (box[1] + box[3]) / 2))
        sheet.picture("ink", "before", x + sheet.px * (0.5 + POINTER_MM / 2), y, sheet.px * POINTER_MM)
        sheet.text("ink", NAME, x + sheet.px * (1.5 + POINTER_MM), y, CLOSE_MM, 0.0)


def _fill(sheet: Sheet, role: str, box: tuple[float, float, float, float], place: Placing) -> None:
    (x0, y0), (x1, y1) = place((box[0], box[1])), place((box[2], box[3]))
    wide, high = (max(0.0, sheet.px * THINNEST_MM - extent) / 2 for extent in (x1 - x0, y1 - y0))
    sheet.box(role, x0 - wide, y0 - high, x1 + wide, y1 + high)


class ProfileBlock(Widget):
    """profile : what to draw, or None."""

    profile: Profile | None = ObjectProperty(None, allownone=True)
    high_mm = NumericProperty(PROFILE_MM)
    grows = True

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        for name in ("pos", "size", "profile"):
            self.fbind(name, self.redraw)
        look.bind(palette=self.redraw, px_per_mm=self.redraw)

    def height_for(self, width: float) -> float:
        """Height in pixels."""
        return look.px(self.high_mm)

    def redraw(self, *_: Any) -> None:
        """Draw everything anew."""
        sheet = Sheet(look.px_per_mm, measured)
        if self.profile is not None and min(self.size) > NARROWEST_PX:
            draw_profile(sheet, self.profile, Area(self.x, self.y, self.width, self.height))
        paint(self._drawing, sheet)
