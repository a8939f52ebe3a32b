"""Charts of individuals: constants and worked examples as published, run rules, capability with its
interval."""

from __future__ import annotations

import csv
from math import inf, nan, pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

import core
from core.charts import D2, D4, E2, FEWEST_FOR_CAPABILITY, FEWEST_FOR_LIMITS, capability, individuals_chart

FILE = Path(__file__).parent / "reference" / "individuals_charts.csv"


def published(name: str) -> tuple[list[float], list[float]]:
    """Values and printed moving ranges of one example."""
    lines = [line for line in FILE.read_text("utf-8").splitlines() if not line.startswith("#")]
    rows = [row for row in csv.DictReader(lines) if row["set"] == name]
    return [float(r["value"]) for r in rows], [float(r["moving_range"]) for r in rows if r["moving_range"]]


def test_factors_are_those_of_ranges_of_two():
    """Closed forms of the expected range of two normal values and its spread; tables are rounded."""
    d2, d3 = 2.0 / sqrt(pi), sqrt(2.0 - 4.0 / pi)
    assert pytest.approx(d2, abs=5e-4) == D2
    assert pytest.approx(3.0 / D2, abs=5e-4) == E2
    assert pytest.approx(1.0 + 3.0 * d3 / d2, abs=5e-4) == D4


def test_the_flow_rates_of_the_nist_handbook():
    """NIST/SEMATECH e-Handbook 6.3.2.2: by 3 / 1.128, so within the rounding of 2.660."""
    chart = individuals_chart(published("nist")[0])
    assert chart.centre == pytest.approx(50.81, abs=5e-4)
    assert chart.range_centre == pytest.approx(1.8778, abs=5e-5)
    assert (chart.lower, chart.upper) == pytest.approx((45.8159, 55.8041), abs=2e-3)
    assert chart.range_upper == pytest.approx(6.1347, abs=5e-4)
    assert [one for one in chart.signals if one.test < 2] == []


def test_the_table_of_the_handbook_for_quality_management():
    """All 24 printed ranges; limits by its own rule, 2.66 mean ranges about the mean, by hand."""
    values, ranges = published("pyzdek")
    chart = individuals_chart(values)
    assert chart.ranges.tolist() == ranges
    assert (chart.centre, chart.range_centre) == pytest.approx((99.04, 8.16667), abs=1e-4)
    assert (chart.lower, chart.upper, chart.range_upper) == pytest.approx((77.317, 120.763, 26.68), abs=2e-3)
    assert chart.signals == ()


def test_few_parts_get_no_limits_and_no_capability():
    assert individuals_chart([1.0, 2.0, 1.5, 1.2]) is None and FEWEST_FOR_LIMITS == 5
    assert individuals_chart([1.0, 2.0, 1.5, 1.2, 1.4]) is not None
    nine = [0.1 * i for i in range(9)]
    assert capability(nine, upper=2.0) is None and FEWEST_FOR_CAPABILITY == 10
    assert capability([*nine, 0.4], upper=2.0).parts == 10
    assert capability([1.0] * 12, upper=2.0) is None


def test_why_few_parts_say_nothing():
    """Behind the two numbers: spread of limits from four ranges, interval of a Cpk from ten parts."""
    x = np.random.default_rng(1).normal(size=(5_000, FEWEST_FOR_LIMITS))
    sd = np.abs(np.diff(x, axis=1)).mean(axis=1) / D2
    assert sd.std() == pytest.approx(0.44, abs=0.02)
    ten = np.random.default_rng(2).normal(size=FEWEST_FOR_CAPABILITY)
    found = capability(
        (ten / ten.std(ddof=1)).tolist(), upper=float((ten / ten.std(ddof=1)).mean() + 3 * 1.33)
    )
    assert (found.cpk, found.low, found.high) == pytest.approx((1.33, 0.7, 2.0), abs=0.06)


NOISE = [0.4, -0.5, 0.3, -0.2, 0.5, -0.4, 0.2, -0.3]


