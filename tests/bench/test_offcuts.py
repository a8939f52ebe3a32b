"""Simulated offcuts: what a trial says of itself is honest."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from draws import benchmark_bars
from offcuts import offcut_of, rise_read, true_ratio

import core
from core.simulate import Truth
from core.trial import PIECE_SD, trial_plan, trial_read

TAPER = core.GAUGES["taper gauge"]


@pytest.mark.slow
def test_the_stated_spread_of_a_trial_is_the_true_one() -> None:
    """300 offcuts of metals, sections, actions and bites drawn at random; the offcut differs from the part by
    the stated share. Normal scores: spread 1, 95 % within 1.96."""
    rng, scores = np.random.default_rng(20), []
    for drawn in benchmark_bars(300, 20):
        job = core.job(drawn.document)
        action, bite = str(rng.choice(["shrink", "stretch"])), str(rng.choice(list(job.tool.bites)))
        trial = trial_plan(job, action, bite, gauge=TAPER)
        truth = drawn.truth
        piece = replace(truth, common=truth.common * float(np.exp(rng.normal(0.0, PIECE_SD))))
        seen = trial_read(trial, *rise_read(trial, offcut_of(piece, rng), TAPER, rng))
        scores.append(np.log(seen.ratio / true_ratio(trial, truth)) / seen.sd)
    assert 0.8 <= np.std(scores) <= 1.2
    assert abs(np.mean(scores)) < 0.25
    assert 0.92 <= np.mean(np.abs(scores) < 1.96) <= 0.98


@pytest.mark.parametrize("action", ["shrink", "stretch"])
def test_an_offcut_without_a_flaw_is_read_to_what_its_gauge_tells(action: str) -> None:
    """No scatter, bow or unevenness, a dial: ratio is m^(p - 1) to a few steps of the dial in the rise."""
    dial = core.GAUGES["dial"]
    for drawn in benchmark_bars(12, 3):
        trial = trial_plan(core.job(drawn.document), action, "medium", gauge=dial)
        plain = Truth(exponent=0.8)
        assert true_ratio(trial, plain) == pytest.approx(trial.strokes**-0.2)
        seen = trial_read(trial, *rise_read(trial, plain, dial, np.random.default_rng(drawn.seed)))
        assert seen.ratio == pytest.approx(trial.strokes**-0.2, rel=4.0 * dial.sd_mm() / trial.rise_mm + 2e-3)
