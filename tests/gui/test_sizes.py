"""Real millimetres: text height, density from a ruler and from the display's own description."""

from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from kivy import kivy_data_dir

from shopapp import sizes


def test_heights_are_those_of_the_font() -> None:
    """Share of capitals and lines in the font's own tables (OS/2 sCapHeight, hhea ascent and descent)."""
    font = TTFont(Path(kivy_data_dir) / "fonts" / "Roboto-Regular.ttf")
    em = font["head"].unitsPerEm
    assert font["OS/2"].sCapHeight / em == sizes.CAPITAL_OF_EM
    assert (font["hhea"].ascent - font["hhea"].descent) / em == sizes.LINE_OF_EM


def test_text_of_five_millimetres_is_five_millimetres_high() -> None:
    """A capital E drawn at 5 mm covers 5 mm of the screen, within a pixel."""
    from kivy.core.text import Label
    from kivy.core.window import Window  # a texture needs its drawing context

    assert Window is not None
    px_per_mm = 6.0
    label = Label(text="E", font_size=sizes.font_px(5.0, px_per_mm), font_name="Roboto")
    label.refresh()
    width, _ = label.texture.size
    alpha = label.texture.pixels[3::4]
    rows = [max(alpha[i : i + width]) > 127 for i in range(0, len(alpha), width)]
    assert sum(rows) == pytest.approx(5.0 * px_per_mm, abs=1.0)


def test_density_from_a_ruler() -> None:
    """A line of 200 px that measures 50 mm: 4 px a millimetre."""
    assert sizes.dpi_from_ruler(200, 50) == pytest.approx(101.6)
    for wrong in (0.0, -3.0, 1e6):
        with pytest.raises(ValueError, match="cannot be"):
            sizes.dpi_from_ruler(200, wrong)


def test_density_from_the_displays_description(tmp_path: Path) -> None:
    """First detailed timing: 1280 px over 217 mm (VESA E-EDID 1.4, table 3.21, from memory)."""
    block = bytearray(128)
    block[:8] = b"\x00\xff\xff\xff\xff\xff\xff\x00"
    block[54:56] = (7000).to_bytes(2, "little")
    block[56], block[58] = 1280 & 0xFF, (1280 >> 8) << 4
    block[66], block[68] = 217, 0
    assert sizes.dpi_from_edid(bytes(block)) == pytest.approx(1280 / 217 * 25.4)
    assert sizes.dpi_from_edid(b"short") is None
    assert sizes.dpi_from_edid(bytes(128)) is None
    (tmp_path / "card0-DSI-1").mkdir()
    (tmp_path / "card0-DSI-1" / "edid").write_bytes(bytes(block))
    assert sizes.found_dpi(tmp_path) == pytest.approx(149.8, abs=0.1)


def test_density_from_the_environment_comes_first(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """KIVY_DPI is taken as it is; with nothing known the system is asked."""
    assert sizes.found_dpi(tmp_path) is None
    monkeypatch.setenv("KIVY_DPI", "227")
    assert sizes.found_dpi(tmp_path) == 227.0
