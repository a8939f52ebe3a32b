"""The bench's own reckoning of what a shop cannot run: figures by hand, and a wrong sentence is noticed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from shops import Misfit, fed_as_it_can, fits_shop, misfits, told, too_thick_mm, unlike

from core.planned import Zone

SET: dict[str, Any] = {
    "name": "long jaws",
    "patch_length": "20 mm",
    "patch_depth": "15 mm",
    "smallest_angle": "105 deg",
    "bites": {"light": 0.4, "heavy": 1.8},
    "settings": {"light": "2 mm", "heavy": "5 mm"},
    "strokes_per_minute": 40,
    "smallest_flange": "35 mm",
    "smallest_radius": "150 mm",
    "actions": ["shrink"],
}
JOB: dict[str, Any] = {
    "material": "aluminium 1050A-O",
    "section": {"shape": "angle", "worked": "30 mm", "other": "20 mm", "thickness": "3 mm"},
    "line": {"radius": "100 mm", "length": "260 mm"},
    "machine": {
        "throat": "12 mm",
        "rated_thickness": "1 mm",
        "stroke_rates": [60, 200],
        "feeds": ["2 mm/s", "12 mm/s"],
        "settings_range": ["1 mm", "4 mm"],
    },
    "tool": SET,
    "more_tools": [],
}


def test_misfits_by_hand() -> None:
    """Rm 65 to 95 MPa, so 80: the root of 400/80 is 2.236, the more cautious one of soft metal. Strokes 20 mm
    apart at 60 a minute want 20 mm/s."""
    assert too_thick_mm(JOB) == pytest.approx(3.0 - 2.2360680)
    found = {misfit.what: misfit.by for misfit in misfits(JOB, ["long jaws"])}
    wanted = {
        "angle": 15.0,
        "feed": 8.0,
        "flange": 5.0,
        "radius": 80.0,
        "throat": 3.0,
        "rate": 20.0,
        "setting": 1.0,
        "thickness": 0.763932,
    }
    assert found == pytest.approx(wanted, abs=1e-6)
    assert not fits_shop(JOB)


def test_a_least_strength_alone_gives_way_to_that_of_the_hardening() -> None:
    """6082-T4, at least 205 MPa: 400 * 0.22^0.22 * e^-0.22 = 230.06 MPa; the root of 400/230.06 is 1.3186."""
    assert too_thick_mm({**JOB, "material": "aluminium 6082-T4"}) == pytest.approx(3.0 - 1.31859, abs=1e-4)


def test_a_rate_or_one_bite_that_does_not_fit_holds_no_job_up() -> None:
    roomy = {**JOB["machine"], "throat": "15 mm", "rated_thickness": "2 mm"}
    small = {**SET, "smallest_flange": "30 mm", "smallest_radius": "70 mm", "smallest_angle": "90 deg"}
    job = {**JOB, "machine": roomy, "tool": small}
    assert fits_shop(job) and {m.what for m in misfits(job, ["long jaws"])} == {"feed", "rate", "setting"}
    assert not fits_shop({**job, "line": {"radius": "-100 mm", "length": "260 mm"}})  # it wants stretching
    assert fits_shop({**job, "tool": SET, "more_tools": [small]})  # another set lies ready


def test_a_sentence_left_out_or_with_a_wrong_amount_is_noticed() -> None:
    sentence = "The tool grips the edge 15.0 mm deep and the throat of it is 12.0 mm, 3.00 mm too little: a"
    assert told([sentence]) == [Misfit("throat", 3.0)]
    assert unlike([Misfit("throat", 3.0)], told([sentence])) == ([], [])
    assert unlike([Misfit("throat", 3.0)], []) == ([Misfit("throat", 3.0)], [])
    wrong = told([sentence.replace("3.00", "2.00")])
    assert unlike([Misfit("throat", 3.0)], wrong) == ([Misfit("throat", 3.0)], wrong)


def test_feeds_by_hand() -> None:
    """Two stations of 30 mm with six strokes each: 12 strokes at 60 a minute are 12 s, so 5 mm/s at a go."""
    zone = Zone(3, 4, 6, 5.0, 12.0)
    able = {**JOB, "machine": {**JOB["machine"], "feeds": ["2 mm/s", "12 mm/s"]}}
    slow = {**JOB, "machine": {**JOB["machine"], "feeds": ["8 mm/s", "12 mm/s"]}}
    none = {**JOB, "machine": {**JOB["machine"], "feeds": ["11 mm/s", "14 mm/s"]}}
    assert fed_as_it_can(able, zone, 60.0, 60.0)
    assert not fed_as_it_can(able, replace(zone, feed_mm_per_s=6.0), 60.0, 60.0)
    assert not fed_as_it_can(able, zone, 70.0, 60.0)
    assert not fed_as_it_can(able, replace(zone, seconds=20.0, standing=True), 60.0, 60.0)
    assert not fed_as_it_can(slow, zone, 60.0, 60.0)
    assert fed_as_it_can(slow, replace(zone, feed_mm_per_s=10.0, goes=2), 60.0, 60.0)
    assert not fed_as_it_can(none, replace(zone, feed_mm_per_s=10.0, goes=2), 60.0, 60.0)
    assert fed_as_it_can(none, replace(zone, seconds=20.0, standing=True), 60.0, 60.0)
