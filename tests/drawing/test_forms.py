"""Drawings read back: SVG by svgelements and by an XML parser, DXF by ezdxf and by its published form, PDF by
pypdf."""

from __future__ import annotations

import io
import sys
from math import hypot, sin
from xml.etree import ElementTree

import numpy as np
import pytest

import core
from core.drawing.tiling import MARGIN_MM, OVERLAP_MM
from tests.drawing.reading import dxf_polylines, length_mm, svg_points
from tests.made_up import LINES, bowl, flange, rib

IN_SVG = "{http://www.w3.org/2000/svg}"
MM = 25.4 / 72.0  # of a point of PDF (ISO 32000-1, 8.3.2.3)
DOCUMENTS = {
    "arc": rib(line={"radius": "700 mm", "length": "900 mm"}),
    "S": rib(line=LINES["segments"], template="outside"),
    "spline": rib(line=LINES["offsets"]),
    "dish": bowl(),
    "square": flange(),
}
EACH = pytest.mark.parametrize("name", DOCUMENTS)


def drawn(name):
    return core.template_drawing(core.job(DOCUMENTS[name]))


@EACH
def test_svg_is_in_millimetres_and_holds_the_outline(name):
    drawing = drawn(name)
    root = ElementTree.fromstring(core.drawing_bytes(drawing, "svg"))
    width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    assert [float(word) for word in root.get("viewBox").split()] == [0.0, 0.0, width, height]
    groups = {group.get("id"): group for group in root.iter(f"{IN_SVG}g")}
    (path,) = groups["cut"].findall(f"{IN_SVG}path")
    assert path.get("d").endswith(" Z")
    points = svg_points(path.get("d"))
    edge, read = drawing.cut[: drawing.edge_points], points[: drawing.edge_points]
    assert length_mm(read) == pytest.approx(length_mm(edge), rel=1e-6)
    np.testing.assert_allclose(points * [1.0, -1.0] + [0.0, height] - 5.0, drawing.cut, atol=1e-6)
    ticks = [svg_points(tick.get("d")) for tick in groups["marks"].findall(f"{IN_SVG}path")]
    assert [length_mm(tick) for tick in ticks] == pytest.approx([8.0] * len(drawing.ticks), abs=1e-5)
    texts = [text.text for text in groups["marks"].findall(f"{IN_SVG}text")]
    assert texts == [label.text for label in drawing.labels]


@EACH
def test_svg_is_read_by_another_program(name):
    """At 25.4 dots an inch a dot is a millimetre: width, viewBox and path together give true size. Its own
    millimetre is 0.0393701 of an inch, 5e-7 off."""
    svgelements = pytest.importorskip("svgelements")
    drawing = drawn(name)
    read = svgelements.SVG.parse(io.BytesIO(core.drawing_bytes(drawing, "svg")), ppi=25.4)
    shapes = [shape for shape in read.elements() if isinstance(shape, svgelements.Path)]
    (outline,) = (path for path in shapes if isinstance(path[-1], svgelements.Close))
    around = np.vstack([drawing.cut, drawing.cut[:1]])
    assert float(outline.length()) == pytest.approx(length_mm(around), rel=1e-6)
    ticks = [float(path.length()) for path in shapes if path is not outline]
    assert ticks == pytest.approx([8.0] * len(drawing.ticks), abs=1e-5)


@EACH
def test_dxf_is_read_by_another_program(name):
    ezdxf = pytest.importorskip("ezdxf")
    drawing = drawn(name)
    text = core.drawing_bytes(drawing, "dxf").decode("cp1252")
    document = ezdxf.read(io.StringIO(text))
    assert document.dxfversion == "AC1015"
    assert document.header["$INSUNITS"] == 4
    assert not document.audit().errors
    space = document.modelspace()
    (outline,) = space.query("LWPOLYLINE")
    assert outline.closed and outline.dxf.layer == "CUT"
    edge = np.array(outline.get_points("xy"))[: drawing.edge_points]
    assert length_mm(edge) == pytest.approx(length_mm(drawing.cut[: drawing.edge_points]), rel=1e-6)
    lines = [line.dxf.start.distance(line.dxf.end) for line in space.query("LINE")]
    assert lines == pytest.approx([8.0] * len(drawing.ticks))
    assert [text.dxf.text for text in space.query("TEXT")] == [label.text for label in drawing.labels]


def test_dxf_holds_the_arc_by_the_published_form():
    """Read without ezdxf. Polyline of k equal chords in an arc: length 2 k r sin(a / 2k)."""
    pytest.importorskip("ezdxf")
    drawing = drawn("arc")
    (layer, closed, points), *more = dxf_polylines(core.drawing_bytes(drawing, "dxf").decode("cp1252"))
    assert (layer, closed, more) == ("CUT", True, [])
    np.testing.assert_allclose(points, drawing.cut, rtol=0.0, atol=1e-9)
    chords, radius, turn = drawing.edge_points - 1, 700.0 - 1.5, 900.0 / 700.0
    polyline = 2 * chords * radius * sin(turn / (2 * chords))
    assert length_mm(points[: drawing.edge_points]) == pytest.approx(polyline, rel=1e-6)


def test_letters_of_any_language_are_kept_in_svg_and_dxf():
    recover = pytest.importorskip("ezdxf.recover")
    drawing = core.template_drawing(core.job(rib(name="Żebro łukowe № 3")))
    assert "Żebro łukowe № 3" in core.drawing_bytes(drawing, "svg").decode("utf-8")
    read, _ = recover.read(io.BytesIO(core.drawing_bytes(drawing, "dxf")))
    assert any("Żebro łukowe № 3" in text.dxf.text for text in read.modelspace().query("TEXT"))


