"""A screen driven by a keyboard: Tab and arrows move a focus over its keys, Enter presses one."""

from __future__ import annotations

from typing import Any

from shopapp import typing_gauge
from shopapp.widgets.key import Key


class ByKeyboard:
    """Mixed into screens, which have a presenter, a view, and ways to go back and elsewhere."""

    presenter: Any
    navigate: Any
    view: Any
    take: Any
    back: Any
    walk: Any
    typed_text: bool
    _focus = ""

    def typed(self, text: str) -> None:
        """Characters from a keyboard or a gauge."""
        if self.typed_text:
            self.take(self.presenter.typed(text))

    def act(self, action: str) -> None:
        """A key of the keyboard that writes nothing."""
        if action == typing_gauge.BACK:
            self.back()
        elif action == typing_gauge.HELP:
            self.navigate("cautions")
        elif action == typing_gauge.ENTER:
            self.enter()
        elif action == typing_gauge.ERASE:
            self.typed("\b")
        elif action in (typing_gauge.FORWARD, typing_gauge.DOWN, typing_gauge.RIGHT):
            self._move_focus(1)
        elif action in (typing_gauge.BACKWARD, typing_gauge.UP, typing_gauge.LEFT):
            self._move_focus(-1)

    def enter(self) -> None:
        """Enter: what was typed, else the key that has the focus, else the main key."""
        if self.typed_text and getattr(self.view, "entry", ""):
            self.take(self.presenter.typed("\n"))
            return
        found = [k for k in self._touchable() if k.name == self._focus] or [
            k for k in self._touchable() if k.main
        ]
        if found:
            self._focus = ""
            found[0].press()

    def _touchable(self) -> list[Key]:
        """Keys on the screen in reading order."""
        keys = [w for w in self.walk(restrict=True) if isinstance(w, Key) and w.opacity and w.width > 0]
        return sorted(keys, key=lambda k: (-round(k.top), k.x))

    def _move_focus(self, step: int) -> None:
        names = [k.name for k in self._touchable()]
        if names:
            at = names.index(self._focus) + step if self._focus in names else (0 if step > 0 else -1)
            self._focus = names[at % len(names)]
            self._show_focus()

    def _show_focus(self) -> None:
        for key in self._touchable():
            key.focused = bool(self._focus) and key.name == self._focus
