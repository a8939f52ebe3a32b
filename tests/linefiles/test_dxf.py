"""DXF read: written by ezdxf, lengths by closed forms; the program's own drawing read back."""

from __future__ import annotations

import io
from math import atan, cos, pi, radians, sin, tan

import numpy as np
import pytest
from scipy.special import ellipeinc

import core
from core.linefiles.dxf import read_dxf
from tests.drawing.reading import length_mm
from tests.made_up import LINES, rib

ezdxf = pytest.importorskip("ezdxf")


def written(draw, unit=4, version="R2000"):
    """Text of a drawing; draw(space, document) puts things in."""
    document = ezdxf.new(version, units=unit)
    draw(document.modelspace(), document)
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def lines(draw, **how):
    return core.read_line_file(written(draw, **how).encode(), "a.dxf").lines


@pytest.mark.parametrize("name", ["radius and length", "segments", "offsets"])
def test_the_programs_own_drawing_is_read_back_to_its_length(name):
    drawing = core.template_drawing(core.job(rib(line=LINES[name])))
    found = read_dxf(core.drawing_bytes(drawing, "dxf").decode("cp1252"), "own.dxf")
    outline = next(figure for figure in found.figures if figure.group == "CUT")
    assert found.unit_mm == 1.0
    assert outline.length == pytest.approx(length_mm(np.vstack([drawing.cut, drawing.cut[:1]])), rel=1e-6)


def test_an_arc_and_a_line_that_meet_are_segments():
    """Drawn in no order and from either end; 400 mm radius over 50 degrees, then 120 mm straight."""
    a = radians(50.0)
    end = np.array([400 * sin(a), 400 * (1 - cos(a))])
    beyond = end + 120 * np.array([cos(a), sin(a)])

    def draw(space, _):
        space.add_line(tuple(beyond), tuple(end))
        space.add_arc((0, 400), 400, 270, 320)

    (line,) = lines(draw)
    np.testing.assert_allclose(line.line["segments_mm"][0], [400 * a, 400.0], atol=1e-5)
    assert line.line["segments_mm"][1] == [pytest.approx(120.0), None]
    assert (line.length_mm, line.tightest_mm) == pytest.approx((400 * a + 120, 400.0))


@pytest.mark.parametrize("down", [1, -1])
def test_bulges_are_tangents_of_a_quarter_of_the_angle(down):
    """DXF reference, LWPOLYLINE: an S of two arcs of 60 degrees over chords of 100 mm, r = c / (2 sin 30).
    Seen from below (extrusion -z) it lies mirrored and turns the other way."""
    bulge = tan(pi / 12)

    def draw(space, _):
        points = [(0, 0, bulge), (100, 0, -bulge), (200, 0, 0)]
        space.add_lwpolyline(points, format="xyb", dxfattribs={"extrusion": (0, 0, down)})

    (line,) = lines(draw)
    expected = [[100 * pi / 3, down * 100.0], [100 * pi / 3, -down * 100.0]]
    np.testing.assert_allclose(line.line["segments_mm"], expected, atol=1e-5)


def test_old_polylines_and_arcs_seen_from_below():
    def draw(space, _):
        space.add_polyline2d([(0, 0, 0, 0, 1), (100, 0)], format="xyseb")
        space.add_arc((-300, 0), 50, 0, 90, dxfattribs={"layer": "b", "extrusion": (0, 0, -1)})

    half, quarter = read_dxf(written(draw, version="R12"), "a.dxf").figures
    assert half.length == pytest.approx(50 * pi)
    assert half.pieces[0].bend == pytest.approx(1 / 50)
    np.testing.assert_allclose([quarter.start, quarter.end], [[250, 0], [300, 50]], atol=1e-9)
    assert quarter.pieces[0].bend == pytest.approx(-1 / 50)


def test_ellipses_and_blocks_that_are_stretched():
    def draw(space, document):
        space.add_ellipse((0, 0), (0, 80, 0), 0.5, 0.0, pi / 2)
        block = document.blocks.new("arch")
        block.add_arc((0, 0), 40, 0, 90)
        space.add_blockref("arch", (500, 0), dxfattribs={"yscale": 2})

    drawn, stretched = read_dxf(written(draw), "a.dxf").figures
    quarter = 80 * ellipeinc(pi / 2, 0.75)
    assert (drawn.length, stretched.length) == pytest.approx((quarter, quarter), rel=1e-9)


