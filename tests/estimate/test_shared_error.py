"""What repeats from reading to reading is not averaged away."""

from __future__ import annotations

import numpy as np

import core
from core.estimate.shared_error import sharing
from core.readings.rounds import Round, steps_of
from tests.made_up import bowl, rib


def test_rounds_of_one_shape_are_together_as_sure_as_their_mean() -> None:
    """The mean of n is known to sd^2/n + off^2: three rounds of a shape, an anneal between them, then one."""
    job = core.job(bowl())
    n, off = len(job.part.sites), np.hypot(0.05, 0.02)
    gaps = core.gaps_read([1.0] * n)
    worked = core.pass_done("shrink", [5] * n)
    steps = steps_of(job, [worked, gaps, gaps, core.annealed(), gaps, worked, gaps])
    shared = sharing(job, steps)
    assert [type(step) for step in shared] == [type(step) for step in steps]
    rounds = [(a, b) for a, b in zip(steps, shared, strict=True) if isinstance(a, Round)]
    for (own, told), count in zip(rounds, (3, 3, 3, 1), strict=True):
        together = np.mean(told.sd_mm**2) / count
        assert np.isclose(together, np.mean(own.sd_mm**2) / count + off**2, rtol=1e-12)


def test_bars_have_no_such_error() -> None:
    job = core.job(rib())
    steps = steps_of(job, [core.gaps_read([1.0] * len(job.part.sites))])
    assert sharing(job, steps) is steps
