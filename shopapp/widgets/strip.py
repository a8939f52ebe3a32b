"""The strip on the screen: one drawing, touched by station; a marker runs along it for the feed."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, InstructionGroup, Triangle
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.pieces import Strip
from shopapp.sizes import KEY_MM
from shopapp.widgets.cells import x_along
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet
from shopapp.widgets.strip_plan import Plan, draw_strip, lane_of, plan_strip
from shopapp.widgets.strip_strokes import highest

HEAD_MM = 7.0
NOWHERE = -1.0


class StripView(Widget):
    """strip : what to draw; asked : stations are chosen by touch; marker_mm : place of the running marker
    along the edge, below 0 for none. Dispatches ``on_station`` with the station touched, from 0."""

    __events__ = ("on_station",)
    strip: Strip | None = ObjectProperty(None, allownone=True)
    asked = BooleanProperty(False)
    marker_mm = NumericProperty(NOWHERE)
    captioned = BooleanProperty(True)
    centre = NumericProperty(-1)

    def __init__(self, **kwargs: Any) -> None:
        self._plan: Plan | None = None
        self._laned = False
        super().__init__(**kwargs)
        with self.canvas:
            self._drawing = InstructionGroup()
            self._marker_colour = Color()
            self._head = Triangle(points=[0] * 6)
        self.canvas.add(self._drawing)
        for name in ("pos", "size", "strip", "asked", "centre", "captioned"):
            self.fbind(name, self.redraw)
        self.fbind("marker_mm", self._marker_moved)
        look.follow(palette=self.redraw, px_per_mm=self.redraw)
        self.redraw()

    @property
    def marker_box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right, top of the marker as drawn, in pixels; all 0 while there is none."""
        xs, ys = self._head.points[::2], self._head.points[1::2]
        return min(xs), min(ys), max(xs), max(ys)

    def on_station(self, station: int) -> None:
        """A station was touched."""

    def redraw(self, *_: Any) -> None:
        """Draw everything anew."""
        self._drawing.clear()
        self._plan = None
        if self.strip is None or self.width < look.px(KEY_MM) or self.height < look.px(KEY_MM):
            return
        area = Area(self.x, self.y, self.width, self.height)
        if self.strip.strokes:
            area = area.top(min(self.height, look.px(highest(self.strip))))
        self._area = area
        sheet, self._laned = Sheet(look.px_per_mm, measured), self.marker_mm >= 0
        self._plan = plan_strip(
            self.strip,
            area,
            look.px_per_mm,
            measured,
            self.asked,
            None if self.centre < 0 else int(self.centre),
        )
        draw_strip(sheet, self.strip, area, self._plan, self.captioned, self._laned)
        paint(self._drawing, sheet)
        self._move_marker()

    def _marker_moved(self, *_: Any) -> None:
        """Where it starts or stops the strip makes room for its way, or takes that back."""
        if self._laned != (self.marker_mm >= 0):
            self.redraw()
        else:
            self._move_marker()

    def _move_marker(self) -> None:
        """Set the marker where it belongs, under the edge and pointing at it; the window follows it."""
        self._head.points = [0] * 6
        if self.strip is None or self._plan is None or self.marker_mm < 0:
            return
        x = x_along(self._plan.cells, self.strip.position_mm, self.strip.length_mm, self.marker_mm)
        if x is None:
            nearest = min(
                range(len(self.strip.names)), key=lambda i: abs(self.strip.position_mm[i] - self.marker_mm)
            )
            if nearest != self.centre:
                self.centre = nearest
            return
        self._marker_colour.rgba = look.rgba("go")
        bottom, top = lane_of(self._plan, look.px_per_mm)
        half = look.px(HEAD_MM) / 2
        self._head.points = [x - half, bottom, x + half, bottom, x, top]

    def on_touch_down(self, touch: Any) -> bool:
        """Take a touch inside."""
        if not self.collide_point(*touch.pos) or getattr(touch, "button", "left") not in (None, "left"):
            return False
        touch.grab(self)
        return True

    def on_touch_up(self, touch: Any) -> bool:
        """The station under the finger, or in the line of all stations the place it points at."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        if self._plan is None or not self.collide_point(*touch.pos):
            return True
        overview = self._plan.overview
        if overview is not None and touch.y < self._plan.overview_top:
            self.centre = overview.at(touch.x)
            self.dispatch("on_station", overview.at(touch.x))
        else:
            self.dispatch("on_station", self._plan.cells.at(touch.x))
        return True
