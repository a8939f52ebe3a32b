"""A screen driven by a keyboard: Tab and arrows move a focus over its keys, Enter presses one.

Without a focus Enter takes what was typed, else presses the main key. Whatever is typed takes the focus
away, so that a gauge that types digits and Enter never presses a key that somebody left the focus on.
"""

from __future__ import annotations

from collections import Counter
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
    tap: Any
    typed_text: bool
    stations_by_arrows = False
    """True where the left and right arrows go to the station beside"""
    _focus: tuple[str, int] | None = None
    """Name of the key, and how many of that name come before it; None for no focus"""

    def write_character(self, text: str) -> None:
        """A character from a keyboard or a gauge."""
        self.lose_focus()
        self.typed(text)

    def typed(self, text: str) -> None:
        """Characters for a field, from wherever they come."""
        if self.typed_text:
            self.take(self.presenter.typed(text))

    def act(self, action: str) -> None:
        """A key of the keyboard that writes nothing."""
        station = self._station_beside(action)
        if action == typing_gauge.BACK:
            self.back()
        elif action == typing_gauge.HELP:
            self.navigate("cautions")
        elif action == typing_gauge.MAIN:
            self._press_main()
        elif action == typing_gauge.ENTER:
            if not self._press_focused():
                self.enter()
        elif action == typing_gauge.ERASE:
            self.write_character("\b")
        elif station is not None:
            self.tap(station)
        elif action in (typing_gauge.FORWARD, typing_gauge.DOWN, typing_gauge.RIGHT):
            self._move_focus(1)
        elif action in (typing_gauge.BACKWARD, typing_gauge.UP, typing_gauge.LEFT):
            self._move_focus(-1)

    def enter(self) -> None:
        """Enter, with the focus nowhere: what was typed, else the main key."""
        if self.typed_text and getattr(self.view, "entry", ""):
            self.take(self.presenter.typed("\n"))
        else:
            self._press_main()

    def lose_focus(self) -> None:
        """The focus is nowhere."""
        if self._focus is not None:
            self._focus = None
            self._show_focus()

    def _press_focused(self) -> bool:
        """Press the key that has the focus, which stays there while the key does; False when none has it."""
        found = None if self._focus is None else self._touchable().get(self._focus)
        if found is None:
            return False
        found.press()
        self._show_focus()
        return True

    def _press_main(self) -> None:
        found = [key for key in self._touchable().values() if key.main]
        if found:
            self.lose_focus()
            found[0].press()

    def _station_beside(self, action: str) -> int | None:
        """Station that an arrow leads to, None when it leads to none."""
        strip = getattr(self.view, "strip", None)
        if not self.stations_by_arrows or strip is None or strip.current is None:
            return None
        first, last = getattr(self.view, "edit_at", None) or (strip.current, strip.current)
        beside = {typing_gauge.LEFT: first - 1, typing_gauge.RIGHT: last + 1}.get(action, -1)
        return beside if 0 <= beside < len(strip.names) else None

    def _touchable(self) -> dict[tuple[str, int], Key]:
        """Keys on the screen in reading order, by name and how many of that name come before."""
        keys = [w for w in self.walk(restrict=True) if isinstance(w, Key) and w.opacity and w.width > 0]
        found: dict[tuple[str, int], Key] = {}
        count: Counter[str] = Counter()
        for key in sorted(keys, key=lambda k: (-round(k.top), k.x)):
            found[key.name, count[key.name]] = key
            count[key.name] += 1
        return found

    def _move_focus(self, step: int) -> None:
        places = list(self._touchable())
        if places:
            at = places.index(self._focus) + step if self._focus in places else (0 if step > 0 else -1)
            self._focus = places[at % len(places)]
            self._show_focus()

    def _show_focus(self) -> None:
        """Mark the key that has the focus; a key that is gone does not get it back with its name."""
        keys = self._touchable()
        if self._focus not in keys:
            self._focus = None
        for place, key in keys.items():
            key.focused = place == self._focus
