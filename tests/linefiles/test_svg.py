"""SVG read: every command of a path, transforms, units; closed forms of circles and ellipses (SciPy's
elliptic integral); what the program draws itself, read back."""

from __future__ import annotations

from math import cos, degrees, pi, radians, sin

import numpy as np
import pytest
from scipy.special import ellipeinc

import core
from core.linefiles.svg import read_svg
from core.linefiles.svgpath import arc_centre
from tests.drawing.reading import length_mm
from tests.made_up import LINES, rib

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">'


def drawn(body, head=HEAD):
    return read_svg(f"{head}\n{body}\n</svg>".encode(), "a.svg")


def lines(body, head=HEAD, **said):
    return core.read_line_file(f"{head}\n{body}\n</svg>".encode(), "a.svg", **said).lines


@pytest.mark.parametrize("name", ["radius and length", "segments", "offsets"])
def test_the_programs_own_drawing_is_read_back_to_its_length(name):
    drawing = core.template_drawing(core.job(rib(line=LINES[name])))
    found = read_svg(core.drawing_bytes(drawing, "svg"), "own.svg")
    outline = next(figure for figure in found.figures if figure.length > 100.0)
    assert found.unit_mm == 1.0
    assert outline.length == pytest.approx(length_mm(np.vstack([drawing.cut, drawing.cut[:1]])), rel=1e-6)


def test_an_arc_of_a_circle_is_a_segment_of_its_own_radius():
    """r a of the closed form; SVG turns y down, so sweep 1 turns right on paper."""
    a = 0.7
    end = 120.0 * sin(a), 120.0 * (1.0 - cos(a))
    (line,) = lines(f'<path d="M 10 20 a 120 120 0 0 1 {end[0]!r},{end[1]!r}"/>')
    ((length, radius),) = line.line["segments_mm"]
    assert (length, radius) == pytest.approx((120.0 * a, -120.0), abs=1e-6)
    assert line.tightest_mm == pytest.approx(120.0)
    assert line.turn_rad == pytest.approx(-a)


@pytest.mark.parametrize("large", [0, 1])
@pytest.mark.parametrize("sweep", [0, 1])
def test_an_elliptic_arc_has_the_length_of_the_elliptic_integral(large, sweep):
    """From 30 to 100 degrees of an ellipse of 90 by 40 turned by 25; the other way round it is the rest."""
    turn, p, q = radians(25.0), radians(30.0), radians(100.0)
    way = np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]])
    start, end = ((way @ [90 * cos(t), 40 * sin(t)]).tolist() for t in (p, q))
    part = 90.0 * (ellipeinc(pi / 2 - p, 1 - (40 / 90) ** 2) - ellipeinc(pi / 2 - q, 1 - (40 / 90) ** 2))
    whole = 4 * 90.0 * ellipeinc(pi / 2, 1 - (40 / 90) ** 2)
    path = (
        f'<path d="M{start[0]!r} {start[1]!r}A90,40 {degrees(turn)!r} {large}{sweep}{end[0]!r} {end[1]!r}"/>'
    )
    (figure,) = drawn(path).figures
    assert figure.length == pytest.approx(whole - part if large else part, rel=1e-9)
    np.testing.assert_allclose(figure.end, end * UP, atol=1e-9)


def test_radii_that_do_not_reach_are_made_larger():
    """F.6.6 of SVG 1.1: two points 100 apart under radii of 10 lie on a half circle of 50."""
    (figure,) = drawn('<path d="M0 0A10 10 0 0 1 100 0"/>').figures
    assert figure.length == pytest.approx(50.0 * pi)
    centre, axes, _, sweep = arc_centre(np.zeros(2), np.array([100.0, 0.0]), np.array([10.0, 10.0]), 0, 0, 1)
    np.testing.assert_allclose(centre, [50.0, 0.0])
    assert (axes[0, 0], sweep) == pytest.approx((50.0, pi))


