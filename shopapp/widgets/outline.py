"""The target line drawn to scale, the part beside it with its deviation magnified."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import Any

from kivy.graphics import InstructionGroup
from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from shopapp.areas import Area
from shopapp.presenters.pieces import Outline, Point
from shopapp.sizes import CLOSE_MM, line_mm
from shopapp.widgets.glyphs import measured
from shopapp.widgets.look import look
from shopapp.widgets.painting import paint
from shopapp.widgets.sheet import Sheet

LINE_MM, PART_MM, BAND_MM, MARK_MM, NARROWEST_PX = 0.5, 1.0, 0.3, 2.6, 10.0
WORKED_MM, ARROWS_MM = 1.6, 6.0


def draw_outline(sheet: Sheet, outline: Outline, area: Area) -> None:
    """Target thin, tolerance as two thin lines, the part bold with a shape a station, or as a stem at each
    where it stands off square to what is drawn; the factor in words."""
    caption = area.all_of_it()
    if outline.factor_text:
        row = caption.bottom(sheet.px * line_mm(CLOSE_MM))
        sheet.text("quiet", outline.factor_text, row.x, row.y + row.height / 2, CLOSE_MM, 0.0)
    marked = [point for point, _ in (*outline.arrows, *outline.ends)]
    everything = [*outline.points, *outline.part, *outline.band[0], *outline.band[1]]
    everything += [*outline.worked, *marked, *(point for arc in outline.arcs for point in arc)]
    if len(everything) < 2:
        return
    room = caption.inset(sheet.px * (MARK_MM / 2 + 0.5))
    if outline.limit_text:
        room.left(sheet.measure(f"±{outline.limit_text}", CLOSE_MM) + sheet.px)
    place = Placing(everything, room.inset(sheet.px * ARROWS_MM / 2) if marked else room)
    for edge in outline.band:
        _polyline(sheet, "rule", [place(p) for p in edge], BAND_MM)
    _limits(sheet, outline, place)
    _worked_edge(sheet, outline, place)
    _polyline(sheet, "ink", [place(p) for p in outline.points], LINE_MM)
    part = [place(p) for p in outline.part]
    if outline.stems:
        for station, end in zip(outline.stations, part, strict=bool(part)):
            _polyline(sheet, "ink", [place(station), end], PART_MM)
    else:
        _polyline(sheet, "ink", part, PART_MM)
    for arc in outline.arcs:
        _polyline(sheet, "ink", [place(p) for p in arc], WORKED_MM)
    _shapes(sheet, outline.states, part)


def _limits(sheet: Sheet, outline: Outline, place: Placing) -> None:
    """The number of each line of the tolerance before its first end; one for both where they are close."""
    inner, outer = outline.band
    if not outline.limit_text or not inner or not outer:
        return
    (x0, y0), (x1, y1) = place(inner[0]), place(outer[0])
    if abs(y1 - y0) < sheet.px * line_mm(CLOSE_MM):
        left = min(place(point)[0] for point in (*outline.points, *inner, *outer))
        texts = [(f"±{outline.limit_text}", left, (y0 + y1) / 2)]
    else:
        texts = [(f"−{outline.limit_text}", x0, y0), (f"+{outline.limit_text}", x1, y1)]
    for text, x, y in texts:
        sheet.text("quiet", text, x - sheet.px, y, CLOSE_MM, 1.0)


def _worked_edge(sheet: Sheet, outline: Outline, place: Placing) -> None:
    """The worked edge bold beside the line, its arrows, the numbers of the first and last station."""
    _polyline(sheet, "ink", [place(p) for p in outline.worked], WORKED_MM)
    for point, arrows in outline.arrows:
        sheet.picture("ink", arrows, *place(point), sheet.px * ARROWS_MM)
    for point, text in outline.ends:
        x, y = place(point)
        sheet.text("quiet", text, x, y, CLOSE_MM)


def _shapes(sheet: Sheet, states: Sequence[str], places: list[Point]) -> None:
    """A state's shape at each station, or at every so many where they would run into each other."""
    if len(places) < 2 or not states:
        return
    apart = min(_apart(a, b) for a, b in itertools.pairwise(places))
    side = sheet.px * MARK_MM
    every = max(1, int(-(-side // apart)) if apart > 0 else len(places))
    for i in range(0, len(places), every):
        sheet.picture(states[i], states[i], *places[i], side)


class Placing:
    """Points in mm to pixels: to scale, as large as fits, amid the area."""

    def __init__(self, points: Sequence[Point], area: Area) -> None:
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        wide, high = max(xs) - min(xs), max(ys) - min(ys)
        self.scale = min(area.width / wide if wide else 1e9, area.height / high if high else 1e9)
        self._x = area.x + (area.width - wide * self.scale) / 2 - min(xs) * self.scale
        self._y = area.y + (area.height - high * self.scale) / 2 - min(ys) * self.scale

    def __call__(self, point: Point) -> Point:
        """Where a point lies on the screen."""
        return self._x + point[0] * self.scale, self._y + point[1] * self.scale


def _polyline(sheet: Sheet, role: str, places: list[Point], width_mm: float) -> None:
    for (x0, y0), (x1, y1) in itertools.pairwise(places):
        sheet.slanted(role, x0, y0, x1, y1, sheet.px * width_mm)


def _apart(one: Point, other: Point) -> float:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))


class OutlineView(Widget):
    """outline : what to draw, or None."""

    outline: Outline | None = ObjectProperty(None, allownone=True)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._drawing = InstructionGroup()
        self.canvas.add(self._drawing)
        for name in ("pos", "size", "outline"):
            self.fbind(name, self.redraw)
        look.follow(palette=self.redraw, px_per_mm=self.redraw)

    def redraw(self, *_: Any) -> None:
        """Draw everything anew."""
        sheet = Sheet(look.px_per_mm, measured)
        if self.outline is not None and min(self.size) > NARROWEST_PX:
            draw_outline(sheet, self.outline, Area(self.x, self.y, self.width, self.height))
        paint(self._drawing, sheet)
