"""Outlines of flanges: lengths, closing, sectors and sides."""

from __future__ import annotations

import numpy as np
import pytest

from core.geometry.flange_outline import FlangeOutline, sides_of

QUARTER = np.pi / 2


def test_a_circle_closes_and_has_its_circumference() -> None:
    for convex in (True, False):
        circle = FlangeOutline.circle(600.0, convex)
        assert circle.length_mm == pytest.approx(np.pi * 600.0)
        assert circle.closed
        points = circle.points_mm(721)
        middle = 0.5 * (points.max(axis=0) + points.min(axis=0))
        assert np.hypot(*(points - middle).T) == pytest.approx(np.full(721, 300.0))


def test_a_rectangle_with_round_corners_closes_and_an_arc_does_not() -> None:
    corner = (QUARTER * 50.0, 50.0)
    sides = [(200.0, None), corner, (100.0, None), corner] * 2
    assert FlangeOutline(tuple(sides)).closed
    assert not FlangeOutline(tuple(sides[:-1])).closed
    assert not FlangeOutline(((400.0, 300.0),)).closed
    assert not FlangeOutline(((np.pi * 100, 100.0), (np.pi * 100, -100.0))).closed


def test_sectors_divide_every_segment_evenly() -> None:
    outline = FlangeOutline(((400.0, 300.0), (70.0, None), (15.0, -200.0)))
    sectors = outline.sectors(40.0)
    assert sectors.width_mm == pytest.approx([40.0] * 10 + [35.0] * 2 + [15.0])
    assert sectors.curvature_per_mm == pytest.approx([1 / 300] * 10 + [0.0] * 2 + [-1 / 200])
    assert sectors.ends_mm[1:, 0] == pytest.approx(sectors.ends_mm[:-1, 1])
    assert sectors.ends_mm[[0, -1], [0, 1]] == pytest.approx([0.0, 485.0])
    assert np.all(sectors.ends_mm.mean(axis=1) == pytest.approx(sectors.position_mm))


@pytest.mark.parametrize(
    ("curvature", "sides"),
    [
        ([0.01, 0.0, -0.01], [1, 1, -1]),
        ([0.0, -0.01, 0.0], [-1, -1, -1]),
        ([0.0, 0.0], [1, 1]),
        ([0.0, 0.01], [1, 1]),
    ],
)
def test_straights_go_with_the_convex_arcs(curvature: list[float], sides: list[float]) -> None:
    assert sides_of(np.array(curvature)).tolist() == sides
