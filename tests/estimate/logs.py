"""Logs for the estimator's tests, and the estimator's own linear problem solved by somebody else.

``batch`` is generalised least squares on everything at once in SciPy; ``state_space`` gives the same
problem, step by step, to statsmodels.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import scipy.linalg
from numpy.typing import NDArray
from statsmodels.tsa.statespace.kalman_smoother import KalmanSmoother

import core
from core.estimate.fit import Fit, fit, prior
from core.estimate.gaussian import Belief
from core.estimate.moves import Move
from core.readings.rounds import steps_of

Array = NDArray[np.float64]
SEED = 3


def worked(job: core.Job, passes: int, seed: int = SEED, share: float = 0.8, **how: Any) -> list[dict]:
    """A log of so many passes by the first guess, evenly dividing the work, each read; how: of the reading.

    An even pass shrinks; where the target asks for both actions they take turns.
    """
    bar = core.simulated_bar(job, seed)
    one = job.part.work_per_strain() * job.tool.strain("medium")
    turns = ["shrink"] if np.all(job.part.target > 0) else ["shrink", "stretch"]
    each = share * job.part.target / passes * len(turns)
    events: list[dict[str, Any]] = []
    for k in range(passes):
        action = turns[k % len(turns)]
        sign = 1.0 if action == "shrink" else -1.0
        strokes = np.round(np.maximum(sign * each, 0.0) / one).astype(int).tolist()
        bar.work(action, "medium", strokes)
        events.append(core.pass_done(action, strokes))
        events.append(whole_round(bar, **how))
    return events


def whole_round(bar: core.SimulatedBar, every: int = 1, template: core.Template | None = None) -> dict:
    """Gaps at every so-manieth station, with the rule where the leaves end."""
    gaps, gauges = bar.gaps_by_any_gauge(template)
    gaps = [g if i % every == 0 else None for i, g in enumerate(gaps)]
    return core.gaps_read(gaps, gauges if any(gauges) else None, template=template)


def fitted(job: core.Job, events: list[dict]) -> Fit:
    """The estimator's answer to a log."""
    return fit(job, steps_of(job, events))


def batch(job: core.Job, answer: Fit) -> Belief:
    """Everything at once: work, response, the scatter of every pass and every seating (QR in SciPy).

    min sum ((u - prior)/sd)^2 + sum ((value - offset - rows u)/sd)^2 over all unknowns u; what is wanted
    of it is [x after the last step, theta].
    """
    start, n = prior(job, answer.model), answer.sites
    unknown = len(start.mean)
    moves = [s for s in answer.linear if isinstance(s, Move)]
    readings = len(answer.linear) - len(moves)
    seats = len(job.part.seat_sd)
    struck = [np.flatnonzero(m.variance > 0) for m in moves]
    total = unknown + sum(map(len, struck)) + len(moves) + seats * readings
    sd = np.concatenate(
        [
            np.sqrt(np.diag(start.cov)),
            *(np.append(np.sqrt(m.variance[s]), 1.0) for m, s in zip(moves, struck, strict=True)),
            np.tile(job.part.seat_sd, readings),
        ]
    )
    now = np.zeros((n, total))
    now[:, :n] = np.eye(n)
    shift, scatter_at, seat_at = np.zeros(n), unknown, total - seats * readings
    rows, right = [], []
    for step in answer.linear:
        if isinstance(step, Move):
            shift = shift + step.shift
            now[:, n:unknown] += step.slopes
            sites = np.flatnonzero(step.variance > 0)
            now[sites, scatter_at + np.arange(len(sites))] += 1.0
            now[:, scatter_at + len(sites)] += 0.0 if step.alike is None else step.alike
            scatter_at += len(sites) + 1
            continue
        row = step.rows_x @ now
        row[:, seat_at : seat_at + seats] += step.rows_seat
        seat_at += seats
        rows.append(row / np.sqrt(step.variance)[:, None])
        right.append((step.value - step.offset - step.rows_x @ shift) / np.sqrt(step.variance))
    mean = np.concatenate([start.mean, np.zeros(total - unknown)])
    # Unknowns in units of their prior sd about their prior mean: u = mean + sd v.
    stacked = np.vstack([np.eye(total), np.vstack(rows) * sd])
    residual = np.concatenate([np.zeros(total), np.concatenate(right) - np.vstack(rows) @ mean])
    q, r = scipy.linalg.qr(stacked, mode="economic")
    v = scipy.linalg.solve_triangular(r, q.T @ residual)
    wanted = np.vstack([now, np.eye(total)[n:unknown]]) * sd
    half = scipy.linalg.solve_triangular(r, wanted.T, trans="T")
    offset = np.concatenate([shift, np.zeros(unknown - n)])
    final = offset + np.vstack([now, np.eye(total)[n:unknown]]) @ mean + wanted @ v
    return Belief(final, half.T @ half)


def state_space(job: core.Job, answer: Fit) -> KalmanSmoother:
    """The same problem as statsmodels states it: one time step a round, the seating a state drawn anew.

    Needs a log in which every round follows one pass.
    """
    start, n = prior(job, answer.model), answer.sites
    size, seats = len(start.mean), len(job.part.seat_sd)
    pairs = list(zip(answer.linear[::2], answer.linear[1::2], strict=True))
    steps = len(pairs) + 1
    data = np.full((steps, n), np.nan)
    for t, (_, reading) in enumerate(pairs):
        data[t + 1, reading.stations] = reading.value
    model = KalmanSmoother(k_endog=n, k_states=size + seats, k_posdef=size + seats)
    model.bind(data)
    model["selection"] = np.eye(size + seats)
    model["design"] = np.zeros((n, size + seats, steps))
    model["obs_intercept"] = np.zeros((n, steps))
    model["obs_cov"] = np.repeat(np.eye(n)[:, :, None], steps, axis=2)
    model["transition"] = np.zeros((size + seats, size + seats, steps))
    model["state_intercept"] = np.zeros((size + seats, steps))
    model["state_cov"] = np.zeros((size + seats, size + seats, steps))
    for t, (move, reading) in enumerate(pairs):
        model["transition", :size, :size, t] = np.eye(size)
        model["transition", :n, n:size, t] = move.slopes
        model["state_intercept", :n, t] = move.shift
        noise = np.concatenate([move.variance, np.zeros(size - n), job.part.seat_sd**2])
        model["state_cov", :, :, t] = np.diag(noise)
        at = reading.stations
        design = np.zeros((n, size + seats))
        design[at, :n], design[at, size:] = reading.rows_x, reading.rows_seat
        model["design", :, :, t + 1] = design
        model["obs_intercept", at, t + 1] = reading.offset
        model["obs_cov", at, at, t + 1] = reading.variance
    everything = np.zeros((size + seats, size + seats))
    everything[:size, :size] = start.cov
    everything[size:, size:] = np.diag(job.part.seat_sd**2)
    model.initialize_known(np.concatenate([start.mean, np.zeros(seats)]), everything)
    return model


def apart(one: Belief, other: Belief) -> tuple[float, float]:
    """Largest difference of means and of covariances, both in standard deviations of ``other``."""
    sd = np.sqrt(np.diag(other.cov))
    mean = np.max(np.abs(one.mean - other.mean) / sd)
    return float(mean), float(np.max(np.abs(one.cov - other.cov) / np.outer(sd, sd)))
