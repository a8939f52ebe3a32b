"""What an operator says of a true gap."""

from __future__ import annotations

import numpy as np
import pytest

from core.readings.gauges import GAUGES, Gauge
from core.simulate.reading import read_off

STEADY = Gauge("steady", 0.05, 0.0, 5.0)


@pytest.mark.parametrize(
    "true, said",
    [
        (0.0, "touching"),
        (0.024, "touching"),
        (0.026, 0.05),
        (0.074, 0.05),
        (0.076, 0.1),
        (4.99, 5.0),
        (5.01, "beyond"),
        (np.nan, None),
    ],
)
def test_rigid_template(true: float, said: float | str | None) -> None:
    """Touching under half a step, beyond past the largest leaf, else the nearest step."""
    assert read_off(np.array([true]), STEADY, True, np.random.default_rng(1)) == [said]


@pytest.mark.parametrize("true, said", [(-0.51, -0.5), (0.01, 0.0), (-6.0, None), (6.0, "beyond")])
def test_signed_template(true: float, said: float | str | None) -> None:
    """Signed numbers; 'beyond' has no sign, so what lies beyond on the other side is not read."""
    assert read_off(np.array([true]), STEADY, False, np.random.default_rng(1)) == [said]


def test_readings_repeat_as_well_as_the_gauge_does() -> None:
    """Standard deviation of readings: repeatability and step/sqrt(12) in squares (JCGM 100:2008, F.2.2.1)."""
    gauge = GAUGES["steel rule"]
    true = np.linspace(20.0, 30.0, 4000)
    said = np.array(read_off(true, gauge, True, np.random.default_rng(5)), dtype=float)
    assert np.std(said - true) == pytest.approx(gauge.sd_mm(), rel=0.05)
