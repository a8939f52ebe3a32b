"""Where the edge of a template lies, against closed forms: circles, concentric spheres, a square's angle."""

from __future__ import annotations

from math import cos, radians, sin, tan

import numpy as np
import pytest

import core
from core.drawing.outline import BODY_MM, CHORD_ERROR_MM, template_outline
from core.drawing.tiling import _crosses, _holds
from core.kinds.template_edge import template_edge
from tests.drawing.reading import crosses_itself, farthest_mm, length_mm
from tests.made_up import LINES, OUTLINES, SECTIONS, SHAPES, bowl, flange, rib

BEHIND = {"T": 2.0, "flat bar": 30.0}
"""How far behind the heel the metal ends, mm: a flange's thickness, all the bar; other walls are of 1.5."""


def edge_of(document, side, half=False):
    job = core.job(document)
    used = job.template.name if job.template.name in core.SIDES else "inside"
    return template_edge(job.part, side, used, half)


def chord_and_rise(edge):
    """Width and height of the edge as drawn, mm: of a single arc these are chord and rise."""
    return np.ptp(template_outline(edge).edge, axis=0)


@pytest.mark.parametrize("section", SECTIONS)
@pytest.mark.parametrize("radius", [1500.0, -1500.0])
def test_a_bar_touches_its_templates_on_concentric_arcs(section, radius):
    """Chord 2 r sin(a/2) and rise r (1 - cos(a/2)) of an arc (any handbook); the worked side lies inside of a
    left turn, and outside of a right one."""
    line = {"radius": f"{radius} mm", "length": "900 mm"}
    document = rib(line=line, section=SECTIONS[section])
    for side, beside in (("outside", 0.0), ("inside", BEHIND.get(section, 1.5))):
        edge, half = edge_of(document, side), 0.5 * 900.0 / abs(radius)
        r = abs(radius) - np.sign(radius) * beside
        chord, rise = chord_and_rise(edge)
        assert chord == pytest.approx(2 * r * sin(half), abs=1e-6)
        assert rise == pytest.approx(r * (1 - cos(half)), abs=CHORD_ERROR_MM)
        drawn = length_mm(template_outline(edge).edge)
        assert drawn <= r * 2 * half
        assert drawn == pytest.approx(r * 2 * half, rel=2e-5)


def test_the_edge_is_as_true_as_is_said():
    """Against the edge itself at twenty thousand places, and, for an arc, against the circle."""
    for line in (*LINES.values(), {"radius": "60 mm", "angle": "170 deg"}):
        document = rib(line=line, pitch=f"{core.job(rib(line=line, pitch='20 mm')).part.length_mm / 8} mm")
        edge = edge_of(document, "inside")
        outline = template_outline(edge)
        fine = edge.points_mm(np.linspace(edge.from_mm, edge.to_mm, 4001))
        assert length_mm(outline.edge) == pytest.approx(length_mm(fine), rel=1e-4)
        turn = edge.level_rad
        axes = np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]])
        there = fine @ axes
        assert farthest_mm(there - there[0] + outline.edge[0], outline.edge) <= 1.02 * CHORD_ERROR_MM


def test_a_dish_touches_its_templates_on_concentric_spheres():
    """Worked with its area kept the sheet keeps its thickness of 1.5 mm, so that both faces of a cap are
    spheres with one centre, here (0, 300)."""
    document = bowl(method="keep the area")
    for used, side, radius in (
        ("inside", "inside", 300.0),
        ("inside", "outside", 301.5),
        ("outside", "outside", 300.0),
        ("outside", "inside", 298.5),
    ):
        edge = edge_of(document | {"template": used}, side)
        points = edge.points_mm(np.linspace(edge.from_mm, edge.to_mm, 101))
        np.testing.assert_allclose(np.hypot(points[:, 0], points[:, 1] - 300.0), radius, rtol=1e-9)
        np.testing.assert_allclose(points[::-1] * [-1.0, 1.0], points, atol=1e-9)


def test_the_back_of_a_dish_stands_off_by_the_metal_as_it_will_be():
    """A shrunk edge keeps the meridian's length and the metal its volume: t = t0 phi / sin(phi)."""
    job = core.job(bowl())
    rings = job.part.sites.position_mm
    points = edge_of(bowl(), "outside").points_mm(rings)
    off = np.hypot(points[:, 0], points[:, 1] - 300.0) - 300.0
    slope = rings / 300.0
    np.testing.assert_allclose(off, 1.5 * slope / np.sin(slope), atol=0.004)
    assert off[-1] - off[0] > 0.05


def test_half_a_meridian_has_its_straight_end_on_the_axis():
    job = core.job(bowl())
    whole, half = (core.template_drawing(job, half=each) for each in (False, True))
    rim, depth = job.part.blank.meridian.rim_mm
    assert whole.size_mm == pytest.approx((2 * rim, depth + BODY_MM))
    assert half.size_mm == pytest.approx((rim, depth + BODY_MM))
    np.testing.assert_allclose(half.cut[0], [0.0, 0.0], atol=1e-9)
    np.testing.assert_allclose(half.cut[-1], [0.0, depth + BODY_MM])


