"""Lines from files as a flange's outline and a dish's meridian, and what those kinds make of them."""

from __future__ import annotations

import numpy as np
import pytest

import core
from tests.made_up import bowl, flange

RADIUS, DEPTH = 300.0, 60.0
RIM = np.sqrt(RADIUS**2 - (RADIUS - DEPTH) ** 2)


def svg(path):
    text = f'<svg width="900mm" height="900mm" viewBox="0 0 900 900"><path d="{path}"/></svg>'
    (line,) = core.read_line_file(text.encode(), "a.svg").lines
    return line


def table(rows):
    text = "r mm;z mm\n" + "\n".join(f"{r:.6f};{z:.6f}" for r, z in rows)
    (line,) = core.read_line_file(text.encode(), "a.csv").lines
    return line


def cap(count=13):
    r = np.linspace(0.0, RIM, count)
    return np.column_stack([r, RADIUS - np.sqrt(RADIUS**2 - r**2)])


def dish(line):
    return core.job(bowl(shape=core.line_as("shape", line)))


def test_a_table_of_radius_and_height_is_a_dish_as_by_its_formula():
    """The meridian of a sphere, by its radius and depth and by points on it: length and work of each ring."""
    found, known = dish(table(cap())), core.job(bowl())
    assert found.part.length_mm == pytest.approx(known.part.length_mm, abs=0.02)
    np.testing.assert_allclose(found.part.target, known.part.target, atol=2e-4)


@pytest.mark.parametrize("flip", [1, -1])
@pytest.mark.parametrize("across", [1, -1])
def test_a_drawn_meridian_is_laid_with_its_pole_on_the_axis(flip, across):
    """Drawn to the right or the left, hollow up or down, at some place of the sheet."""
    sweep = 0 if flip * across > 0 else 1
    line = svg(f"M 450 450 a {RADIUS} {RADIUS} 0 0 {sweep} {across * RIM:.6f} {-flip * DEPTH}")
    points = np.array(core.line_as("shape", line)["profile_mm"])
    np.testing.assert_allclose(points[-1], [RIM, DEPTH], atol=1e-3)
    np.testing.assert_allclose(np.hypot(points[:, 0], points[:, 1] - RADIUS), RADIUS, atol=1e-3)
    np.testing.assert_allclose(dish(line).part.target, core.job(bowl()).part.target, atol=2e-4)


def test_a_free_curve_standing_upright_is_turned_onto_the_axis():
    line = svg("M 100 450 C 100 350 130 250 200 200")
    assert "offsets_mm" in line.line
    points = np.array(core.line_as("shape", line)["profile_mm"])
    np.testing.assert_allclose(points[[0, -1]], [[0, 0], [250, 100]], atol=1e-6)


def test_a_table_that_does_not_begin_at_the_pole_is_refused_by_the_dish():
    with pytest.raises(core.InputError, match="the pole, r = 0, is wanted first"):
        dish(table(cap()[1:]))


def test_the_pieces_of_a_drawing_are_the_outline_of_a_flange():
    """A straight of 200, a quarter circle of 250 that turns left on paper, a straight of 100."""
    line = svg("M 100 800 h 200 a 250 250 0 0 0 250 -250 v -100")
    outline = core.line_as("outline", line)
    (first, bend, last) = outline["segments_mm"]
    assert (first[1], last[1]) == (None, None)
    assert bend == pytest.approx([250 * np.pi / 2, 250.0], abs=1e-3)
    part = core.job(flange(outline=outline)).part
    assert part.length_mm == pytest.approx(300 + 250 * np.pi / 2, abs=1e-3)
    other = core.line_as("outline", line.other_end())["segments_mm"]
    assert other[1][1] == pytest.approx(-250.0, abs=1e-3)


def test_a_circle_is_a_rim_or_from_its_other_end_a_hole():
    text = '<svg width="900mm" height="900mm" viewBox="0 0 900 900"><circle cx="450" cy="450" r="150"/></svg>'
    (line,) = core.read_line_file(text.encode(), "a.svg").lines
    found = [core.line_as("outline", one) for one in (line, line.other_end())]
    assert sorted(found, key=str) == [{"hole_mm": pytest.approx(300.0)}, {"rim_mm": pytest.approx(300.0)}]
    for outline in found:
        assert core.job(flange(outline=outline)).part.length_mm == pytest.approx(300 * np.pi, rel=1e-6)


def test_points_are_no_outline():
    with pytest.raises(core.InputError, match="arcs and straights"):
        core.line_as("outline", table(cap()))
