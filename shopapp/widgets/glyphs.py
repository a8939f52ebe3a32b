"""Letters of a drawing as one mesh a colour and size: a strip full of numbers costs little."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from shopapp.widgets.look import look
from shopapp.widgets.sheet import Lettering
from shopapp.widgets.textures import extent, texture

LETTERS = (
    "0123456789.,+−-",
    "±×=:;/()%?!<>≤≥",
    "abcdefghijklm",
    "nopqrstuvwxyz",
    "ABCDEFGHIJKLM",
    "NOPQRSTUVWXYZ°…–",
)
APART = "   "
"""Between letters on the sheet, so that neighbours do not bleed into each other"""


@dataclass(frozen=True)
class Glyph:
    """Texture coordinates of the corners, and how far the next letter stands, in pixels."""

    left: float
    bottom: float
    right: float
    top: float
    width: float


@dataclass(frozen=True)
class Atlas:
    """texture; glyphs : letter to its place; height : of a line in pixels."""

    texture: Any
    glyphs: dict[str, Glyph]
    height: float


@lru_cache(maxsize=12)
def atlas(size_px: float) -> Atlas:
    """All letters at one font size."""
    lines = tuple(APART.join(line) for line in LETTERS)
    drawn = texture(lines, size_px)
    wide, high = drawn.size
    row = high / len(lines)
    u0, v0 = drawn.tex_coords[6:8]
    du, dv = drawn.tex_coords[2] - u0, drawn.tex_coords[1] - v0
    glyphs: dict[str, Glyph] = {}
    for r, line in enumerate(LETTERS):
        for i, letter in enumerate(line):
            x0 = extent(APART.join(line[:i]) + APART, size_px) if i else 0.0
            width = extent(letter, size_px)
            glyphs[letter] = Glyph(
                u0 + du * x0 / wide,
                v0 + dv * (r + 1) * row / high,
                u0 + du * (x0 + width) / wide,
                v0 + dv * r * row / high,
                width,
            )
    return Atlas(drawn, glyphs, row)


def measured(text: str, capital_mm: float) -> float:
    """Width in pixels of a text set from the atlas. Raises KeyError for a letter that it lacks."""
    glyphs = atlas(look.font(capital_mm)).glyphs
    return sum(_advance(glyphs, letter) for letter in text)


def letter_meshes(pieces: list[Lettering]) -> list[tuple[Any, list[float], list[int]]]:
    """(texture, vertices x y u v, indices) for each size of text among the pieces."""
    by_size: dict[float, list[Lettering]] = {}
    for piece in pieces:
        by_size.setdefault(piece.capital_mm, []).append(piece)
    return [_mesh(atlas(look.font(capital_mm)), found) for capital_mm, found in by_size.items()]


def _mesh(sheet: Atlas, pieces: list[Lettering]) -> tuple[Any, list[float], list[int]]:
    vertices: list[float] = []
    for piece in pieces:
        x, y = round(piece.x), round(piece.y - sheet.height / 2)
        top = y + sheet.height
        for letter in piece.text:
            if letter != " ":
                g = sheet.glyphs[letter]
                end = x + g.width
                vertices += (x, y, g.left, g.bottom, end, y, g.right, g.bottom)
                vertices += (end, top, g.right, g.top, x, top, g.left, g.top)
            x += _advance(sheet.glyphs, letter)
    quads = range(0, len(vertices) // 4, 4)
    return sheet.texture, vertices, [q + k for q in quads for k in (0, 1, 2, 0, 2, 3)]


def _advance(glyphs: dict[str, Glyph], letter: str) -> float:
    return glyphs["a"].width * 0.45 if letter == " " else glyphs[letter].width