@pytest.mark.parametrize(
    ("short", "written_out"),
    [
        ("m10,10 20 0 0 20z", "M 10 10 L 30 10 L 30 30 L 10 10"),
        ("M10 10h20v20H10V10", "M 10 10 L 30 10 L 30 30 L 10 30 L 10 10"),
        ("M0 0c10 0 20 10 20 20s10 20 20 20", "M0 0C10 0 20 10 20 20C20 30 30 40 40 40"),
        ("M0 0q10 0 10 10t10 10T 30 40", "M0 0Q10 0 10 10Q10 20 20 20Q30 20 30 40"),
        ("M0 0 S 10 0 10 10", "M0 0C0 0 10 0 10 10"),
        ("M1e1-.5.5.5-1 2", "M 10 -0.5 L 0.5 0.5 L -1 2"),
        ("M0 0a5 5 0 015 5", "M 0 0 A 5 5 0 0 1 5 5"),
        ("M0 0 A 0 5 0 0 1 5 5", "M 0 0 L 5 5"),
        ("M 5 5 z m 1 1 l 3 0", "M 6 6 L 9 6"),
    ],
)
def test_short_ways_to_write_a_path(short, written_out):
    (one,), (other,) = (drawn(f'<path d="{d}"/>').figures for d in (short, written_out))
    np.testing.assert_allclose(one.outline(), other.outline(), atol=1e-12)


@pytest.mark.parametrize(
    ("transform", "at"),
    [
        ("translate(3 4)", lambda x, y: (x + 3, y + 4)),
        ("scale(2)", lambda x, y: (2 * x, 2 * y)),
        ("scale(2,-1) translate(1)", lambda x, y: (2 * (x + 1), -y)),
        ("rotate(90)", lambda x, y: (-y, x)),
        ("rotate(90, 10 0)", lambda x, y: (10 - y, x - 10)),
        ("skewX(45)", lambda x, y: (x + y, y)),
        ("skewY(45),matrix(1 0 0 1 5 6)", lambda x, y: (x + 5, x + 5 + y + 6)),
    ],
)
def test_transforms(transform, at):
    (figure,) = drawn(f'<g transform="{transform}"><line x1="1" y1="2" x2="7" y2="3"/></g>').figures
    np.testing.assert_allclose([figure.start, figure.end], [at(1, 2) * UP, at(7, 3) * UP], atol=1e-12)


UP = np.array([1.0, -1.0])


def test_an_arc_stretched_one_way_is_an_ellipse():
    (figure,) = drawn('<circle r="50" transform="scale(2,1)"/>').figures
    assert figure.length == pytest.approx(4 * 100 * ellipeinc(pi / 2, 0.75), rel=1e-9)
    assert figure.pieces[0].bend is None
    (turned,) = drawn('<circle r="50" transform="rotate(33) scale(2,-2)"/>').figures
    assert abs(turned.pieces[0].bend) == pytest.approx(0.01)


@pytest.mark.parametrize(
    ("width", "mm"),
    [("300mm", 1.0), ("30cm", 1.0), ("300in", 25.4), ("300pt", 25.4 / 72), ("300pc", 25.4 / 6)],
)
def test_the_unit_is_that_of_width_and_viewbox(width, mm):
    """CSS Values and Units: 72 points, 6 picas an inch."""
    head = f'<svg width="{width}" viewBox="0 0 300 200">'
    assert lines('<path d="M0 0h100"/>', head)[0].length_mm == pytest.approx(100 * mm)


@pytest.mark.parametrize("head", ["<svg>", '<svg width="300px" viewBox="0 0 300 200">', '<svg width="100%">'])
def test_pixels_and_no_unit_are_asked_for(head):
    with pytest.raises(core.UnitWanted, match="reach over 100 by 0"):
        lines('<path d="M0 0h100"/>', head)
    assert lines('<path d="M0 0h100"/>', head, unit="in")[0].length_mm == pytest.approx(2540.0)


