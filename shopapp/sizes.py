"""Real millimetres: sizes of keys and text, and where the screen's density comes from. No kivy here.

Text heights are heights of digits and capitals, as a reader at arm's length needs them.
"""

from __future__ import annotations

import os
from pathlib import Path

MM_PER_INCH = 25.4
KEY_MM, NUMBER_KEY_MM, MAIN_KEY_MM = 18.0, 20.0, 20.0
HEADER_MM, GAP_MM = 12.0, 2.0
COUNTS_MM, ARM_MM, CLOSE_MM = 7.0, 5.0, 3.5
"""Height of the number that counts, of what is read at arm's length, and of what is read close up"""

CAPITAL_OF_EM = 1456 / 2048
"""Height of a capital in Roboto as a share of the font size (its OS/2 table, sCapHeight / unitsPerEm)"""

LINE_OF_EM = 2400 / 2048
"""Height of a line in Roboto as a share of the font size (its hhea table)"""

RULER_MM = 50.0
"""Length of the line that is held against a ruler; it fits the narrowest screen"""


def font_px(capital_mm: float, px_per_mm: float) -> float:
    """Font size in pixels that gives capitals this high."""
    return capital_mm / CAPITAL_OF_EM * px_per_mm


def line_mm(capital_mm: float) -> float:
    """Height of one line of text with capitals this high."""
    return capital_mm / CAPITAL_OF_EM * LINE_OF_EM


def dpi_from_ruler(drawn_px: float, measured_mm: float) -> float:
    """Density of a screen on which a line of so many pixels measures so many millimetres.

    Raises ValueError when the result is no density of a screen (30 to 1000 dots per inch).
    """
    dpi = drawn_px / measured_mm * MM_PER_INCH if measured_mm > 0 else 0.0
    if not 30.0 <= dpi <= 1000.0:
        raise ValueError(f"a line of {drawn_px:.0f} pixels cannot be {measured_mm:g} mm long")
    return dpi


def dpi_from_edid(block: bytes) -> float | None:
    """Density from a display's own description, or None when it does not say.

    The first detailed timing (bytes 54 to 71) holds pixels and millimetres across
    (VESA Enhanced EDID standard, 3.10.2).
    """
    if len(block) < 128 or block[:8] != b"\x00\xff\xff\xff\xff\xff\xff\x00":
        return None
    timing = block[54:72]
    pixels = timing[2] | (timing[4] & 0xF0) << 4
    millimetres = timing[12] | (timing[14] & 0xF0) << 4
    if timing[0] == timing[1] == 0 or not pixels or not millimetres:
        return None
    return pixels / millimetres * MM_PER_INCH


def found_dpi(displays: Path = Path("/sys/class/drm")) -> float | None:
    """Density from the environment (KIVY_DPI) or from the display itself; None: ask the system."""
    if os.environ.get("KIVY_DPI"):
        return float(os.environ["KIVY_DPI"])
    for path in sorted(displays.glob("*/edid")):
        dpi = dpi_from_edid(path.read_bytes())
        if dpi:
            return dpi
    return None
