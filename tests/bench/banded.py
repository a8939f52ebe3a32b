"""Parts worked to a fixed script, for checking that the 95 per cent bands hold 95 per cent of the time.

The script takes 60 per cent of what is left by the first guess in each pass, whatever was read, so that
the log does not depend on the estimator under test.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from draws import Drawn, meridian
from numpy.typing import NDArray

from core.estimate.fit import Fit, fit
from core.events import gaps_read, pass_done
from core.jobdoc import job as job_from
from core.jobtypes import Job
from core.readings.offering import offer
from core.readings.rounds import steps_of
from core.readings.seating import rigid_free
from core.simulate import SimulatedDish, SimulatedPart, simulated_part

Array = NDArray[np.float64]
SHARE = 0.6


@dataclass(frozen=True)
class Held:
    """inside : (n,) true deviation within the band; score : (n,) miss in standard deviations, rigid
    motion taken out of both; set_aside : readings that were questioned though none was wrong; lobed : (c,)
    the same as inside of each number of the lobes"""

    form: str
    section: str
    inside: Array
    score: Array
    set_aside: int
    lobed: Array = field(default_factory=lambda: np.zeros(0, bool))


def scripted_log(job: Job, made: SimulatedPart, passes: int, meridians: int = 1) -> list[dict[str, Any]]:
    """Passes of the first guess, each read with whatever gauge reaches, on so many meridians."""
    left = job.part.target.copy()
    one = job.part.work_per_strain() * job.tool.strain("medium")
    events: list[dict[str, Any]] = []
    for k in range(passes):
        action = "shrink" if k % 2 == 0 or np.all(left >= 0) else "stretch"
        sign = 1.0 if action == "shrink" else -1.0
        strokes = np.round(np.maximum(SHARE * sign * left, 0.0) / one).astype(int).tolist()
        if not any(strokes):
            continue
        left = left - sign * np.array(strokes) * one
        made.work(action, "medium", strokes)
        events.append(pass_done(action, strokes))
        for turn in range(meridians):
            gaps, gauges = made.gaps_by_any_gauge(**meridian(turn))
            events.append(gaps_read(gaps, gauges if any(gauges) else None, **meridian(turn)))
    return events


def held(drawn: Drawn, passes: int = 4) -> Held:
    """Whether the estimator's bands hold the truth on this part after so many scripted passes."""
    job = job_from(drawn.document)
    made = simulated_part(job, drawn.seed, drawn.truth)
    fitted = fit(job, steps_of(job, scripted_log(job, made, passes, drawn.meridians)))
    n = len(job.part.sites)
    work, cov = fitted.belief.mean[:n], fitted.belief.cov[:n, :n]
    here = fitted.part.linearise(work, offer(fitted.part, job.template, work).seat)
    true = made.true_deviation_mm()
    told = np.isfinite(true)  # a disc far across its template cannot be measured everywhere
    free = rigid_free(here.seating[told])
    miss = free @ (true - here.deviation_mm)[told]
    rows = free @ here.influence[told]
    sd = np.sqrt(np.einsum("ij,jk,ik->i", rows, cov, rows))
    score = miss / sd
    aside = sum(len(said.set_aside) for said in fitted.rounds.values())
    return Held(
        drawn.form,
        " ".join(
            v
            for k, v in drawn.document.get("section", {}).items()
            if k in ("shape", "worked") and not v.endswith("mm")
        ),
        np.abs(score) <= 1.96,
        score,
        aside,
        _lobes_held(made, fitted),
    )


def _lobes_held(made: SimulatedPart, fitted: Fit) -> Array:
    if not isinstance(made, SimulatedDish):
        return np.zeros(0, bool)
    true = np.column_stack([made.lobes.high_mm.real, made.lobes.high_mm.imag]).ravel()
    own = slice(fitted.sites, fitted.sites + len(true))
    sd = np.sqrt(np.diag(fitted.lobed.cov)[own])
    return np.abs(fitted.lobed.mean[own] - true) <= 1.96 * sd