def pages_of(drawing, sheet="A4"):
    pypdf = pytest.importorskip("pypdf")
    pytest.importorskip("fpdf")
    return pypdf.PdfReader(io.BytesIO(core.drawing_bytes(drawing, "pdf", sheet))).pages


def lines_of(page):
    """[(k, 2)] polylines of a page, mm from its lower left corner."""
    found = []
    for operands, operator in page.get_contents().operations:
        if operator in (b"m", b"l"):
            point = [float(value) * MM for value in operands]
            found += [[]] if operator == b"m" else []
            found[-1].append(point)
    return [np.array(line) for line in found]


@EACH
@pytest.mark.parametrize("sheet", ["A4", "A3"])
def test_every_sheet_has_its_size_its_name_and_a_scale(name, sheet):
    drawing = drawn(name)
    pages = pages_of(drawing, sheet)
    tiling = core.tiled(drawing.cut, sheet)
    assert len(pages) == len(tiling.tiles)
    for count, (page, tile) in enumerate(zip(pages, tiling.tiles, strict=True), start=1):
        size = float(page.mediabox.width) * MM, float(page.mediabox.height) * MM
        assert sorted(size) == pytest.approx(sorted(core.SHEETS[sheet]), abs=0.01)
        text = page.extract_text()
        assert f"{drawing.title}; sheet {count} of {len(pages)}: {tile.name}, row {tile.row + 1}" in text
        assert "100 mm: hold a rule against it" in text
        below = [line for line in lines_of(page) if line[:, 1].max() < MARGIN_MM + 16.0 and len(line) == 2]
        (scale,) = [line for line in below if abs(length_mm(line) - 100.0) < 1.0]
        assert length_mm(scale) == pytest.approx(100.0, abs=0.1)
        assert scale[0, 1] == scale[1, 1]


@EACH
def test_all_sheets_hold_the_same_drawing_where_their_crosses_lie_together(name):
    """The crosses say where on the drawing a sheet is: on every sheet the outline lies against them as on the
    drawing itself, to a hundredth of a point and more."""
    drawing = drawn(name)
    tiling = core.tiled(drawing.cut, "A4")
    for page, tile in zip(pages_of(drawing), tiling.tiles, strict=True):
        lines = lines_of(page)
        (outline,) = [line for line in lines if len(line) in (len(drawing.cut), len(drawing.cut) + 1)]
        arms = [line for line in lines if len(line) == 2 and abs(length_mm(line) - 2 * OVERLAP_MM) < 0.02]
        middles = {tuple(np.round(line.mean(axis=0), 2)) for line in arms}
        assert len(middles) == 4 and len(arms) == 8
        corner = np.array(min(middles))
        read = outline[: len(drawing.cut)] - corner + np.array(tile.low_mm)
        np.testing.assert_allclose(read, drawing.cut, atol=0.02)
        apart = np.array(max(middles)) - corner
        np.testing.assert_allclose(apart, tiling.field_mm, atol=0.02)


def test_letters_that_pdf_has_not_are_told_by_their_like():
    drawing = core.template_drawing(core.job(rib(name="Żebro № 3 λ")))
    assert "Zebro No 3 ?" in pages_of(drawing)[0].extract_text()


def test_sheets_join_their_neighbours_by_name():
    drawing = drawn("arc")
    tiles = core.tiled(drawing.cut, "A4").tiles
    pages = [page.extract_text() for page in pages_of(drawing)]
    assert len(tiles) > 2
    for k in range(len(tiles) - 1):
        assert f"joins {tiles[k + 1].name} right" in pages[k]
        assert f"joins {tiles[k].name} left" in pages[k + 1]
    assert "left" not in pages[0] and "right" not in pages[-1]


@pytest.mark.parametrize(("form", "module", "package"), [("dxf", "ezdxf", "ezdxf"), ("pdf", "fpdf", "fpdf2")])
def test_a_package_that_is_missing_is_named(monkeypatch, form, module, package):
    monkeypatch.setitem(sys.modules, module, None)
    with pytest.raises(core.InputError, match=rf"{package} is wanted.*gapwright\[drawings\]"):
        core.drawing_bytes(drawn("square"), form)


def test_unknown_forms_and_sheets_are_named():
    with pytest.raises(core.InputError, match="one of svg, dxf, pdf"):
        core.drawing_bytes(drawn("square"), "png")
    with pytest.raises(core.InputError, match="one of A4, A3"):
        core.tiled(drawn("square").cut, "A5")


@pytest.mark.parametrize("sheet", ["A4", "A3"])
@pytest.mark.parametrize("size", [(100.0, 80.0), (1500.0, 900.0), (180.0, 251.0), (181.0, 252.0)])
def test_every_place_of_an_outline_is_in_the_field_of_a_sheet(sheet, size):
    """A triangle: the sheets beside it are left out, none that it needs."""
    outline = np.array([[0.0, 0.0], [size[0], 0.0], [0.0, size[1]]])
    tiling = core.tiled(outline, sheet)
    weights = np.random.default_rng(3).dirichlet([0.3] * 3, 2000)
    places = weights @ outline
    low = np.array([tile.low_mm for tile in tiling.tiles])
    within = (places[:, None] >= low - 1e-6) & (places[:, None] <= low + tiling.field_mm + 1e-6)
    held = within.all(axis=2)
    assert held.any(axis=1).all()
    assert len(tiling.tiles) <= tiling.rows * tiling.columns
    if hypot(*size) > 1700.0:
        assert len(tiling.tiles) < 0.8 * tiling.rows * tiling.columns


def test_more_sheets_than_anybody_joins_are_refused():
    wide = np.array([[0.0, 0.0], [9000.0, 0.0], [9000.0, 9000.0], [0.0, 9000.0]])
    with pytest.raises(core.InputError, match="sheets are more than 500"):
        core.tiled(wide, "A4")
