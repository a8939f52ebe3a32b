"""A drawing as PDF over sheets of paper in its true size, by the package fpdf2 (the extra "drawings").

Every sheet has its own field of the drawing and a little beyond it, crosses at the corners of the field that
lie on those of its neighbours, the names of the neighbours, and a scale of 100 mm to be held against a rule:
printers shrink pages where they are let.
"""

from __future__ import annotations

from typing import Any
from unicodedata import normalize

from core.drawing.lettering import Label
from core.drawing.paper import empty_pdf
from core.drawing.template import Drawing
from core.drawing.tiling import FOOT_MM, MARGIN_MM, OVERLAP_MM, Tile, Tiling, tiled

SCALE_MM, SCALE_STEP_MM = 100.0, 10.0
LINE_MM, FINE_MM = 0.2, 0.1
SMALL_MM = 2.5  # capitals of the foot
CAPITAL_PT = (
    72.0 / 25.4 / 0.72
)  # size of the font in points over the height of its capitals in mm (Helvetica)
GREY = 130
NEIGHBOURS = {(0, -1): "left", (0, 1): "right", (-1, 0): "above", (1, 0): "below"}


def pdf_bytes(drawing: Drawing, sheet: str = "A4") -> bytes:
    """The drawing over sheets of this name, of ``SHEETS``. Raises InputError, ``sheet``, for one that is not
    known or too small, ``form`` where fpdf2 is not installed."""
    tiling = tiled(drawing.cut, sheet)
    page = empty_pdf(tiling.page_mm)
    page.set_title(drawing.title)
    for count, tile in enumerate(tiling.tiles, start=1):
        page.add_page()
        _field(page, drawing, tiling, tile)
        _register(page, tiling)
        _joins(page, tiling, tile)
        _foot(page, drawing, tiling, f"sheet {count} of {len(tiling.tiles)}: {_place(tiling, tile)}")
    return bytes(page.output())


def _place(tiling: Tiling, tile: Tile) -> str:
    return f"{tile.name}, row {tile.row + 1} of {tiling.rows}, column {tile.column + 1} of {tiling.columns}"


def _field(page: Any, drawing: Drawing, tiling: Tiling, tile: Tile) -> None:
    """The stretch of the drawing that belongs on this sheet."""
    left, top = tiling.corner_mm
    width, height = tiling.field_mm
    x0, y0 = left - tile.low_mm[0], top + height + tile.low_mm[1]
    page.set_line_width(LINE_MM)
    box = (left - OVERLAP_MM, top - OVERLAP_MM, width + 2 * OVERLAP_MM, height + 2 * OVERLAP_MM)
    with page.rect_clip(*box):
        page.polygon([(x0 + x, y0 - y) for x, y in drawing.cut.tolist()])
        for (x1, y1), (x2, y2) in drawing.ticks.tolist():
            page.line(x0 + x1, y0 - y1, x0 + x2, y0 - y2)
        for label in drawing.labels:
            _written(page, label, x0, y0)


def _written(page: Any, label: Label, x0: float, y0: float) -> None:
    text = _latin(label.text)
    page.set_font("helvetica", size=label.height_mm * CAPITAL_PT)
    x, y = x0 + label.at_mm[0], y0 - label.at_mm[1]
    if label.centred:
        x, y = x - 0.5 * page.get_string_width(text), y + 0.5 * label.height_mm
    page.text(x, y, text)


def _register(page: Any, tiling: Tiling) -> None:
    """Crosses at the corners of the field, and its border."""
    left, top = tiling.corner_mm
    width, height = tiling.field_mm
    page.set_line_width(FINE_MM)
    for x in (left, left + width):
        for y in (top, top + height):
            page.line(x - OVERLAP_MM, y, x + OVERLAP_MM, y)
            page.line(x, y - OVERLAP_MM, x, y + OVERLAP_MM)
    page.set_draw_color(GREY)
    page.set_dash_pattern(dash=1.0, gap=2.0)
    page.rect(left, top, width, height)
    page.set_dash_pattern()
    page.set_draw_color(0)


def _joins(page: Any, tiling: Tiling, tile: Tile) -> None:
    """At each side the name of the sheet that follows there."""
    left, top = tiling.corner_mm
    width, height = tiling.field_mm
    page.set_font("helvetica", size=SMALL_MM * CAPITAL_PT)
    page.set_text_color(GREY)
    there = {(other.row, other.column): other.name for other in tiling.tiles}
    for (down, right), where in NEIGHBOURS.items():
        name = there.get((tile.row + down, tile.column + right))
        if name is None:
            continue
        text = f"joins {name} {where}"
        x, y = left + 0.5 * width * (1 + right), top + 0.5 * height * (1 + down)
        outward = 1.0 if (down, right) in ((0, 1), (1, 0)) else -1.0
        half = 0.5 * page.get_string_width(text)
        if right:
            with page.rotation(90, x, y):
                page.text(x - half, y + 0.5 * SMALL_MM + outward * 0.5 * OVERLAP_MM, text)
        else:
            page.text(x - half, y + 0.5 * SMALL_MM + outward * 0.5 * OVERLAP_MM, text)
    page.set_text_color(0)


def _foot(page: Any, drawing: Drawing, tiling: Tiling, place: str) -> None:
    """The check scale, and which sheet of what this is."""
    left, base = tiling.corner_mm[0], tiling.page_mm[1] - MARGIN_MM
    page.set_line_width(LINE_MM)
    y = base - 0.4 * FOOT_MM
    page.line(left, y, left + SCALE_MM, y)
    for k in range(round(SCALE_MM / SCALE_STEP_MM) + 1):
        x = left + k * SCALE_STEP_MM
        page.line(x, y, x, y + (2.2 if k % 10 == 0 else 1.2))
    page.set_font("helvetica", size=SMALL_MM * CAPITAL_PT)
    page.text(left, base - 0.5, "100 mm: hold a rule against it; print at 100 %, do not fit to the page")
    page.text(left, y - 1.5, _fitted(page, f"{_latin(drawing.title)}; {place}", tiling.field_mm[0]))


def _fitted(page: Any, text: str, width_mm: float) -> str:
    """The text, in smaller letters where it is too long."""
    wide = page.get_string_width(text)
    if wide > width_mm:
        page.set_font("helvetica", size=SMALL_MM * CAPITAL_PT * width_mm / wide)
    return text


def _latin(text: str) -> str:
    """What the standard fonts of PDF hold; other letters without their accents, or "?"."""
    kept = (
        c if _known(c) else normalize("NFKD", c).encode("latin-1", "ignore").decode("latin-1") for c in text
    )
    return "".join(c or "?" for c in kept)


def _known(character: str) -> bool:
    return ord(character) < 256