def test_the_smaller_scale_counts_unless_the_drawing_is_stretched():
    head = '<svg width="300mm" height="100mm" viewBox="0 0 100 100"{}>'
    assert drawn('<path d="M0 0h10"/>', head.format("")).unit_mm == 1.0
    stretched = head.format(' preserveAspectRatio="none"')
    (line,) = lines('<path d="M0 0v10"/>', stretched)
    assert line.length_mm == pytest.approx(10.0)
    assert lines('<path d="M0 0h10"/>', stretched)[0].length_mm == pytest.approx(30.0)


def test_a_smooth_curve_is_followed_by_a_spline():
    """A parabola as a quadratic Bézier curve, its length in closed form."""
    (line,) = lines('<path id="rib" d="M0 0 Q 100 100 200 0"/>')
    root = 2**0.5
    assert line.length_mm == pytest.approx(100 * (root + np.arcsinh(1.0)), rel=1e-6)
    assert line.label == "path rib"
    assert line.tightest_mm == pytest.approx(100.0, rel=3e-3)


def test_what_is_not_drawn_is_left_out_and_said():
    found = drawn(
        '<defs><path d="M0 0h9"/></defs><path d="M0 0h7" style="display: none"/><text>x</text><use/>'
        '<polyline points="0,0 5,0"/><polygon points="0,0 4,0 4,3"/><ellipse rx="2" ry="0"/>'
    )
    assert [figure.length for figure in found.figures] == pytest.approx([5.0, 12.0])
    assert found.left_out == ("Left out: 1 x text.", "Left out: 1 x use.")


@pytest.mark.parametrize(
    ("body", "line", "wanted"),
    [
        ('<path d="L 0 0"/>', 2, "M first"),
        ('\n<path d="M 0 0 L 0 nan"/>', 3, "a number is wanted"),
        ('<path d="M 0 0 L 0 1e9999"/>', 2, "a number is wanted"),
        ('<path d="M 0 0 A 1 1 0 2 0 1 1"/>', 2, "0 or 1, a flag of an arc"),
        ('<path d="M 0 0 X"/>', 2, "one of the commands"),
        ('<path d="M 0 0 Z 1 1"/>', 2, "one of the commands"),
        (f'<path d="M 0 0{" h1" * 20_001}"/>', 2, "at most 20000 commands"),
        ('<g transform="turn(3)"/>', 2, "matrix, translate, scale"),
        ('<g transform="scale(1e999)"/>', 2, "matrix, translate, scale"),
        ('<line x1="1cm"/>', 2, "a plain number"),
        ("<g>" * 200 + "</g>" * 200, 2, "at most 100 levels"),
        ("<path", 3, "well-formed XML"),
        ("", None, "there is none in it"),
        ('<path d="M0 0h10v10" stroke="red"/><path d="M 50 50 a 9 9 0 0 1 9 9 h 5"/>', None, None),
        ('<path d="M 0 0 a 9 9 0 0 1 9 9 h 5"/>', 2, "a line without corners"),
        ('<path d="M 0 0 h 1e6"/>', 2, "at most 50 m is wanted; is the unit right?"),
    ],
)
def test_a_mistake_names_its_line(body, line, wanted):
    if wanted is None:
        found = core.read_line_file(f"{HEAD}{body}</svg>".encode(), "a.svg")
        assert [one.label for one in found.lines] == ["path"]
        assert "a line without corners" in found.refused[0][1]
        return
    with pytest.raises(core.InputError) as wrong:
        lines(body)
    assert wrong.value.field == ("a.svg" if line is None else f"a.svg, line {line}")
    assert wanted in wrong.value.expected


@pytest.mark.parametrize(
    "declared",
    [
        '<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">',
        '<!ENTITY a SYSTEM "secrets.txt">',
        '<!ENTITY % p "x">',
    ],
)
def test_entities_are_refused(declared):
    text = f'<!DOCTYPE svg [\n{declared}]><svg viewBox="0 0 1 1" width="1mm"><path d="&a;"/></svg>'
    with pytest.raises(core.InputError, match="a plain SVG without entities is wanted") as wrong:
        core.read_line_file(text.encode(), "a.svg")
    assert wrong.value.field == "a.svg, line 2"
