"""Originals of a flange and of a dish: geometry alone makes the readings, the job's field comes back."""

from __future__ import annotations

import json

import numpy as np
import pytest

import core
from core.geometry.segments import from_segments
from core.geometry.spline import CubicSpline
from shopapp import cli
from tests.originals.known import Original, document

RADIUS_MM, RIM_MM = 500.0, 400.0
DEPTH_MM = RADIUS_MM - np.sqrt(RADIUS_MM**2 - RIM_MM**2 / 4)


def bowl(rng, sd=0.0, **more):
    """A cap of a sphere read off a straight edge that lies across its rim: 21 places, twice each."""
    places = np.repeat(np.linspace(-RIM_MM / 2, RIM_MM / 2, 21), 2)
    down = np.sqrt(RADIUS_MM**2 - places**2) - np.sqrt(RADIUS_MM**2 - RIM_MM**2 / 4)
    values = down + rng.normal(0.0, sd, len(places)) if sd else down
    readings = np.column_stack([places + RIM_MM / 2, values]).tolist()
    return {
        "by": "straight edge",
        "symmetric": True,
        "reading_sd_mm": sd or 0.01,
        "readings_mm": readings,
        **more,
    }


def rises(pieces, chord, every, sd, rng):
    """Rises over a chord moved along arcs and straights, its feet found on the line by halving."""
    line = from_segments(pieces)
    places = np.arange(chord / 2 + 5.0, line.length_mm - chord / 2 - 4.0, every)
    out = []
    for place in places:
        low, high = 0.4 * chord, 0.6 * chord
        for _ in range(50):
            reach = 0.5 * (low + high)
            one, other = line.point_mm(place - reach), line.point_mm(place + reach)
            low, high = (reach, high) if np.hypot(*(other - one)) < chord else (low, reach)
        way, arm = other - one, line.point_mm(place) - one
        out.append((arm[0] * way[1] - arm[1] * way[0]) / np.hypot(*way))
    readings = np.column_stack([places, np.array(out) + rng.normal(0.0, sd, len(out))]).tolist()
    return {
        "by": "rise over a chord",
        "chord_mm": chord,
        "length_mm": line.length_mm,
        "reading_sd_mm": sd,
        "readings_mm": readings,
    }


def profile_of(given):
    """r and z at the sphere's own places, by a spline through what was measured."""
    rows = np.array(core.original(given).line_as("shape")["profile_mm"])
    return rows, CubicSpline(rows[:, 0], rows[:, 1])


@pytest.mark.parametrize("upside_down", [False, True])
def test_a_bowl_across_its_rim_is_the_sphere_that_it_is(upside_down):
    """z = R - sqrt(R^2 - r^2), hollow up, whichever face was read."""
    given = bowl(np.random.default_rng(0))
    if upside_down:
        given["readings_mm"] = [[at, -value] for at, value in given["readings_mm"]]
    rows, through = profile_of(given)
    assert rows[0].tolist() == [0.0, 0.0]
    assert rows[-1] == pytest.approx([RIM_MM / 2, DEPTH_MM], abs=0.05)
    r = np.linspace(5.0, 195.0, 39)
    np.testing.assert_allclose(through(r), RADIUS_MM - np.sqrt(RADIUS_MM**2 - r**2), atol=0.03)


def test_the_job_of_a_bowl_knows_how_far_its_profile_may_be_off():
    """z-scores at five radii of 60 bowls, the shift along the axis taken out as for the stated figure."""
    rng = np.random.default_rng(4)
    off, stated = [], []
    r = np.linspace(0.0, RIM_MM / 2, 26)
    for _ in range(60):
        given = core.original(bowl(rng, sd=0.2)).line_as("shape")
        rows = np.array(given["profile_mm"])
        z = np.interp(r, rows[:, 0], rows[:, 1]) - (RADIUS_MM - np.sqrt(RADIUS_MM**2 - r**2))
        off.append(z - z.mean())
        stated.append(given["profile_sd_mm"])
    assert np.sqrt(np.mean(np.square(off))) == pytest.approx(np.sqrt(np.mean(np.square(stated))), rel=0.25)
    job = core.job(dish(given | {"profile_sd_mm": 0.4}))
    assert job.part.line.smoothing_sd_mm == 0.4
    assert any("was measured" in sentence for sentence in job.warnings)
    assert not any("was measured" in s for s in core.job(dish(given | {"profile_sd_mm": 0.001})).warnings)


