"""A piece of text in a rectangle: wrapped between words, at the largest of its sizes that fits."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Rectangle
from kivy.properties import BooleanProperty, ListProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from shopapp.sizes import CLOSE_MM
from shopapp.widgets.look import look
from shopapp.widgets.textures import broken, lines_size, texture, wrapped


class Words(Widget):
    """text; role : colour; sizes_mm : heights of capitals to try, largest first; align, upright : where in
    the rectangle; bold."""

    text = StringProperty("")
    role = StringProperty("ink")
    sizes_mm = ListProperty([CLOSE_MM])
    align = OptionProperty("left", options=("left", "center", "right"))
    upright = OptionProperty("middle", options=("top", "middle", "bottom"))
    bold = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**{"size": (0, 0), **kwargs})  # not drawn before it has a place
        with self.canvas:
            self._colour = Color()
            self._rectangle = Rectangle(size=(0, 0))
        redraw = self._redraw
        self.bind(text=redraw, sizes_mm=redraw, align=redraw, upright=redraw, bold=redraw)
        self.bind(pos=self._move, size=redraw, role=self._tint)
        look.follow(palette=self._tint, px_per_mm=redraw)
        self._tint()
        self._redraw()

    def height_for(self, width_px: float, capital_mm: float | None = None) -> float:
        """Height in pixels that the text takes at a width, at one of its sizes (none: the largest)."""
        size_px = look.font(capital_mm or self.sizes_mm[0])
        return lines_size(wrapped(self.text, width_px, size_px, self.bold), size_px, self.bold)[1]

    def width_for_one_line(self, capital_mm: float | None = None) -> float:
        """Width in pixels of the text on one line."""
        size_px = look.font(capital_mm or self.sizes_mm[0])
        return lines_size(tuple(self.text.split("\n")), size_px, self.bold)[0]

    def set_lines(self) -> tuple[tuple[str, ...], float, bool]:
        """Lines as set, font size in pixels, and whether they lie within the rectangle."""
        lines: tuple[str, ...] = ()
        size_px, fits = 0.0, False
        for capital_mm in self.sizes_mm:
            size_px = look.font(capital_mm)
            lines = wrapped(self.text, self.width, size_px, self.bold)
            wide, high = lines_size(lines, size_px, self.bold)
            fits = wide <= self.width + 1 and high <= self.height + 1
            if fits and not broken(self.text, self.width, size_px, self.bold):
                break
        return lines, size_px, fits

    def _tint(self, *_: Any) -> None:
        self._colour.rgba = look.rgba(self.role)

    def _redraw(self, *_: Any) -> None:
        if not self.text or self.width <= 0.0:
            self._rectangle.size = (0, 0)
            return
        lines, size_px, _fits = self.set_lines()
        drawn = texture(lines, size_px, self.bold, self.align)
        self._rectangle.texture = drawn
        self._rectangle.size = drawn.size
        self._move()

    def _move(self, *_: Any) -> None:
        wide, high = self._rectangle.size
        across = {"left": 0.0, "center": 0.5, "right": 1.0}[self.align]
        up = {"bottom": 0.0, "middle": 0.5, "top": 1.0}[self.upright]
        self._rectangle.pos = (
            round(self.x + across * (self.width - wide)),
            round(self.y + up * (self.height - high)),
        )
