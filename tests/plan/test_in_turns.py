"""An outline that wants both actions goes up in rounds of the two, so that no sector twists the next far."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

import core
from core.kinds.flange import FlangePart
from tests.made_up import OUTLINES, flange

WAVE = {"segments": [["120 mm", None], ["160 mm", "150 mm"], ["150 mm", "-150 mm"], ["100 mm", None]]}


def steepest(part: FlangePart, deviation_mm: np.ndarray) -> float:
    """Largest difference of angle, degrees, between sectors side by side with these gaps at their tips."""
    angles = [part.tip_angle_rad(float(gap)) for gap in deviation_mm]
    return float(np.degrees(np.abs(np.diff(angles)).max()))


@pytest.mark.parametrize("pitch", ["30 mm", "60 mm"])
def test_no_sector_is_planned_far_above_the_next(pitch: str) -> None:
    """No more than 30 degrees between any two, but for what a stroke more does where the tool folds."""
    job = core.job(flange(outline=WAVE, height="15 mm", angle="90 deg", pitch=pitch))
    assert isinstance(job.part, FlangePart)
    advice = core.refit(job, [])
    passes = advice.remaining
    assert passes[-1].expected_gap_mm <= job.tolerance_mm
    assert sum(one.action != other.action for one, other in pairwise(passes)) >= 2
    assert max(steepest(job.part, each.expected_deviation_mm) for each in passes) <= 31.0
    (said,) = [said for said in advice.reasons if "They take turns" in said]
    assert (
        "no sector stands more than 30° above the next, as the twist between them stretches its edge" in said
    )


def test_metal_that_takes_less_twist_is_told_its_own_step() -> None:
    """By hand: a free edge that takes the strain e goes aside by w sqrt(exp(2 e) - 1) = 2 h sin(d/2)."""
    change = {"limits": {"stretch_since_anneal": 0.05}, "pitch": "20 mm", "height": "25 mm"}
    job = core.job(flange(outline=WAVE, angle="90 deg", **change))
    assert isinstance(job.part, FlangePart)
    width, waits = job.part.sites.width_mm, job.part.sides[:-1] != job.part.sides[1:]
    apart = float(np.min(0.5 * (width[:-1] + width[1:])[waits]))
    step = np.degrees(2.0 * np.arcsin(apart * np.sqrt(np.expm1(0.1)) / 50.0))
    assert step < 29.0
    (said,) = [said for said in core.refit(job, []).reasons if "They take turns" in said]
    assert f"more than {step:.0f}° above the next" in said and "as far as the metal takes" in said


def test_where_all_sectors_are_turned_up_by_one_action_nobody_waits() -> None:
    for outline in ("rim", "hole", "saddle"):
        job = core.job(flange(outline=OUTLINES[outline]))
        assert isinstance(job.part, FlangePart)
        for sign in (1.0, -1.0):
            assert np.all(np.isinf(job.part.ahead(job.part.target, sign, 0.01)))
        assert not any("They take turns" in said for said in core.refit(job, []).reasons)


def test_what_is_left_to_run_ahead_ends_where_the_step_does() -> None:
    """By the angles: sectors by which the concave ones stand, all at 10 degrees, may go to 40."""
    job = core.job(flange(outline=WAVE, height="15 mm", angle="90 deg", start_angle="10 deg", pitch="60 mm"))
    part = job.part
    assert isinstance(part, FlangePart)
    ahead = part.ahead(part.target, 1.0, np.inf)
    beside = (part.sides > 0) & (np.convolve(part.sides < 0, [1, 1, 1], "same") > 0)
    then = np.where(beside, part.target - ahead, part.target)
    assert np.degrees(part.angles_rad(then)[beside]) == pytest.approx(np.full(beside.sum(), 40.0), abs=0.01)
    assert np.all(np.isinf(ahead[part.sides < 0]))
