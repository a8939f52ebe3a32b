"""A simulated offcut of a bar's metal, struck and read as a trial has it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from draws import BITES

from core.readings.gauges import Gauge
from core.simulate import Truth, draw_truth, simulated_bar
from core.trial import Trial


def offcut_of(truth: Truth, rng: np.random.Generator) -> Truth:
    """Another piece of the same metal: its unevenness and its straightness are its own."""
    own = draw_truth(rng, BITES)
    return replace(truth, unevenness=own.unevenness, stock_curvature=own.stock_curvature)


def rise_read(trial: Trial, truth: Truth, gauge: Gauge, rng: np.random.Generator) -> tuple[float, Gauge]:
    """The rise of an offcut as an operator reads it, and with what: a steel rule where the gauge ends."""
    offcut = simulated_bar(trial.job, int(rng.integers(2**31)), truth)
    strokes = [trial.strokes if i in trial.spots else 0 for i in range(len(trial.job.part.sites))]
    offcut.work(trial.action, trial.bite, strokes)
    return offcut.rise(trial.chord_mm, trial.action, gauge)


def true_ratio(trial: Trial, truth: Truth) -> float:
    """Work of the trial's strokes on an average spot of this metal against so many times the first guess."""
    strength = trial.job.tool.bites[trial.bite]
    one = truth.common * truth.action[trial.action] * truth.bite_work(trial.bite, strength) / strength
    return float(one * trial.strokes ** (truth.exponent - 1.0))