def dish(shape):
    return {
        "name": "Vent cowl",
        "kind": "dish",
        "shape": shape,
        "method": "shrink the edge",
        "thickness": "1.5 mm",
        "pitch": "25 mm",
        "material": "aluminium 1050A-O",
        "tool": {"patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": 0.004},
        "template": "inside",
        "gauge": "steel rule",
        "tolerance": "1 mm",
    }


def test_a_line_that_is_no_dish_says_so():
    lopsided = document("straight edge", Original(), np.random.default_rng(1), 0.01)
    lopsided["readings_mm"] = [[x, 0.002 * x**1.9] for x in np.linspace(0.0, 400.0, 21)]
    with pytest.raises(core.InputError, match="alike on both sides"):
        core.original(lopsided).line_as("shape")
    with pytest.raises(core.InputError, match="part"):
        core.original(lopsided).line_as("profile")


def test_the_outline_of_a_flange_comes_back_in_its_arcs_and_straights():
    """A hollow arc between two straights, by the rise: the same three pieces."""
    pieces = [(200.0, None), (250.0, -400.0), (200.0, None)]
    found = core.original(rises(pieces, 100.0, 20.0, 0.02, np.random.default_rng(2)))
    given = found.line_as("outline")["segments_mm"]
    lengths = [length for length, _ in given]
    assert lengths == pytest.approx([200.0, 250.0, 200.0], abs=12.0)
    assert [radius is None for _, radius in given] == [True, False, True]
    assert sum(lengths) == pytest.approx(650.0, abs=0.5)
    turn = sum(length / radius for length, radius in given if radius is not None)
    assert turn == pytest.approx(-250.0 / 400.0, abs=0.02)
    made, known = from_segments(given), from_segments(pieces)
    at = np.linspace(0.0, 1.0, 66)
    one, other = (np.dot(line.point_mm(at * line.length_mm), [1.0, 1j]) for line in (made, known))
    one, other = one - one.mean(), other - other.mean()
    off = abs(one * np.exp(1j * np.angle(np.vdot(one, other))) - other)
    assert np.max(off) < 1.96 * float(found.measured.sd_mm.max()) + 0.3
    assert core.job(flange({"segments_mm": given})).part.length_mm == pytest.approx(650.0, abs=0.5)


def flange(outline):
    return {
        "name": "Apron",
        "kind": "flange",
        "outline": outline,
        "height": "20 mm",
        "thickness": "1.5 mm",
        "inside_radius": "3 mm",
        "angle": "90 deg",
        "pitch": "40 mm",
        "material": "aluminium 1050A-O",
        "tool": {"patch_length": "20 mm", "patch_depth": "15 mm", "strain_per_stroke": 0.004},
        "template": "square",
        "gauge": "steel rule",
        "tolerance": "1 mm",
    }


@pytest.mark.parametrize(("radius", "field"), [(300.0, "rim_mm"), (-150.0, "hole_mm")])
def test_once_round_is_a_rim_or_a_hole(radius, field):
    pieces = [(2 * np.pi * abs(radius), radius)]
    given = core.original(rises(pieces, 120.0, 60.0, 0.02, np.random.default_rng(3))).line_as("outline")
    assert given == {field: pytest.approx(2 * abs(radius), rel=1e-3)}


def test_one_arc_is_one_piece():
    found = core.original(rises([(600.0, 800.0)], 100.0, 25.0, 0.02, np.random.default_rng(5)))
    ((length, radius),) = found.line_as("outline")["segments_mm"]
    assert (length, radius) == (pytest.approx(600.0, abs=0.1), pytest.approx(800.0, rel=0.02))


def test_the_command_gives_the_field_that_is_asked_for(tmp_path, capsys):
    file = tmp_path / "bowl.json"
    file.write_text(json.dumps(bowl(np.random.default_rng(0))), "utf-8")
    assert cli.main(["original", str(file), "--as", "shape"]) == 0
    shape = json.loads(capsys.readouterr().out)["shape"]
    assert core.job(dish(shape)).part.length_mm == pytest.approx(
        RADIUS_MM * np.arcsin(RIM_MM / 2 / RADIUS_MM), abs=0.1
    )
    assert cli.main(["original", str(file), str(file), "--as", "shape"]) == 0
    both = json.loads(capsys.readouterr().out)["shape"]
    np.testing.assert_allclose(both["profile_mm"], shape["profile_mm"], atol=1e-3)
    assert both["profile_sd_mm"] < shape["profile_sd_mm"]
