"""Colours for a bright and for a dim shop, with the contrast that proves them. No kivy here."""

from __future__ import annotations

from dataclasses import dataclass, fields

RGBA = tuple[float, float, float, float]


@dataclass(frozen=True)
class Palette:
    """Six hex digits each.

    ground, panel, band : what text stands on; ink, quiet : text; rule : thin lines;
    go, on_go : the key to touch next and its text;
    ok, over, under, todo : states, always with their own shape as well
    """

    name: str
    ground: str
    panel: str
    band: str
    ink: str
    quiet: str
    rule: str
    go: str
    on_go: str
    ok: str
    over: str
    under: str
    todo: str

    def rgba(self, role: str) -> RGBA:
        """Red, green, blue, opacity, 0 to 1, of a role; "plain" is the ink."""
        return _rgba(self.ink if role == "plain" else getattr(self, role))

    def roles(self) -> dict[str, str]:
        """Role to hex digits."""
        return {f.name: getattr(self, f.name) for f in fields(self) if f.name != "name"}


BRIGHT = Palette(
    name="bright shop",
    ground="FFFFFF",
    panel="EEF0EC",
    band="E1E6DC",
    ink="14170F",
    quiet="3B4038",
    rule="6D7468",
    go="06472B",
    on_go="FFFFFF",
    ok="3F0FC2",
    over="812C12",
    under="611D70",
    todo="14170F",
)
DIM = Palette(
    name="dim shop",
    ground="0D1110",
    panel="181E1B",
    band="222C27",
    ink="F2F5EF",
    quiet="C4CCC5",
    rule="8B968E",
    go="F4E36A",
    on_go="14170F",
    ok="97C0F3",
    over="F0AE8F",
    under="52F04A",
    todo="F2F5EF",
)
PALETTES = {p.name: p for p in (BRIGHT, DIM)}


def luminance(colour: str) -> float:
    """Relative luminance of six hex digits, 0 to 1 (WCAG 2.1, definition of relative luminance)."""
    red, green, blue = (_linear(int(colour[i : i + 2], 16) / 255.0) for i in (0, 2, 4))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 to 21 (WCAG 2.1, definition of contrast ratio)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def _rgba(colour: str) -> RGBA:
    red, green, blue = (int(colour[i : i + 2], 16) / 255.0 for i in (0, 2, 4))
    return red, green, blue, 1.0
