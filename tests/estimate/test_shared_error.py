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
    n = len(job.part.sites)
    gaps = core.gaps_read([1.0] * n)
    off = job.part.shape_off_mm(np.ones(n))
    worked = core.pass_done("shrink", [5] * n)
    steps = steps_of(job, [worked, gaps, gaps, core.annealed(), gaps, worked, gaps])
    shared = sharing(job, steps)
    assert [type(step) for step in shared] == [type(step) for step in steps]
    rounds = [(a, b) for a, b in zip(steps, shared, strict=True) if isinstance(a, Round)]
    for (own, told), count in zip(rounds, (3, 3, 3, 1), strict=True):
        together = np.mean(told.sd_mm**2) / count
        assert np.isclose(together, np.mean(own.sd_mm**2) / count + np.mean(off**2), rtol=1e-12)


def test_bars_have_no_such_error() -> None:
    job = core.job(rib())
    steps = steps_of(job, [core.gaps_read([1.0] * len(job.part.sites))])
    assert sharing(job, steps) is steps


def test_what_the_geometry_is_off_by_grows_with_what_is_to_come_and_towards_the_rim() -> None:
    """A tenth of 1.5 mm and a little more beside the rim of a flat disc, 2 % of wide gaps; when all is done,
    little more than the template is off."""
    part = core.job(bowl()).part
    done, flat = part.shape_off_mm(np.zeros(len(part.sites))), part.shape_off_mm(np.full(len(part.sites), 60.0))
    assert done[0] < 0.025 and done[0] < done[-1] < 0.05
    assert np.all(flat > 0.02 * 60.0) and flat[-1] > flat[0]
    unread = part.shape_off_mm(np.full(len(part.sites), np.nan))
    np.testing.assert_allclose(unread, done)
