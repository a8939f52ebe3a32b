"""A flange all round has no ends: its last sector is the neighbour of the first (geometry)."""

from __future__ import annotations

import numpy as np
import pytest

import core
from core.estimate.response import ResponseModel
from core.plan.rounding import Aim, whole_strokes
from core.readings.offering import layout_of
from core.simulate import SimulatedFlange, draw_truth
from tests.made_up import OUTLINES, flange

RING = core.job(flange(outline=OUTLINES["hole"]))
OPEN = core.job(flange(outline=OUTLINES["mixed"]))


def test_unevenness_is_alike_across_the_beginning() -> None:
    for job, alike in ((RING, True), (OPEN, False)):
        modes = ResponseModel(job).modes
        covariance = modes @ modes.T
        assert (covariance[0, -1] == pytest.approx(covariance[0, 1], rel=0.01)) == alike
        assert covariance[0, 0] == pytest.approx(0.11**2, rel=0.02)


def test_struck_neighbours_are_counted_across_the_beginning() -> None:
    for job, beside in ((RING, 0.5), (OPEN, 0.0)):
        struck = np.zeros(len(job.part.sites))
        struck[-1] = 3.0
        assert ResponseModel(job).neighbours_struck(struck)[0] == beside


@pytest.mark.parametrize(("closed", "zones"), [(True, {2.0}), (False, {2.0, 3.0})])
def test_a_zone_goes_on_across_the_beginning(closed: bool, zones: set[float]) -> None:
    """Six sectors about the mark that want 2 and 2.9 strokes: one zone on a ring, else one at each end."""
    wanted = np.array([2.0] * 3 + [0.0] * 6 + [2.9] * 3)
    aim = Aim(
        work=lambda counts: counts,
        most=np.full(12, 9.0),
        wanted=wanted,
        rest=np.zeros(12),
        free=np.eye(12),
        width=lambda readings: np.abs(readings).max(axis=1),
        allowed_mm=1.0,
        closed=closed,
    )
    assert set(whole_strokes(wanted, aim)) - {0.0} == zones


def test_the_gap_counts_where_a_ring_begins() -> None:
    assert 0.0 in layout_of(RING.part, RING.template).points_mm
    assert 0.0 not in layout_of(OPEN.part, OPEN.template).points_mm


def test_the_simulated_ring_has_no_step_where_it_begins() -> None:
    job = core.job(flange(pitch="20 mm"))
    made = core.simulated_part(job, 4, draw_truth(np.random.default_rng(4), job.tool.bites))
    assert isinstance(made, SimulatedFlange)
    steps = np.abs(np.diff(np.append(made.own_angles_rad(), made.own_angles_rad()[0])))
    assert steps[-1] <= steps[:-1].max()
