"""A simulated offcut of a bar's metal, struck and read as a trial has it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from draws import BITES

from core.readings.gauges import Gauge
from core.simulate import Truth, draw_truth, simulated_bar
from core.simulate.reading import read_off
from core.trial import Trial


def rise_read(trial: Trial, truth: Truth, seed: int, gauge: Gauge) -> float | str | None:
    """The rise as an operator reads it on an offcut of this metal, which has its own unevenness, stock and
    scatter; "beyond" where the gauge ends."""
    rng = np.random.default_rng([seed, 77])
    own = draw_truth(rng, BITES)
    truth = replace(truth, unevenness=own.unevenness, stock_curvature=own.stock_curvature)
    offcut = simulated_bar(trial.job, int(rng.integers(2**31)), truth)
    strokes = [trial.strokes if i in trial.spots else 0 for i in range(len(trial.job.part.sites))]
    offcut.work(trial.action, trial.bite, strokes)
    near, middle, far = offcut.points_mm(
        0.5 * (trial.length_mm + trial.chord_mm * np.array([-1.0, 0.0, 1.0]))
    )
    along = (far - near) / np.hypot(*(far - near))
    aside = along[1] * (middle - near)[0] - along[0] * (middle - near)[1]  # > 0 right of the chord
    (read,) = read_off(np.array([aside if trial.action == "shrink" else -aside]), gauge, False, rng)
    return read


def true_ratio(trial: Trial, truth: Truth) -> float:
    """Work of the trial's strokes on an average spot of this metal against so many times the first guess."""
    strength = trial.job.tool.bites[trial.bite]
    one = truth.common * truth.action[trial.action] * truth.bite_work(trial.bite, strength) / strength
    return float(one * trial.strokes ** (truth.exponent - 1.0))
