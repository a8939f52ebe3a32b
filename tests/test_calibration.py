"""Calibration dates: calendar months, and what a gauge of the shop's own adds to its readings."""

from __future__ import annotations

from datetime import date
from math import sqrt

import pytest

import core


@pytest.mark.parametrize(
    ("day", "months", "due"),
    [  # by the calendar; 2028 is a leap year
        (date(2026, 1, 15), 12, date(2027, 1, 15)),
        (date(2026, 8, 31), 1, date(2026, 9, 30)),
        (date(2027, 8, 31), 6, date(2028, 2, 29)),
        (date(2028, 2, 29), 12, date(2029, 2, 28)),
        (date(2026, 12, 1), 1, date(2027, 1, 1)),
    ],
)
def test_the_last_day_is_by_the_calendar(day: date, months: int, due: date) -> None:
    held = core.Calibration(day, months)
    assert held.due == due
    assert not held.is_past(due)
    assert held.is_past(date.fromordinal(due.toordinal() + 1))


def test_without_an_interval_it_is_never_past() -> None:
    assert not core.Calibration(date(1990, 1, 1)).is_past(date(2030, 1, 1))


def test_the_calibration_adds_to_the_uncertainty_in_squares() -> None:
    """JCGM 100:2008, 5.1.2 (from memory): parts add in squares; 0.03, 0.04 and 0.12 make 0.13."""
    gauge = core.gauge_from(
        {"name": "own", "step": f"{0.03 * sqrt(12.0)} mm", "repeatability": "0.04 mm", "largest": "9 mm",
         "uncertainty": "0.12 mm", "calibrated": "2026-01-15"}
    )  # fmt: skip
    assert gauge.sd_mm() == pytest.approx(0.13)


def test_a_shop_keeps_gauges_for_gaps_and_for_checks() -> None:
    owned = core.owned_from(None)
    owned = owned.adding(
        "gauges", {"name": "feeler leaves", "calibrated": "2026-01-15", "interval_months": 12}
    )
    owned = owned.adding("gauges", {"name": "protractor 2", "uncertainty": "0.05 deg"})
    assert core.owned_from(owned.document) == owned
    assert [owned.reads_gaps(name) for name in owned.gauges] == [True, False]
    leaves = owned.of_check("feeler leaves")
    assert leaves["uncertainty"] == f"{core.GAUGES['feeler leaves'].sd_mm():.4g} mm"
    assert (leaves["calibrated"], leaves["interval_months"]) == ("2026-01-15", 12)
    assert owned.of_check("protractor 2")["uncertainty"] == "0.05 deg"
    assert owned.calibration("protractor 2") is None
    assert owned.calibration("nobody's") is None
    for wrong, field in (
        ({"name": "x"}, "gauges.uncertainty"),
        ({"name": "x", "uncertainty": "3 s"}, "gauges.uncertainty"),
        ({"name": "x", "uncertainty": "1 mm", "interval_months": 6}, "gauges.calibrated"),
    ):
        with pytest.raises(core.InputError) as refused:
            owned.adding("gauges", wrong)
        assert refused.value.field == field
