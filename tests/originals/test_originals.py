"""An original with a known line is measured: the line comes back, and its uncertainty is what it is off."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest

import core
from shopapp import cli
from tests.made_up import rib
from tests.originals.known import LENGTH_MM, TIGHTEST_MM, TURN_MM, Original, document, off_mm

TEXT = (Path(__file__).parent.parent.parent / "assets" / "original-document.md").read_text("utf-8")
EXAMPLES = [json.loads(block) for block in re.findall(r"^```json\n(.*?)^```", TEXT, re.M | re.S)]
SD_MM = {"straight edge": 0.2, "rise over a chord": 0.02, "traced points": 0.3}
KNOWN = Original()
EACH = pytest.mark.parametrize("by", SD_MM)


@EACH
def test_without_errors_the_line_comes_back(by):
    """As far as the readings see it: between places, and under the chord, they see no more."""
    given = document(by, KNOWN, np.random.default_rng(0), 0.001)
    found = core.original(given)
    assert np.max(np.abs(off_mm(found.measured.points_mm, KNOWN))) < 0.08
    assert found.measured.length_mm == pytest.approx(LENGTH_MM, abs=0.2)
    bend = np.interp(np.linspace(0, LENGTH_MM, 201), KNOWN.s, KNOWN.bend)
    np.testing.assert_allclose(found.measured.bend_per_mm[40:-40], bend[40:-40], atol=6e-5)


@EACH
def test_the_stated_uncertainty_is_what_the_line_is_off_by(by):
    """z-scores of 40 originals at 9 places, and the share of the 95 % bands that hold the truth."""
    rng = np.random.default_rng(7)
    z = []
    for _ in range(40):
        found = core.original(document(by, KNOWN, rng, SD_MM[by]))
        z.append((off_mm(found.measured.points_mm, KNOWN) / found.measured.sd_mm)[20:190:20])
    z = np.array(z)
    assert 0.75 < np.sqrt(np.mean(z**2)) < 1.15
    assert np.mean(np.abs(z) < 1.96) > 0.92


def test_an_arc_measured_by_its_rise_is_that_arc():
    """Radius r = c^2 / 8h + h / 2 of the segment of a circle: 150 over 2.82 mm is a radius of 999."""
    readings = [[75.0 + 50 * i, 2.82] for i in range(9)]
    given = {
        "by": "rise over a chord",
        "chord_mm": 150,
        "length_mm": 550,
        "reading_sd_mm": 0.01,
        "readings_mm": readings,
    }
    found = core.original(given).measured
    np.testing.assert_allclose(1 / found.bend_per_mm, 150**2 / (8 * 2.82) + 1.41, rtol=1e-6)
    chord = np.hypot(*(found.points_mm[-1] - found.points_mm[0]))
    assert chord == pytest.approx(2 * 998.75 * np.sin(550 / 2 / 998.75), abs=0.01)


def test_how_the_straight_edge_lies_does_not_matter():
    rng = np.random.default_rng(3)
    given = document("straight edge", KNOWN, rng, 0.2)
    given["readings_mm"] = given["readings_mm"][::2]
    one = core.original(given).measured
    turn = np.array([[np.cos(0.03), -np.sin(0.03)], [np.sin(0.03), np.cos(0.03)]])
    tilted = (np.array(given["readings_mm"]) @ turn.T + [0, 30]).tolist()
    other = core.original({**given, "readings_mm": tilted}).measured
    np.testing.assert_allclose(other.sd_mm, one.sd_mm, rtol=0.02)
    np.testing.assert_allclose(off_mm(other.points_mm, KNOWN), off_mm(one.points_mm, KNOWN), atol=0.02)


def test_repeats_say_how_good_a_reading_is():
    """Readings twice as bad as stated: 20 pairs are 20 degrees of freedom beside the four of what is said."""
    given = document("straight edge", KNOWN, np.random.default_rng(5), 0.2)
    given["reading_sd_mm"] = 0.1
    values = np.array(given["readings_mm"])[:, 1].reshape(-1, 2)
    squares = np.sum((values[:, 0] - values[:, 1]) ** 2 / 2)
    found = core.original(given).spots
    assert found.reading_sd_mm == pytest.approx(np.sqrt((4 * 0.01 + squares) / 24))
    np.testing.assert_allclose(found.sd_mm, found.reading_sd_mm / np.sqrt(2))


def test_a_worn_spot_is_left_out():
    given = document("straight edge", KNOWN, np.random.default_rng(9), 0.1)
    bent = [[x, y + 3.0 * (350 < x < 460)] for x, y in given["readings_mm"]]
    off = [
        np.max(
            np.abs(off_mm(core.original({**given, "readings_mm": bent, **worn}).measured.points_mm, KNOWN))
        )
        for worn in ({}, {"worn_mm": [[350, 460]]})
    ]
    assert off[0] > 1.5
    assert off[1] < 0.35
    found = core.original({**given, "readings_mm": bent, "worn_mm": [[350, 460]]})
    assert found.spots.left_out == sum(350 <= x <= 460 for x, _ in bent) == 4
    middle, end = found.measured.sd_mm[90], found.measured.sd_mm[50]
    assert middle > 1.2 * end


@EACH
def test_symmetry_makes_the_line_better_known_where_the_part_has_it(by):
    known = Original(symmetric=True)
    off, told = [], []
    rng = np.random.default_rng(11)
    for _ in range(12):
        given = document(by, known, rng, SD_MM[by])
        pair = [core.original({**given, "symmetric": way}).measured for way in (False, True)]
        off.append([np.mean(off_mm(one.points_mm, known) ** 2) for one in pair])
        told.append([np.mean(one.sd_mm**2) for one in pair])
    plain, symmetric = np.mean(off, axis=0)
    assert symmetric < 0.93 * plain
    assert np.mean(told, axis=0)[1] < 0.93 * np.mean(told, axis=0)[0]
    bend = pair[1].bend_per_mm
    np.testing.assert_allclose(bend, bend[::-1], atol=2e-5)


@EACH
def test_a_part_that_is_not_alike_on_both_sides_is_doubted_when_it_is_taken_so(by):
    """Readings of a symmetric part seldom are; those of an S always, with the worst place."""
    rng = np.random.default_rng(17)
    doubted = 0
    for _ in range(20):
        given = document(by, Original(symmetric=True), rng, SD_MM[by])
        doubted += bool(core.original({**given, "symmetric": True}).doubts)
    assert doubted <= 1
    given = document(by, KNOWN, rng, SD_MM[by])
    (doubt,) = core.original({**given, "symmetric": True}).doubts
    assert "alike on both sides" in doubt and "take the part as not alike" in doubt
    assert core.original({**given, "symmetric": False}).doubts == ()


def test_two_originals_side_by_side():
    """The same one twice differs by no more than the measuring; one bent by 1 mm over its middle does."""
    rng = np.random.default_rng(13)
    one, same = (core.original(document("straight edge", KNOWN, rng, 0.1)) for _ in range(2))
    both = core.side_by_side(one, same)
    assert not both.beyond_doubt
    assert both.length_apart_mm == pytest.approx(0.0, abs=0.2)
    assert both.line_as()["offsets_sd_mm"] == pytest.approx(one.sd_mm / np.sqrt(2), rel=0.4)
    given = document("straight edge", KNOWN, rng, 0.1)
    width = given["readings_mm"][-1][0]
    bent = [[x, y + 2.0 * np.sin(np.pi * x / width)] for x, y in given["readings_mm"]]
    apart = core.side_by_side(one, core.original({**given, "readings_mm": bent}))
    assert apart.beyond_doubt
    assert np.ptp(apart.apart_mm) == pytest.approx(2.0, abs=0.4)
    mean = np.array(apart.line_as()["offsets_mm"])
    assert np.ptp(np.interp(np.linspace(0, width, 50), *mean.T)) > 10.0


def test_the_line_goes_straight_into_a_job_with_how_far_it_may_be_off():
    found = core.original(document("straight edge", KNOWN, np.random.default_rng(1), 0.2))
    job = core.job(rib(line=found.line_as()))
    assert job.part.length_mm == pytest.approx(LENGTH_MM, abs=0.5)
    assert job.part.line.smoothing_sd_mm == pytest.approx(found.sd_mm, abs=1e-4)
    assert any("may itself be off by" in sentence for sentence in job.warnings)
    sharp = core.job(rib(line={**found.line_as(), "offsets_sd_mm": 0.001}))
    assert not any("may itself be off by" in sentence for sentence in sharp.warnings)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e["by"])
def test_every_example_of_the_reference_is_read(example):
    found = core.original(json.dumps(example))
    assert 0.0 < found.sd_mm < 1.0
    assert core.job(rib(line=found.line_as())).part.length_mm == pytest.approx(
        found.measured.length_mm, abs=0.01
    )


GOOD = document("straight edge", KNOWN, np.random.default_rng(1), 0.2)
RISE = document("rise over a chord", KNOWN, np.random.default_rng(1), 0.02)


@pytest.mark.parametrize(
    ("given", "field", "wanted"),
    [
        ({**GOOD, "by": "eye"}, "by", "one of straight edge, rise over a chord, traced points"),
        ({**GOOD, "reading_sd_mm": 0}, "reading_sd_mm", "more than 0.00 mm"),
        ({**GOOD, "reading_sd_mm": ...}, "reading_sd", "has to be given"),
        ({**GOOD, "readings_mm": GOOD["readings_mm"][:8]}, "readings_mm", "at 5 places or more"),
        (
            {**GOOD, "readings_mm": [[0, 1], [1]]},
            "readings_mm[1]",
            "a list of two is wanted: place and reading",
        ),
        ({**GOOD, "readings_mm": [[0, 1], [1, "x"]]}, "readings_mm[1][1]", "a length with its unit"),
        ({**GOOD, "readings_mm": [[0, 1], [6e4, 2]]}, "readings_mm[1][0]", "at most 50000.0 mm"),
        ({**GOOD, "worn_mm": [[-10, 2000]]}, "readings_mm", "at 5 places or more"),
        ({**GOOD, "symmetric": "yes"}, "symmetric", "true or false"),
        ({**GOOD, "ends_mm": [900, 0]}, "ends_mm", "more than 0.00 mm"),
        ({**GOOD, "chord_mm": 100}, "chord_mm", "there is no such field"),
        ({**RISE, "chord_mm": 2000}, "chord_mm", "at most 900.0 mm"),
        ({**RISE, "readings_mm": [[20, 1]] * 6}, "readings_mm[0]", "at least half the chord from either end"),
        ({**RISE, "readings_mm": [[200, 80]] * 6}, "readings_mm[0]", "a rise of less than half the chord"),
        ({**GOOD, "readings_mm": [[x, 3 * x + y] for x, y in GOOD["readings_mm"]]}, "readings_mm", "65°"),
    ],
)
def test_what_cannot_be_used_is_named(given, field, wanted):
    given = {key: value for key, value in given.items() if value is not ...}
    with pytest.raises(core.InputError) as wrong:
        core.original(given)
    assert wrong.value.field == field
    assert wanted in wrong.value.expected


def test_nan_and_other_text_are_refused():
    for text in ('{"by": "straight edge", "reading_sd_mm": NaN}', "[]", ""):
        with pytest.raises(core.InputError):
            core.original(text)


def test_the_command_tells_what_was_found_and_prints_the_line(tmp_path, capsys):
    paths = []
    for name, seed in (("left", 1), ("right", 2)):
        path = tmp_path / f"{name}.json"
        given = document("straight edge", KNOWN, np.random.default_rng(seed), 0.2, name=f"{name} rib")
        path.write_text(json.dumps(given), encoding="utf-8")
        paths.append(str(path))
    assert cli.main(["original", paths[0]]) == cli.FINE
    said, told = capsys.readouterr()
    assert core.job({**rib(), **json.loads(said)}).part.length_mm == pytest.approx(LENGTH_MM, abs=0.5)
    assert "left rib: 40 readings at 20 places" in told
    radius = re.search(r"tightest radius ([\d.]+) mm, between ([\d.]+) mm and ([\d.]+) mm", told)
    known = 1.0 / (1.0 / TIGHTEST_MM + 1.0 / TURN_MM)
    assert float(radius[2]) < known < float(radius[3])
    assert cli.main(["original", *paths]) == cli.FINE
    said, told = capsys.readouterr()
    assert "they differ by no more than the measuring explains" in told
    assert "The line is the mean of both." in told
    assert cli.main(["original", str(tmp_path / "none.json")]) == cli.NO_FILE
