"""What one who knows everything does next on a dish: a pass, or a step against its lobes, by the same rules
as this project, but told the lobes as they are and how far a step takes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from draws import meridian
from numpy.typing import NDArray

from core.estimate.fit import Fit
from core.estimate.gaussian import Belief
from core.estimate.moves import Worn
from core.estimate.response import ResponseModel
from core.estimate.uneven import even_mm
from core.events import gaps_read
from core.jobtypes import Job
from core.lobing import lobing
from core.planned import Pass
from core.plannednow import planned_now
from core.readings.rounds import steps_of
from core.roundness import RoundingStep
from core.simulate import SimulatedDish
from core.simulate.lobes import HALF_ROUND, NUMBERS, STIFFER
from core.strained import Strained

if TYPE_CHECKING:
    from players import Bench

Array = NDArray[np.float64]
TELLING = 5  # meridians, eighths of a turn apart, on which all lobes are told
CERTAIN = 1e-12  # variance of what is known


def next_on_dish(
    bench: Bench, job: Job, model: ResponseModel, work: Array, edge: Strained
) -> Pass | RoundingStep | None:
    """The pass or the step that comes next, None where neither helps. work : (n,) truly left; edge : strain
    of the metal so far"""
    made = bench.made
    assert isinstance(made, SimulatedDish)
    lobes = np.column_stack([made.lobes.high_mm.real, made.lobes.high_mm.imag]).ravel()
    even, whole = (
        Belief(mean, CERTAIN * np.eye(len(mean)))
        for mean in (
            np.concatenate([work, model.mean]),
            np.concatenate([work, lobes, step_answers(job, made), model.mean]),
        )
    )
    n = len(work)
    blank = Worn.none(n)
    worn = Worn(blank.strain, blank.beyond, edge, blank.work, blank.aside)
    known = Fit(even, model, worn, {}, [], [], True, whole)
    steps = steps_of(job, [*bench.events, *_laid_on(bench)])
    planned = planned_now(job, steps, known)
    if planned:
        return planned[0]
    found = lobing(job, steps, known)
    return None if found is None else found.step


def step_answers(job: Job, made: SimulatedDish) -> Array:
    """(2,) how far a stroke of a step truly takes lobes of each number, over what even work of the first
    guess does; of the first action and its weakest bite."""
    action = next(each for each in ("shrink", "stretch") if job.bites(each))
    bite = job.bites(action)[0]
    share = 0.5 * (job.part.rings_mm[1:] + job.part.rings_mm[:-1]) / job.part.rings_mm[-1]
    modes = made.lobes.modes(share)
    uneven = HALF_ROUND * made.first_stroke(action, bite)[-1] * modes[-1] / modes.sum(axis=0)
    gone = made.truth.gives_way * np.array(STIFFER) * made.lobes.rim_mm * uneven
    assert len(gone) == len(NUMBERS)
    return np.asarray(gone / abs(even_mm(job, action, bite)))


def _laid_on(bench: Bench) -> list[dict[str, Any]]:
    """Rounds that say on which meridians the dish is looked at; their gaps are not used."""
    turns = range(max(bench.drawn.meridians, TELLING))
    return [gaps_read(*bench.made.gaps_by_any_gauge(**meridian(turn)), **meridian(turn)) for turn in turns]