def test_a_spline_has_the_length_of_its_bezier_curve():
    """One span of degree 2 is a parabola, its length in closed form."""

    def draw(space, _):
        space.add_open_spline([(0, 0), (100, 100), (200, 0)], degree=2)

    (line,) = lines(draw)
    assert line.length_mm == pytest.approx(100 * (2**0.5 + np.arcsinh(1.0)), rel=1e-6)
    assert line.turn_rad == pytest.approx(-2 * atan(1.0), rel=1e-3)


@pytest.mark.parametrize(
    ("code", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0), (14, 100.0)]
)
def test_insunits_are_honoured(code, mm):
    """DXF reference, $INSUNITS."""
    (line,) = lines(lambda space, _: space.add_line((0, 0), (12, 5)), unit=code)
    assert line.length_mm == pytest.approx(13 * mm)


def test_a_drawing_without_a_unit_is_asked_for_it():
    text = written(lambda space, _: space.add_line((0, 0), (12, 5)), unit=0).encode()
    with pytest.raises(core.UnitWanted, match="reach over 12 by 5"):
        core.read_line_file(text, "a.dxf")
    assert core.read_line_file(text, "a.dxf", unit="in").lines[0].length_mm == pytest.approx(13 * 25.4)


def test_several_lines_come_longest_first_and_the_rest_is_said():
    def draw(space, document):
        document.layers.add("off").off()
        for length in (20, 50, 30):
            space.add_line((0, length), (length, length))
        space.add_line((0, 0, 0), (90, 0, 5))
        space.add_line((0, 0), (99, 0), dxfattribs={"layer": "off"})
        space.add_text("rib")

    found = core.read_line_file(written(draw).encode(), "a.dxf")
    assert [line.length_mm for line in found.lines] == pytest.approx([50, 30, 20])
    assert found.notes == (
        "Left out: 1 x LINE on a hidden layer.",
        "Left out: 1 x LINE that does not lie in the plane.",
        "Left out: 1 x TEXT.",
    )


def test_a_circle_is_a_line_once_round_and_does_not_spoil_the_others():
    def draw(space, _):
        space.add_circle((50, 0), 40)
        space.add_circle((50, 0), 10, dxfattribs={"extrusion": (0, 0, -1)})
        space.add_line((0, 0), (500, 0))

    straight, hole, small = lines(draw)
    assert straight.length_mm == pytest.approx(500.0)
    assert hole.line == {"segments_mm": [[pytest.approx(80 * pi), pytest.approx(40.0)]]}
    assert small.line == {"segments_mm": [[pytest.approx(20 * pi), pytest.approx(-10.0)]]}


def test_where_three_ends_meet_nothing_is_joined():
    def draw(space, _):
        for end in ((100, 0), (0, 100), (-100, 0)):
            space.add_line((0, 0), end)

    assert [line.points for line in lines(draw)] == [2, 2, 2]


def nested(space, document):
    """Blocks of ten of the block below, eight deep: a hundred million lines."""
    document.blocks.new("b0").add_line((0, 0), (1, 1))
    for depth in range(1, 9):
        block = document.blocks.new(f"b{depth}")
        for i in range(10):
            block.add_blockref(f"b{depth - 1}", (i, 0))
    space.add_blockref("b7", (0, 0))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("", "a sound DXF drawing"),
        ("hello", "a sound DXF drawing"),
        ("  0\nLINE\n" * 40_001, "at most 40000 entities"),
        ("Binary DXF\r\n\x1a\0", "save it as ASCII DXF"),
        (written(nested), "at most 20000 pieces"),
        (written(lambda s, _: s.add_text("x")), "there is none in it"),
        (written(lambda s, _: s.add_line((0, 0), (77, 0))).replace("77.0", "nan"), "finite"),
        (written(lambda s, _: s.add_line((0, 0), (77, 0))).replace("77.0", "1e999"), "finite"),
        (written(lambda s, _: s.add_line((0, 0), (77, 0)))[:-3000], "a sound DXF drawing"),
    ],
)
def test_what_cannot_be_used_is_said(text, wanted):
    with pytest.raises(core.InputError) as wrong:
        core.read_line_file(text.encode(), "a.dxf")
    assert wanted in wrong.value.expected


def test_a_mistake_names_the_line_of_the_file():
    text = written(lambda s, _: s.add_line((0, 0), (77, 0))).replace("77.0", "nan")
    with pytest.raises(core.InputError) as wrong:
        core.read_line_file(text.encode(), "a.dxf")
    number = int(wrong.value.field.removeprefix("a.dxf, line "))
    assert text.splitlines()[number - 3 : number - 1] == ["  0", "LINE"]
