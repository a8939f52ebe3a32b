"""The bench's own reckoning of what a shop cannot run: figures by hand, and a wrong sentence is noticed."""

from __future__ import annotations

from typing import Any

import pytest
from shops import Misfit, fits_shop, misfits, told, too_thick_mm, unlike

SET: dict[str, Any] = {
    "name": "long jaws",
    "patch_depth": "15 mm",
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
        "settings_range": ["1 mm", "4 mm"],
    },
    "tool": SET,
    "more_tools": [],
}


def test_misfits_by_hand() -> None:
    """Rm 65 to 95 MPa, so 80: the root of 400/80 is 2.236, the more cautious one of soft metal."""
    assert too_thick_mm(JOB) == pytest.approx(3.0 - 2.2360680)
    found = {misfit.what: misfit.by for misfit in misfits(JOB, ["long jaws"])}
    wanted = {
        "flange": 5.0,
        "radius": 80.0,
        "throat": 3.0,
        "rate": 20.0,
        "setting": 1.0,
        "thickness": 0.763932,
    }
    assert found == pytest.approx(wanted, abs=1e-6)
    assert not fits_shop(JOB)


def test_a_rate_or_one_bite_that_does_not_fit_holds_no_job_up() -> None:
    roomy = {**JOB["machine"], "throat": "15 mm", "rated_thickness": "2 mm"}
    small = {**SET, "smallest_flange": "30 mm", "smallest_radius": "70 mm"}
    job = {**JOB, "machine": roomy, "tool": small}
    assert fits_shop(job) and {m.what for m in misfits(job, ["long jaws"])} == {"rate", "setting"}
    assert not fits_shop({**job, "line": {"radius": "-100 mm", "length": "260 mm"}})  # it wants stretching
    assert fits_shop({**job, "tool": SET, "more_tools": [small]})  # another set lies ready


def test_a_sentence_left_out_or_with_a_wrong_amount_is_noticed() -> None:
    sentence = "The tool grips the edge 15.0 mm deep and the throat of it is 12.0 mm, 3.00 mm too little: a"
    assert told([sentence]) == [Misfit("throat", 3.0)]
    assert unlike([Misfit("throat", 3.0)], told([sentence])) == ([], [])
    assert unlike([Misfit("throat", 3.0)], []) == ([Misfit("throat", 3.0)], [])
    wrong = told([sentence.replace("3.00", "2.00")])
    assert unlike([Misfit("throat", 3.0)], wrong) == ([Misfit("throat", 3.0)], wrong)
