"""How far texts stand out from what is really painted behind them, in both palettes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from shopapp.palette import PALETTES, contrast

Pixels = NDArray[np.uint8]
Box = tuple[float, float, float, float]
LEAST = 7.0
"""WCAG 2.1, success criterion 1.4.6"""

NEAR, SHARE = 48, 0.12
"""Difference of a channel within which a pixel has a colour; share of a text's box from which a colour behind
it counts: the edges of letters and thin lines have less"""


def weak_texts(driver: Any) -> list[str]:
    """Every text on the screen that stands out by less than 7:1 in a palette, or is not to be seen."""
    from shopapp.widgets.look import look

    kept, found = look.palette, []
    for palette in PALETTES.values():
        look.palette = palette
        driver.idle(2)
        pixels = painted(driver.size_px)
        found += [f"{text} in the {palette.name}" for text in _weak(pixels)]
    look.palette = kept
    driver.idle(2)
    return found


def painted(size_px: tuple[int, int]) -> Pixels:
    """(height, width, 3) what is on the screen, from the bottom up."""
    from kivy.graphics.opengl import GL_RGB, GL_UNSIGNED_BYTE, glPixelStorei, glReadPixels

    glPixelStorei(0x0D05, 1)  # GL_PACK_ALIGNMENT: rows without gaps
    width, height = size_px
    read = glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE)
    return np.frombuffer(read, np.uint8).reshape(height, width, 3)


def _weak(pixels: Pixels) -> Iterator[str]:
    for name, ink, box in texts_shown():
        x0, y0, x1, y1 = (max(0, round(v)) for v in box)
        inside = pixels[y0:y1, x0:x1].reshape(-1, 3).astype(int)
        if not len(inside):
            continue
        inked = np.all(np.abs(inside - ink) <= NEAR, axis=1)
        if not inked.any() or inked.all():
            yield f"{name} is not to be seen"
            continue
        behind = Counter(map(tuple, inside[~inked].tolist()))
        for colour, count in behind.most_common(3):
            apart = contrast(_hex(ink), _hex(colour))
            if count >= SHARE * len(inside) and apart < LEAST:
                yield f"{name} stands out by {apart:.1f}:1 from {_hex(colour)}"


def texts_shown() -> Iterator[tuple[str, NDArray[np.int_], Box]]:
    """Name, colour and box of every text: pieces of text whole, those of drawings letter by letter."""
    from kivy.core.window import Window

    from shopapp.widgets.words import Words

    shown = (w for child in Window.children for w in child.walk() if isinstance(w, Words))
    words = {id(w._rectangle): w for w in shown}
    yield from _below(Window.canvas, words, np.zeros(3, int))


def _below(group: Any, words: dict[int, Any], ink: NDArray[np.int_]) -> Iterator[Any]:
    from kivy.graphics import Color, InstructionGroup, Mesh

    for part in group.children:
        if isinstance(part, Color):
            ink = np.array([round(255 * v) for v in part.rgb])
        elif isinstance(part, InstructionGroup):
            yield from _below(part, words, ink)
        elif id(part) in words and min(part.size) > 0:
            (x, y), (wide, high) = words[id(part)].to_window(*part.pos), part.size
            yield repr(words[id(part)].text), ink, (x, y, x + wide, y + high)
        elif isinstance(part, Mesh) and any(part.vertices[2::4]):  # places in a texture: letters
            places = np.asarray(part.vertices).reshape(-1, 4, 4)[:, :, :2]
            for low, high in zip(places.min(axis=1), places.max(axis=1), strict=True):
                yield f"a letter at {low[0]:.0f}, {low[1]:.0f}", ink, (*low, *high)


def _hex(colour: Any) -> str:
    return "".join(f"{int(v):02X}" for v in colour)