@pytest.mark.parametrize("degrees", [90.0, 60.0])
def test_a_square_has_the_angle_of_the_flange_and_clears_its_bend(degrees):
    """By plane geometry: a rounding of radius R leaves R (1/cos(a/2) - 1) free at the corner, of
    which the bend of 3 mm fills its share; the inner face is shorter than the outer by t tan(a/2)."""
    edge = edge_of(flange(angle=f"{degrees} deg"), "inside")
    turn = radians(degrees)
    points = edge.points_mm(np.linspace(edge.from_mm, edge.to_mm, 100001))
    first, last = points[1] - points[0], points[-1] - points[-2]
    assert np.arctan2(*last[::-1]) - np.arctan2(*first[::-1]) == pytest.approx(turn, abs=1e-6)
    corner = np.array([points[0, 0] + 60.0, 0.0])
    free = float(np.min(np.linalg.norm(points - corner, axis=1)))
    assert free == pytest.approx(4.0 * (1 / cos(turn / 2) - 1), abs=1e-3)
    assert free > 3.0 * (1 / cos(turn / 2) - 1)
    tip = edge.points_mm(np.array([edge.marks[0].at_mm]))[0]
    assert np.hypot(*(tip - corner)) == pytest.approx(20.0 - 1.5 * tan(turn / 2), abs=1e-6)


WANTED = [
    *((rib(line=line), side) for line in LINES.values() for side in core.SIDES),
    *(
        (rib(line={"radius": f"{r} mm", "angle": "180 deg"}), side)
        for r in (250, -250)
        for side in core.SIDES
    ),
    *((bowl(shape=shape), side) for shape in SHAPES.values() for side in core.SIDES),
    *((flange(outline=outline), "inside") for outline in OUTLINES.values()),
]


@pytest.mark.parametrize(("document", "side"), WANTED)
def test_the_outline_is_one_piece_and_is_not_mirrored(document, side):
    job = core.job(document)
    drawing = core.template_drawing(job, side)
    cut = drawing.cut
    assert not crosses_itself(cut)
    x, y = cut.T
    assert np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) > 0.0  # the edge from left to right, then the back
    np.testing.assert_allclose(np.min(cut, axis=0), 0.0, atol=1e-9)
    ends = drawing.ticks[:, 1]
    assert all(_holds(cut, end) for end in ends)
    edge = edge_of(document, side)
    along = edge.points_mm(np.array([edge.from_mm, 0.5 * (edge.from_mm + edge.to_mm), edge.to_mm]))
    drawn = cut[[0, drawing.edge_points - 1]]
    assert np.hypot(*(drawn[1] - drawn[0])) == pytest.approx(np.hypot(*(along[2] - along[0])))
    given = edge.points_mm(np.linspace(edge.from_mm, edge.to_mm, 1001))
    assert _bulge(given) * (1 if edge.on_left else -1) == pytest.approx(
        _bulge(cut[: drawing.edge_points]), rel=1e-3
    )


def _bulge(points):
    """Area between a line and its chord, signed by its turning."""
    x, y = (points - points[0]).T
    return float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))


def test_the_check_of_crossing_can_fail():
    assert crosses_itself(np.array([[0, 0], [1, 1], [1, 0], [0, 1.0]]))
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1.0]])
    assert not crosses_itself(square)
    assert _crosses(square, np.array([0.5, -1.0]), np.array([0.6, 2.0]))
    assert not _crosses(square, np.array([0.4, 0.4]), np.array([0.6, 0.6]))


@pytest.mark.parametrize(
    ("document", "more", "field", "says"),
    [
        (
            rib(line={"radius": "300 mm", "angle": "200 deg"}, template="layout line"),
            {},
            "side",
            "turns by 200°, and a template can be laid to half a turn",
        ),
        (rib(), {"side": "top"}, "side", "one of inside, outside is wanted"),
        (rib(), {"half": True}, "half", "only the meridian of a dish"),
        (flange(), {"side": "outside"}, "side", "inside the bend"),
        (flange(), {"half": True}, "half", "only the meridian of a dish"),
    ],
)
def test_what_cannot_be_drawn_is_named(document, more, field, says):
    with pytest.raises(core.InputError, match=says) as refused:
        core.template_drawing(core.job(document), **more)
    assert refused.value.field == field


@pytest.mark.parametrize(
    ("template", "name"),
    [
        ("inside", "inside"),
        ("outside", "outside"),
        ("layout line", "inside"),
        ({"sweep": "200 mm"}, "inside"),
    ],
)
def test_the_side_is_that_of_the_jobs_template(template, name):
    assert core.template_drawing(core.job(rib(template=template))).title == f"Shutter rib 3, {name} template"


def test_what_it_is_for_is_written_on_it():
    job = core.job(rib(section=SECTIONS["flat bar"]))
    written = " ".join(label.text for label in core.template_drawing(job).labels)
    assert "Shutter rib 3: inside template, full size" in written
    assert "against the worked edge, 30.00 mm off the heel line" in written
    assert "aluminium 5754-O, 3.00 mm; gaps up to 0.50 mm" in written
    assert "Marks: stations 1 to 30." in written
