"""Screens that the app is laid out for, and what can be measured on them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Any

MM_PER_INCH = 25.4


@dataclass(frozen=True)
class Screen:
    """A tablet's screen: size in pixels, dots an inch."""

    size_px: tuple[int, int]
    dpi: float

    @property
    def turned(self) -> Screen:
        """The same tablet held the other way."""
        return Screen((self.size_px[1], self.size_px[0]), self.dpi)


# Densities from the diagonals in inches (7, 10.1, 13.3) of screens with these pixels.
SIZES = {
    "7 inch": Screen((1024, 600), 169.5),
    "10 inch": Screen((1280, 800), 149.5),
    "13 inch": Screen((2560, 1600), 227.0),
}
HELD = {
    **{f"{name}, landscape": screen for name, screen in SIZES.items()},
    **{f"{name}, portrait": screen.turned for name, screen in SIZES.items()},
}


def complaints_of(driver: Any) -> list[str]:
    """Everything on the screen that is too small, cut, hidden, or on top of something else."""
    from shopapp.widgets.key import Key
    from shopapp.widgets.look import look
    from shopapp.widgets.words import Words

    keys = [k for k in driver.widgets(Key) if k.opacity and k.width > 0]
    words = [w for w in driver.widgets(Words) if w.text and w.width > 0]
    found = [*_small_keys(keys, look.px_per_mm), *_off_screen([*keys, *words], driver.size_px)]
    found += [f"keys {a.name!r} and {b.name!r} overlap" for a, b in combinations(keys, 2) if _overlap(a, b)]
    found += _bad_words(words, look)
    found += [f"key {k.name!r} breaks a word: {_lines(k)}" for k in keys if k.text and _broken(k)]
    found += list(_covered(words, keys))
    return found


def main_key(driver: Any) -> Any:
    """The key to touch next, or None."""
    return next((key for key in _plain_keys(driver) if key.main), None)


def about_main_key(driver: Any) -> list[str]:
    """What is wrong with the main key's place and size, where there is one."""
    keys = _plain_keys(driver)
    main = [key for key in keys if key.main]
    if not main:
        return []
    found = [f"{len(main)} main keys"] if len(main) > 1 else []
    if abs(main[0].right - driver.size_px[0]) > 1.5 or main[0].y > 1.5:
        found.append(f"main key {main[0].name!r} is not at the lower right")
    largest = max(keys, key=lambda key: key.width * key.height)
    if main[0].width * main[0].height < 0.99 * largest.width * largest.height:
        found.append(f"key {largest.name!r} is larger than the main key {main[0].name!r}")
    return found


def _plain_keys(driver: Any) -> list[Any]:
    """Keys that are not rows of a list or cards."""
    from shopapp.widgets.card import CardKey
    from shopapp.widgets.field_row import FieldRow
    from shopapp.widgets.key import Key

    return [k for k in driver.widgets(Key) if k.width > 0 and not isinstance(k, CardKey | FieldRow)]


def _small_keys(keys: list[Any], px_per_mm: float) -> Iterator[str]:
    for key in keys:
        least = 20.0 if key.number else 18.0
        across, high = key.width / px_per_mm, key.height / px_per_mm
        if min(across, high) < least - 0.05:
            yield f"key {key.name!r} is {across:.1f} x {high:.1f} mm, {least} mm wanted"


def _off_screen(widgets: list[Any], size_px: tuple[int, int]) -> Iterator[str]:
    for widget in widgets:
        x, y = widget.to_window(widget.x, widget.y)
        if x < -1 or y < -1 or x + widget.width > size_px[0] + 1 or y + widget.height > size_px[1] + 1:
            yield f"{_named(widget)} reaches off the screen: {x:.0f} {y:.0f} {widget.size}"


def _bad_words(words: list[Any], look: Any) -> Iterator[str]:
    smallest = look.font(3.5)
    for word in words:
        _lines, size_px, fits = word.set_lines()
        if not fits:
            yield f"text {word.text!r} does not fit into {word.width:.0f} x {word.height:.0f} px"
        if size_px < smallest - 0.01:
            yield f"text {word.text!r} is lower than 3.5 mm"


def _lines(key: Any) -> tuple[str, ...]:
    lines: tuple[str, ...] = key._words.set_lines()[0]
    return lines


def _broken(key: Any) -> bool:
    return " ".join(_lines(key)) != key.text.replace("\n", " ")


def _covered(words: list[Any], keys: list[Any]) -> Iterator[str]:
    """Text under a key that is not its own, or over another text."""
    for word in words:
        for key in keys:
            if word not in list(key.walk()) and _overlap(word, key):
                yield f"text {word.text!r} and key {key.name!r} overlap"
    for a, b in combinations(words, 2):
        if _overlap(a, b):
            yield f"texts {a.text!r} and {b.text!r} overlap"


def _overlap(a: Any, b: Any) -> bool:
    slack = 1.0
    ax, ay = a.to_window(a.x, a.y)
    bx, by = b.to_window(b.x, b.y)
    apart = (
        ax + a.width <= bx + slack
        or bx + b.width <= ax + slack
        or ay + a.height <= by + slack
        or by + b.height <= ay + slack
    )
    return not apart


def _named(widget: Any) -> str:
    return repr(getattr(widget, "name", "") or getattr(widget, "text", ""))
