"""One key: acts when the finger leaves it, shows that it is pressed, needs nothing but one touch."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Mesh, Rectangle
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from shopapp.sizes import ARM_MM, CLOSE_MM, COUNTS_MM
from shopapp.widgets.icons import mesh_of
from shopapp.widgets.look import look
from shopapp.widgets.words import Words

SLIP_MM = 4.0
"""A gloved finger may roll this far off the key and it still counts (common practice, no source)."""

SEEN_PRESSED_S = 0.09
PAD_MM, EDGE_MM, ICON_MM, BESIDE_TEXT_MM = 1.2, 0.5, 8.0, 6.0
FOCUS_INSET_MM, FOCUS_MM = 1.0, 0.8


class Key(Widget):
    """name : handed to whoever listens; text; icon : name of a picture beside or instead of the text;
    main : do this next; number : text as large as what counts; chosen : on; enabled; why : reason
    when off."""

    __events__ = ("on_touched",)
    name = StringProperty("")
    text = StringProperty("")
    icon = StringProperty("")
    why = StringProperty("")
    main = BooleanProperty(False)
    number = BooleanProperty(False)
    chosen = BooleanProperty(False)
    enabled = BooleanProperty(True)
    pressed = BooleanProperty(False)
    focused = BooleanProperty(False)
    icon_mm = NumericProperty(ICON_MM)

    def __init__(self, **kwargs: Any) -> None:
        self._words = Words(align="center")
        self._let_go = Clock.create_trigger(self._look_released, SEEN_PRESSED_S)
        super().__init__(**{"size": (0, 0), **kwargs})
        with self.canvas:
            self._edge_colour, self._edge = Color(), Mesh(mode="triangles")
            self._fill_colour, self._fill = Color(), Rectangle()
            self._icon_colour, self._icon = Color(), Mesh(mode="triangles")
            self._focus_colour, self._focus = Color(), Mesh(mode="triangles")
        self.add_widget(self._words)
        for name in ("pos", "size", "text", "icon", "main", "number", "icon_mm"):
            self.fbind(name, self._place)
        for name in ("pressed", "chosen", "enabled", "main", "focused"):
            self.fbind(name, self._paint)
        look.follow(palette=self._paint, px_per_mm=self._place)
        self._place()
        self._paint()

    def on_touched(self) -> None:
        """The key was touched and let go, or pressed from the keyboard."""

    def press(self) -> None:
        """Do what a touch does."""
        self.pressed = True
        self._let_go()
        self.dispatch("on_touched")

    def on_touch_down(self, touch: Any) -> bool:
        """Take the touch; a second finger or a click of another button on the same key is ignored."""
        if not self.collide_point(*touch.pos) or self.opacity == 0:
            return False
        if getattr(touch, "button", "left") not in (None, "left") or (self.pressed and self._held()):
            return True
        touch.grab(self)
        self._let_go.cancel()
        self.pressed = True
        return True

    def on_touch_up(self, touch: Any) -> bool:
        """Act when the finger leaves while on the key; slipping off takes it back."""
        if touch.grab_current is not self:
            return False
        touch.ungrab(self)
        slip = look.px(SLIP_MM)
        on_key = self.x - slip <= touch.x <= self.right + slip and self.y - slip <= touch.y <= self.top + slip
        if on_key:
            self.dispatch("on_touched")
        self._let_go()
        return True

    def _held(self) -> bool:
        return not self._let_go.is_triggered

    def _look_released(self, *_: Any) -> None:
        self.pressed = False

    def words_fit(self) -> bool:
        """Whether the text lies within the key."""
        return not self.text or self._words.set_lines()[2]

    def natural_width(self, lines: int = 2) -> float:
        """Width in pixels that holds the text in so many lines, close-up size."""
        size = look.font(self.sizes_mm()[-1])
        return _width_in_lines(self.text, size, lines) + 2 * look.px(PAD_MM) + 2

    def sizes_mm(self) -> list[float]:
        """Text heights that this key may use."""
        if self.number:
            return [COUNTS_MM, ARM_MM, CLOSE_MM]
        return [ARM_MM, CLOSE_MM] if self.main else [CLOSE_MM]

    def _place(self, *_: Any) -> None:
        edge = max(1.0, look.px(EDGE_MM))
        self._edge.vertices, self._edge.indices = _frame(self.x, self.y, self.right, self.top, edge)
        self._fill.pos = (self.x + edge, self.y + edge)
        self._fill.size = (self.width - 2 * edge, self.height - 2 * edge)
        self._place_focus()
        pad, side = look.px(PAD_MM), look.px(self.icon_mm) if self.icon else 0.0
        if self.icon and self.text:
            side = look.px(min(self.icon_mm, BESIDE_TEXT_MM))
        words = self._words
        words.bold = self.main or self.number
        words.sizes_mm = self.sizes_mm()
        above = bool(self.icon and self.text) and self.width < side + look.px(24)
        beside = side + pad if self.icon and self.text and not above else 0.0
        words.pos = (self.x + pad + beside, self.y)
        words.size = (self.width - 2 * pad - beside, self.height - (side + pad if above else 0))
        words.text = self.text
        if above and not words.set_lines()[2]:  # two lines of text leave no room for the picture
            words.size = (self.width - 2 * pad, self.height)
            side = 0.0
        self._place_icon(side, pad, above)

    def _place_focus(self) -> None:
        """A frame inside the edge; nothing without the focus, as even what cannot be seen is filled."""
        if not self.focused:
            self._focus.vertices, self._focus.indices = [], []
            return
        inset = look.px(FOCUS_INSET_MM)
        box = (self.x + inset, self.y + inset, self.right - inset, self.top - inset)
        self._focus.vertices, self._focus.indices = _frame(*box, look.px(FOCUS_MM))

    def _place_icon(self, side: float, pad: float, above: bool) -> None:
        if not self.icon or not side:
            self._icon.vertices, self._icon.indices = [], []
            return
        x = self.x + 2 * pad if self.text and not above else self.center_x - side / 2
        y = self.top - pad - side if above else self.center_y - side / 2
        self._icon.vertices, self._icon.indices = mesh_of(self.icon, x, y, side)

    def _paint(self, *_: Any) -> None:
        fill, ink, edge = _paint_of(self.pressed, self.main, self.chosen, self.enabled)
        self._fill_colour.rgba = look.rgba(fill)
        self._edge_colour.rgba = look.rgba(edge)
        self._icon_colour.rgba = look.rgba(ink)
        self._words.role = ink
        self._focus_colour.rgba = look.rgba(ink)
        self._place_focus()


def _frame(x0: float, y0: float, x1: float, y1: float, width: float) -> tuple[list[float], list[int]]:
    """Vertices (x, y, u, v in turn) and indices of an outline: cheaper to fill than what it encloses."""
    outer = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    inner = (
        (x0 + width, y0 + width),
        (x1 - width, y0 + width),
        (x1 - width, y1 - width),
        (x0 + width, y1 - width),
    )
    vertices = [c for x, y in (*outer, *inner) for c in (x, y, 0.0, 0.0)]
    sides = ((i, (i + 1) % 4) for i in range(4))
    return vertices, [k for i, j in sides for k in (i, j, j + 4, i, j + 4, i + 4)]


def _paint_of(pressed: bool, main: bool, chosen: bool, enabled: bool) -> tuple[str, str, str]:
    """Roles of fill, text and edge."""
    if not enabled:
        return "ground", "quiet", "band"
    if main:
        return ("ground", "ink", "ink") if pressed else ("go", "on_go", "ink")
    if pressed or chosen:
        return "ink", "ground", "ink"
    return "panel", "ink", "rule"


def _width_in_lines(text: str, size_px: float, lines: int) -> float:
    """Narrowest width, among the sums of neighbouring words, that sets the text in so many lines."""
    from shopapp.widgets.textures import extent, wrapped

    words = text.replace("\n", " ").split(" ")
    widths = sorted(
        {
            extent(" ".join(words[i:j]), size_px)
            for i in range(len(words))
            for j in range(i + 1, len(words) + 1)
        }
    )
    for width in widths:
        set_lines = wrapped(text, width + 0.5, size_px)
        if len(set_lines) <= lines and max(extent(line, size_px) for line in set_lines) <= width + 0.5:
            return width
    return widths[-1]
