"""Which screen is shown: one at a time, made on its first visit, kept afterwards."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from kivy.core.window import Window
from kivy.uix.widget import Widget

from shopapp.widgets.look import look

Make = Callable[[Callable[[str], None]], Any]
"""Takes what a screen calls to go elsewhere, gives the screen"""


class Navigation(Widget):
    """makers : screen's name to what makes it; after : called whenever a screen has shown a view."""

    def __init__(self, makers: Mapping[str, Make], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._makers = makers
        self.screens: dict[str, Any] = {}
        self.name = ""
        self.bind(pos=self._fit, size=self._fit)
        look.follow(palette=self._fit)
        self._fit()

    @property
    def screen(self) -> Any:
        """The screen that is shown."""
        return self.screens[self.name]

    def go(self, name: str) -> None:
        """Show a screen by its name. Raises KeyError for one that there is not."""
        if name not in self.screens:
            self.screens[name] = self._makers[name](self.go)
        if self.name:
            self.screen.leave()
            self.remove_widget(self.screen)
        came_from, self.name = self.name, name
        self.add_widget(self.screen)
        self._fit()
        if came_from != name:
            self.screen.came_from = came_from
        self.screen.open()

    def _fit(self, *_: Any) -> None:
        Window.clearcolor = look.rgba("ground")  # cheaper than a rectangle over everything
        if self.name:
            self.screen.pos, self.screen.size = self.pos, self.size