@pytest.mark.parametrize(
    ("more", "test", "at"),
    [
        ([5.0], 1, 8),
        ([0.1] * 4 + [0.2] * 5, 2, 16),
        ([-0.5, -0.45, -0.4, -0.35, -0.3, -0.25], 3, 13),
        ([0.5, 0.4, 0.3, 0.2, 0.1, 0.0], 3, 13),
        ([2.0, 1.9], 5, 9),
        ([1.0, 1.1, 0.0, 1.0, 1.1], 6, 12),
    ],
)
def test_each_run_rule_speaks_at_the_part_that_completes_it(more, test, at):
    """Zones from a standard deviation of about 0.6; centre and spread by the values themselves."""
    chart = individuals_chart([*NOISE, *more])
    assert at in [one.at for one in chart.signals if one.test == test], chart
    before = individuals_chart([*NOISE, *more][:at])
    assert [one for one in before.signals if one.test == test] == []


def test_a_leap_is_a_signal_of_the_ranges():
    chart = individuals_chart([*NOISE, *NOISE, -1.4, 1.6, *NOISE])
    assert [one.at for one in chart.signals if one.test == 0] == [17]


def test_a_process_that_holds_still_gets_few_signals():
    """Chance alone over sets of ten: all tests and the ranges together speak in under 15 per cent."""
    rng = np.random.default_rng(4)
    told = np.mean([bool(individuals_chart(rng.normal(size=10).tolist()).signals) for _ in range(300)])
    assert 0.02 < told < 0.15


@pytest.mark.parametrize(("n", "confidence"), [(10, 0.95), (25, 0.95), (40, 0.8)])
def test_the_interval_is_that_of_the_noncentral_t(n, confidence):
    """Against SciPy: at its ends the Cpk found has the chances that belong to them."""
    values = np.random.default_rng(n).normal(0.3, 0.05, n)
    found = capability(values.tolist(), upper=0.5, confidence=confidence)
    assert found.cpk == pytest.approx((0.5 - values.mean()) / (3.0 * values.std(ddof=1)))
    for end, chance in ((found.low, 1.0 + confidence), (found.high, 1.0 - confidence)):
        told = stats.nct.cdf(3.0 * sqrt(n) * found.cpk, n - 1, 3.0 * sqrt(n) * end)
        assert told == pytest.approx(0.5 * chance, abs=1e-6)


def test_cpk_of_the_nist_handbook():
    """NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, s 2: Cpk 0.6667; below 0 beyond a limit."""
    x = np.array([-1.0, 1.0] * 10)
    x = 16.0 + 2.0 * x / x.std(ddof=1)
    assert capability(x.tolist(), 8.0, 20.0).cpk == pytest.approx(2.0 / 3.0)
    assert capability(x.tolist(), lower=8.0).cpk == pytest.approx(4.0 / 3.0)
    assert capability(x.tolist(), upper=14.0).cpk == pytest.approx(-1.0 / 3.0)


@pytest.mark.parametrize(("mean", "true"), [(0.0, 1.0), (0.5, 2.5 / 3.0)])
def test_the_interval_between_two_limits_holds_nearly_as_often_as_it_says(mean, true):
    """95 per cent give or take five, also half-way between the limits (true Cpk of limits at -3 and 3)."""
    rng = np.random.default_rng(7)
    found = [capability(rng.normal(mean, 1.0, 12).tolist(), -3.0, 3.0) for _ in range(100)]
    held = np.mean([one.low <= true <= one.high for one in found])
    assert held == pytest.approx(0.95, abs=0.05)


@pytest.mark.parametrize("limits", [(-inf, inf), (2.0, 1.0), (nan, 1.0)])
def test_limits_that_cannot_be_are_refused(limits):
    with pytest.raises(core.InputError, match="limits"):
        capability([1.0] * 12, *limits)


def test_what_is_no_number_is_named():
    with pytest.raises(core.InputError) as caught:
        individuals_chart([1.0, 2.0, nan, 3.0, 4.0])
    assert caught.value.field == "values[2]"
