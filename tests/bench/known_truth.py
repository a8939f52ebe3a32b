"""What one who knows everything is told of a simulated part of any kind, in the unit of the part's work."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from core.estimate.gaussian import Belief, read
from core.jobtypes import Job
from core.kinds.flange import FlangePart
from core.readings.offering import offer
from core.readings.seating import rigid_free
from core.simulate import SimulatedBar, SimulatedDish, SimulatedFlange, SimulatedPart

Array = NDArray[np.float64]
TURNS = 4  # of looking at the shape anew
SEEN_MM = 0.1
DIFFERS = (5e-4, 0.03)  # strain, and share of it, by which rings may differ from what strokes put there


def first_stroke(job: Job, made: SimulatedPart, action: str, bite: str) -> Array:
    """(n,) true work, now, of the first stroke of a pass at each site."""
    if isinstance(made, SimulatedBar):
        return made.first_stroke_rad(action, bite)
    if isinstance(made, SimulatedFlange):
        under = job.under[action]
        return made.first_stroke(action, bite) * under.work_per_strain() / under.covered()
    assert isinstance(made, SimulatedDish)
    return made.first_stroke(action, bite)


def work_left(job: Job, made: SimulatedPart) -> Array:
    """(n,) true remaining work."""
    if isinstance(made, SimulatedBar):
        return job.part.target - made.stock_kinks_rad() - made.work_done_rad()
    if isinstance(made, SimulatedFlange):
        assert isinstance(job.part, FlangePart)
        return job.part.work_at(made.own_angles_rad())
    assert isinstance(made, SimulatedDish)
    return _left_of_dish(job, made)


def _left_of_dish(job: Job, dish: SimulatedDish) -> Array:
    """The work that shows the true deviations, near what strokes have left: where in a ring they lie and how
    the sheet has set change the shape, too."""
    done, part = dish.work_done(), job.part
    least, share = DIFFERS
    known = Belief(part.target - done, np.diag((least + share * np.abs(done)) ** 2))
    work, true = known.mean, dish.true_deviation_mm()
    told = np.isfinite(true)
    for _ in range(TURNS):
        here = part.linearise(work, offer(part, job.template, work).seat)
        free = rigid_free(here.seating[told])
        rows = free @ here.influence[told]
        lacks = free @ (true - here.deviation_mm)[told] - rows @ (known.mean - work)
        work = read(known, rows, lacks, np.full(len(rows), SEEN_MM**2)).belief.mean
    return work
