"""The widest gap after every pass against each round's shape offered up to the template by itself."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import core
from core.readings.offering import offer
from tests.estimate.logs import fitted, worked
from tests.estimate.test_batch import JOBS
from tests.made_up import rib

TIGHT = rib(line={"radius": "640 mm", "length": "1200 mm"}, template="outside")


@pytest.mark.parametrize("document", [*JOBS.values(), TIGHT], ids=[*JOBS, "tight, outside"])
def test_every_round_is_told_at_its_best_seating(document: dict[str, Any]) -> None:
    """To four microns or two thousandths: while the part is open its slopes are not quite the last ones."""
    job = core.job(document)
    events = worked(job, 4)
    told = core.refit(job, events)
    found = fitted(job, events)
    alone = [
        offer(job.part, job.template, found.beliefs[k].mean[: found.sites], found.rounds[k].seat).widest_mm
        for k in sorted(found.rounds)
    ]
    np.testing.assert_allclose(told.gap_history_mm, alone, rtol=2e-3, atol=4e-3)
    assert told.gap_history_mm[-1] == told.widest_gap_mm


def test_a_pass_that_was_not_read_has_no_gap() -> None:
    """Two passes before the first round; a round read twice counts once, as last read."""
    job = core.job(rib())
    first, read, second, last = worked(job, 2)
    told = core.refit(job, [first, second, last]).gap_history_mm
    assert np.isnan(told[0]) and len(told) == 2
    twice = core.refit(job, [first, read, read, second, last]).gap_history_mm
    once = core.refit(job, [first, read, second, last]).gap_history_mm
    assert twice[0] == pytest.approx(once[0], rel=0.02)
    assert np.isnan(core.refit(job, [first, second]).gap_history_mm).tolist() == [True, True]
    assert core.refit(job, []).gap_history_mm == ()
