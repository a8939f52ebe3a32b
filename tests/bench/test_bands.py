"""The bands on few parts, so that a broken one is seen at once; ``bench_bands.py`` takes five hundred."""

from __future__ import annotations

import numpy as np
from banded import held
from draws import benchmark_bars


def test_bands_hold_on_sixty_simulated_parts() -> None:
    parts = [held(bar) for bar in benchmark_bars(60, 11)]
    share = float(np.mean(np.concatenate([p.inside for p in parts])))
    score = np.concatenate([p.score for p in parts])
    assert 0.92 <= share <= 0.985
    assert 0.75 <= np.sqrt(np.mean(score**2)) <= 1.1
    assert sum(p.set_aside for p in parts) <= 2  # of some 6000 sound readings
