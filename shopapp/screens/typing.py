"""Screens with fields that are typed into one at a time, by keys on the screen or a keyboard."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopapp.areas import Area
from shopapp.presenters.pieces import Key
from shopapp.presenters.views import LENGTHS
from shopapp.screens.base import Screen
from shopapp.screens.placing import margined
from shopapp.widgets.entry_keys import letter_keys, number_keys

SIGNS = "0123456789.,-+"
"""what a number begins with"""


class TypingScreen(Screen):
    """``field`` : name of the field that is typed into, "" for none. The text itself is the presenter's.
    ``anew`` : it was just opened and takes a number, which takes the place of the one that is there."""

    typed_text = True

    def __init__(self, **kwargs: Any) -> None:
        self.field = ""
        self.anew = False
        super().__init__(**kwargs)

    def open(self) -> None:
        """The screen is shown, no field chosen."""
        self.field = ""
        super().open()

    def choose(self, field: str) -> None:
        """Type into this field from now on; "" ends typing."""
        self._begin(field)
        self.pages.page = 0
        self.take(self.presenter.view())

    def end_typing(self) -> None:
        """No field is typed into; what is shown then is still to be laid out."""
        self._begin("")

    def _begin(self, field: str) -> None:
        self.field, self.anew = field, self.is_number(field)
        self.keys.page = 0

    def write(self, text: str) -> None:
        """Put a text into the field."""
        self.anew = False
        self.take(self.presenter.change(self.field, text))

    def typed(self, text: str) -> None:
        """Letters from a keyboard or from keys on the screen; with no field chosen they go to the first."""
        if not self.field:
            first = self.fields_in_order()
            if not first:
                return
            self._begin(first[0])
        value = self.value_of(self.field)
        if self.anew and text[0] in SIGNS:
            value = ""
        self.write(value[:-1] if text == "\b" else value + text)

    def turn_sign(self) -> None:
        """The minus key turns the sign of a figure, whether it is touched before the digits or after them."""
        value = self.value_of(self.field)
        self.write(value[1:] if value.startswith("-") else f"-{value}")

    def enter(self) -> None:
        """Enter: on to the next field; after the last one typing ends."""
        if not self.field:
            super().enter()
            return
        order = self.fields_in_order()
        at = order.index(self.field) + 1 if self.field in order else len(order)
        self.choose(order[at] if at < len(order) else "")

    def back(self) -> None:
        """The back key, or Escape, ends typing before it leaves the screen."""
        if self.field:
            self.choose("")
        else:
            super().back()

    def press(self, name: str) -> None:
        """Keys that type are the screen's own."""
        verb, _, rest = name.partition(":")
        if self.field and name == "digit:-" and not self.anew:
            self.turn_sign()
        elif self.field and verb in ("letter", "digit", "unit"):
            self.typed(rest)
        elif self.field and verb == "erase":
            self.typed("\b")
        elif self.field and verb == "enter":
            self.enter()
        elif verb == "field":
            self.choose(rest)
        else:
            super().press(name)

    def typing_keys(self, kind: str, units: tuple[str, ...] = LENGTHS) -> tuple[Key, ...]:
        """Keys on the screen for a field of a kind, "number" or "text". units : that may follow a number"""
        order = self.fields_in_order()
        last = not order or self.field == order[-1]
        enter = "Done" if last else "Next"
        if kind == "number":
            return number_keys(enter, () if self.small else units)
        return letter_keys(enter, capital=not self.value_of(self.field))

    def lay_typing(self, area: Area, shape: str, blocks: Sequence[Any], data: Sequence[Key]) -> None:
        """The field and those beside it, and the block of keys."""
        digits = any(k.name.startswith("digit") for k in data)
        letters = any(k.name.startswith("letter") for k in data)
        content, keys = self.pad_areas(area, shape, letters)
        self.pages.lay(blocks, margined(content), first_only=True)
        main = self.pad_main(shape, digits, letters)
        self.keys.lay(data, keys, ("erase",), main)

    def fields_in_order(self) -> list[str]:
        """Names of the fields that can be typed into, in the order that Enter takes."""
        return []

    def value_of(self, field: str) -> str:
        """What a field holds now."""
        return ""

    def is_number(self, field: str) -> bool:
        """Whether a field takes a figure; the next one then takes the place of what it holds."""
        return False
