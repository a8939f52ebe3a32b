"""Keys to type with on the screen, for fields that take letters or numbers. No kivy here."""

from __future__ import annotations

from shopapp.presenters.pieces import Key

DIGITS = ("7", "8", "9", "4", "5", "6", "1", "2", "3", "0", ".", "-")
LETTERS = "abcdefghijklmnopqrstuvwxyz"
ERASE, DONE, NEXT = "erase", "enter", "enter"


def number_keys(enter: str, units: tuple[str, ...]) -> tuple[Key, ...]:
    """A desk calculator's digits, point and minus.

    enter : text of the key that takes the number; units : that may stand after it
    """
    digits = tuple(Key(f"digit:{c}", "−" if c == "-" else c) for c in DIGITS)
    more = tuple(Key(f"unit: {unit}", unit) for unit in units)
    return (*digits, Key(ERASE, ""), *more, Key(DONE, enter, main=True))


def letter_keys(enter: str, capital: bool) -> tuple[Key, ...]:
    """Letters, then digits and signs; capital : as the next letter will be written."""
    letters = tuple(
        Key(f"letter:{c.upper() if capital else c}", c.upper() if capital else c) for c in LETTERS
    )
    rest = tuple(Key(f"letter:{c}", c) for c in "0123456789.,-/")
    return (*letters, Key("unit: ", "space"), *rest, Key(ERASE, ""), Key(DONE, enter, main=True))
