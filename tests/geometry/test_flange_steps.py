"""How far sectors of a flange may stand apart: lengths of the edge between points in space."""

from __future__ import annotations

import numpy as np
import pytest

from core.geometry.flange_steps import STEP_RAD, least_beside, steps_rad

WIDTH, HEIGHT = np.array([25.0, 25.0, 35.0]), 30.0


@pytest.mark.parametrize("takes", [0.01, 0.05])
def test_the_twist_stretches_the_edge_by_what_it_takes(takes: float) -> None:
    steps = steps_rad(WIDTH, HEIGHT, takes, closed=True)
    for step, apart in zip(steps, (25.0, 30.0, 30.0), strict=True):
        ends = [
            np.array([at, HEIGHT * np.cos(angle), HEIGHT * np.sin(angle)])
            for at, angle in ((0.0, 0.4), (apart, 0.4 + step))
        ]
        assert np.log(np.linalg.norm(ends[1] - ends[0]) / apart) == pytest.approx(takes)


def test_no_step_is_more_than_is_usual_and_an_open_end_has_none() -> None:
    assert steps_rad(WIDTH, HEIGHT, np.inf, closed=True) == pytest.approx([STEP_RAD] * 3)
    assert steps_rad(WIDTH, HEIGHT, 0.5, closed=False) == pytest.approx([STEP_RAD, STEP_RAD, np.inf])


def test_sectors_rise_step_by_step_from_those_that_wait() -> None:
    angles, sides = np.array([0.1, 0.2, 0.3, 0.4, 0.5]), np.array([1.0, 1.0, 1.0, -1.0, -1.0])
    open_, ring = np.array([0.5, 0.5, 0.2, 0.5, np.inf]), np.array([0.5, 0.5, 0.2, 0.5, 0.1])
    assert least_beside(angles, sides, open_) == pytest.approx([1.6, 1.1, 0.6, 0.5, 1.0])
    assert least_beside(angles, sides, ring) == pytest.approx([0.6, 1.1, 0.6, 0.5, 0.2])
    assert np.all(np.isinf(least_beside(angles, np.ones(5), ring)))
