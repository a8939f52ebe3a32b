"""Angles by protractor become the gaps that a square would show."""

from __future__ import annotations

import numpy as np
import pytest

import core
from tests.made_up import OUTLINES, flange, rib

JOB = core.job(flange(outline=OUTLINES["straight"], gauge="dial"))
N = len(JOB.part.sites)


def test_gaps_by_hand() -> None:
    """20 mm sin(90 - a): 60 degrees 10 mm, 92 degrees -0.698 mm; the log holds plain gaps of a square."""
    event = core.angles_read(JOB, ["60 deg", "92 deg", "1.5707963 rad", None, *["90 deg"] * (N - 4)])
    assert event["gaps_mm"][:3] == pytest.approx([10.0, -0.698, 0.0], abs=1e-3)
    assert event["gaps_mm"][3] is None and event["gauge"][3] is None
    assert event["template"] == "square"
    assert event["note"].startswith("by protractor: 60.00°, 92.00°, 90.00°, not read")
    core.check_event(JOB, event)


def test_its_gauge_is_as_fine_as_a_step_of_the_protractor_there() -> None:
    """Half a degree of 20 mm is 0.1745 mm upright, half of that at 30 degrees, 0.087 of it at 5."""
    angles = ["90 deg", "30 deg", "5 deg", *["90 deg"] * (N - 3)]
    read = core.angles_read(JOB, angles, step="0.5 deg")
    steps = [gauge["step_mm"] for gauge in read["gauge"][:3]]
    assert steps == pytest.approx([0.17453, 0.08727, 0.01521], abs=1e-4)
    assert [gauge["repeatability_mm"] / gauge["step_mm"] for gauge in read["gauge"]] == pytest.approx(
        [0.5] * N
    )
    finer = core.angles_read(JOB, ["90 deg"] * N, step="0.1 deg")["gauge"][0]["step_mm"]
    assert finer == pytest.approx(0.17453 / 5, rel=1e-3)


def test_advice_is_that_of_the_gaps() -> None:
    angles = np.linspace(86.0, 91.0, N)
    event = core.angles_read(JOB, [f"{a} deg" for a in angles], step="0.1 deg")
    advice = core.refit(JOB, [core.pass_done("shrink", [40] * N, bite="heavy"), event])
    assert np.degrees(JOB.part.angles_rad(advice.remaining_work)) == pytest.approx(angles, abs=0.3)


@pytest.mark.parametrize(
    ("angles", "step", "field"),
    [
        (["90 deg"], "0.5 deg", "angles"),
        (["90 mm"] + ["90 deg"] * (N - 1), "0.5 deg", "angles[0]"),
        (["90 deg"] * (N - 1) + [90], "0.5 deg", f"angles[{N - 1}]"),
        (["170 deg"] * N, "0.5 deg", "angles[0]"),
        (["-3 deg"] * N, "0.5 deg", "angles[0]"),
        (["90 deg"] * N, "0 deg", "step"),
        (["90 deg"] * N, "0.5 mm", "step"),
    ],
)
def test_what_is_no_angle_is_refused(angles: list[object], step: str, field: str) -> None:
    with pytest.raises(core.InputError) as refused:
        core.angles_read(JOB, angles, step=step)
    assert refused.value.field == field


def test_a_bar_has_no_angle_to_be_read() -> None:
    with pytest.raises(core.InputError, match="turned to an angle"):
        core.angles_read(core.job(rib()), ["90 deg"] * 30)


def test_one_angle_is_as_one_of_a_round():
    whole = core.angles_read(JOB, ["60 deg", *[None] * (N - 1)])
    one = core.angle_read(JOB, 0, 60)
    assert one["gap_mm"] == whole["gaps_mm"][0] and one["gauge"] == whole["gauge"][0]
    assert JOB.part.tip_angle_rad(one["gap_mm"]) == pytest.approx(np.radians(60.0))
