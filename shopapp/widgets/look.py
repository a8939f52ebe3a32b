"""The one place that widgets ask for colours and for pixels per millimetre; both can change while running."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from weakref import WeakMethod

from kivy.event import EventDispatcher
from kivy.metrics import Metrics, dp, mm, sp
from kivy.properties import NumericProperty, ObjectProperty

from shopapp.palette import BRIGHT, RGBA
from shopapp.sizes import MM_PER_INCH, font_px


class Look(EventDispatcher):
    """palette : colours in use; px_per_mm : density of the screen."""

    palette = ObjectProperty(BRIGHT)
    px_per_mm = NumericProperty(4.0)

    def __init__(self, **kwargs: Any) -> None:
        self._followers: dict[str, dict[WeakMethod[Callable[..., Any]], None]] = {}
        super().__init__(**kwargs)

    def follow(self, **methods: Callable[..., Any]) -> None:
        """Call these methods when the property of their name changes, for as long as their objects live.

        What ``bind`` does, but in the same time however many follow: that looks at all of them first, and
        every piece of text on every screen is one.
        """
        for name, method in methods.items():
            if name not in self._followers:
                self._followers[name] = {}
                self.fbind(name, self._tell, name)
            followers = self._followers[name]
            followers[WeakMethod(method, lambda gone, of=followers: of.pop(gone, None))] = None

    def _tell(self, name: str, *args: Any) -> None:
        for follower in [*self._followers[name]]:
            method = follower()
            if method is not None:
                method(*args)

    def use_density(self, dpi: float | None) -> None:
        """Lay out by this density, or by what the system says (None)."""
        # kivy reads its density wrongly until each kind of length was asked for once
        dp(1)
        sp(1)
        mm(1)
        if dpi:
            Metrics.dpi = dpi
        self.px_per_mm = float(Metrics.dpi) / MM_PER_INCH

    def px(self, length_mm: float) -> float:
        """Pixels of a length in mm."""
        return length_mm * self.px_per_mm

    def font(self, capital_mm: float) -> float:
        """Font size in pixels for capitals of a height in mm."""
        return font_px(capital_mm, self.px_per_mm)

    def rgba(self, role: str) -> RGBA:
        """Colour of a role in the palette in use."""
        colour: RGBA = self.palette.rgba(role)
        return colour


look = Look()
