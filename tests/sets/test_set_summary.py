"""A set as it stands: what is kept of a part, charts by published figures, capability, another coil."""

from __future__ import annotations

import csv
from math import exp, isnan, nan
from pathlib import Path
from typing import Any

import pytest

import core
from tests.made_up import rib

JOB = core.job(rib())  # invented, as all here
FILE = Path(__file__).parent.parent / "reference" / "individuals_charts.csv"


def part(place: int, gap: float = 0.3, level: float = 0.0, begun: bool = False) -> core.PartDone:
    """Five strokes that do exactly exp(level) of the first guess of five."""
    seen = core.Seen("shrink", "medium", 5.0, guess_of_five() * exp(level), 0.05, "part")
    told = core.SetPart(f"Rib {place}", (seen,), begun)
    return core.PartDone(told, (core.PassRun("shrink", "medium", 120),), 20.0, gap, 0.03, True)


def guess_of_five() -> float:
    """Five strokes by exponent 0.85 and the loss by hardening along the way, over five single ones."""
    strain = JOB.tools["shrink"].strain("medium") * 5.0**0.85 * JOB.under["shrink"].covered()
    return 5.0 ** (0.85 - 1.0) * exp(-0.5 * 2.0 * float(strain.mean()))


def published(name: str) -> list[float]:
    lines = [line for line in FILE.read_text("utf-8").splitlines() if not line.startswith("#")]
    return [float(row["value"]) for row in csv.DictReader(lines) if row["set"] == name]


def test_the_chart_of_a_set_is_that_of_the_nist_handbook():
    """NIST/SEMATECH e-Handbook 6.3.2.2, flow rates in place of gaps."""
    gaps = published("nist")
    found = core.set_summary(JOB, [part(i + 1, gap) for i, gap in enumerate(gaps)])
    assert found.gaps.values == tuple(gaps) and found.gaps.at == tuple(range(10))
    assert (found.gaps.chart.lower, found.gaps.chart.upper) == pytest.approx((45.8159, 55.8041), abs=2e-3)
    document = core.set_document(found)
    assert document["gaps"]["limits"]["centre"] == pytest.approx(50.81, abs=5e-4)
    assert document["gaps"]["limits"]["range_upper"] == pytest.approx(6.1347, abs=5e-4)
    assert "Final gap: no part is out of line with the others." in found.sentences


def test_few_parts_get_no_figure_and_that_is_said():
    nine = [part(i + 1, 0.2 + 0.01 * (i % 4)) for i in range(9)]
    found = core.set_summary(JOB, nine)
    assert found.capability is None
    assert (
        "How surely the tolerance is held: 9 finished parts say nothing yet, 1 more wanted."
        in found.sentences
    )
    assert core.set_summary(JOB, nine[:3]).gaps.chart is None
    ten = [*nine, part(10, 0.25)]
    assert core.set_summary(JOB, ten).capability == core.capability(
        [one.gap_mm for one in ten], upper=JOB.tolerance_mm
    )


def test_a_part_in_work_is_no_finished_gap():
    last = core.PartDone(part(2).told, (), nan, 3.0, 0.1, False)
    found = core.set_summary(JOB, [part(1), last])
    assert found.gaps.values == (0.3,)
    assert len(found.responses.values) == 2


def test_the_response_is_against_as_many_strokes_of_the_first_guess():
    found = core.set_summary(
        JOB,
        [part(1), part(2, level=-0.2), core.PartDone(core.SetPart("Rib 3", ()), (), nan, nan, nan, False)],
    )
    assert found.response[:2] == pytest.approx((1.0, exp(-0.2)), rel=2e-3)
    assert isnan(found.response[2])


def test_limits_hold_for_one_coil():
    """While the new one has too few parts, those of the one before it stand."""
    old = [part(i + 1, level=0.02 * (-1) ** i) for i in range(6)]
    few = core.set_summary(JOB, [*old, part(7, level=-0.3, begun=True), part(8, level=-0.3)]).responses
    assert (few.first, few.end, len(few.values)) == (0, 6, 8)
    more = [part(i, level=-0.3 + 0.02 * (i % 2), begun=i == 7) for i in range(7, 12)]
    new = core.set_summary(JOB, [*old, *more]).responses
    assert (new.first, new.end) == (6, 11)
    assert new.chart.centre == pytest.approx(exp(-0.3), rel=0.03)


def test_what_is_kept_of_a_part_can_be_read_again():
    for one in (part(1, begun=True), core.PartDone(core.SetPart("Rib 2", ()), (), nan, nan, nan, False)):
        assert repr(core.part_done_from(one.document, JOB)) == repr(one)


@pytest.mark.parametrize(
    ("field", "value", "at"),
    [
        ("finished", "yes", "part.finished"),
        ("minutes", -1.0, "part.minutes"),
        ("passes", [{"action": "shrink", "bite": "medium", "strokes": 1.5}], "part.passes[0].strokes"),
        ("together", {"names": ["common", "common"]}, "part.together.names"),
    ],
)
def test_what_cannot_be_kept_is_named(field: str, value: Any, at: str):
    with pytest.raises(core.InputError) as caught:
        core.part_done_from({**part(1).document, field: value}, JOB)
    assert caught.value.field == at


def test_minutes_leave_out_breaks():
    """10 and 20 minutes at it, a night between them."""
    times = ("2026-05-02T15:00:00Z", "2026-05-02T15:10:00Z", "2026-05-03T07:00:00Z", "2026-05-03T07:20:00Z")
    log = [{"event": "note", "text": "", "id": str(i), "at": at} for i, at in enumerate(times)]
    done = core.part_done(JOB, log, core.refit(JOB, []))
    assert done.minutes == pytest.approx(30.0)
    assert isnan(core.part_done(JOB, log[:1], core.refit(JOB, [])).minutes)
    assert isnan(done.gap_mm) and not done.finished
