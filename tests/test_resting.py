"""Where a rigid template rests, and what that says of the verdict."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import core
from core.estimate.fit import fit
from core.readings.offering import offer, readable_mm
from core.readings.rounds import steps_of
from core.resting import HOLLOW, Resting, as_cut_mm, resting
from tests.made_up import bowl, rib
from tests.test_lobing import FIVE, HARDLY, JOB, PART, N, nearly_done

BUMP_MM = 0.3


def rounds(bump_mm: float, template: str = "inside", count: int = 5) -> list[dict[str, Any]]:
    """Gaps of an even dish whose template a bump between two marks holds off along the axis, without noise:
    1 mm of that shows as the cosine of the slope there."""
    along = np.cos(PART.blank.meridian.slope_rad(PART.sites.position_mm))
    job = replace(JOB, template=core.job(bowl(template=template)).template)
    gaps = offer(PART, job.template, HARDLY * PART.target).readings_mm[:N] + bump_mm * along
    return [core.gaps_read([float(gap) for gap in gaps], at_deg=at) for at in FIVE[:count]]


def rests(log: list[dict[str, Any]], job: core.Job = JOB) -> Resting:
    steps = steps_of(job, log)
    return resting(job, steps, fit(job, steps))


@pytest.mark.parametrize("template", ["inside", "outside"])
def test_a_bump_between_the_marks_shows_in_what_the_template_stands_off(template):
    """All of it but what is not believed of one template: as cut it may be off by 0.04 mm where it touches,
    along the axis by that over the cosine of the slope there; five rounds of seven readings tell the rest to
    0.01, and dishes stand off by 0.15 beforehand."""
    job = core.job(bowl(tolerance="0.5 mm", template=template))
    found = rests([nearly_done(), *rounds(BUMP_MM, template)], job)
    laid = offer(PART, job.template, HARDLY * PART.target)
    slope = PART.blank.meridian.slope_rad(readable_mm(PART, job.template)[laid.readings_mm.argmin()])
    as_cut = 0.04 / np.cos(float(slope))
    told = 0.15**2 / (0.15**2 + as_cut**2 + 0.01**2)
    assert as_cut_mm(job, laid) == pytest.approx(as_cut, rel=0.02)
    assert found.read and found.off_mm == pytest.approx(told * BUMP_MM, abs=0.02)
    assert found.sd_mm == pytest.approx(np.sqrt(told) * 0.01, rel=0.3)
    assert found.hollow_mm == HOLLOW * found.off_mm
    assert abs(rests([nearly_done(), *rounds(0.0, template)], job).off_mm) < 0.02


def test_the_widest_gap_and_what_is_expected_at_the_marks_are_those_under_it():
    log = nearly_done()
    flush, held = (core.refit(JOB, [log, *rounds(bump)]) for bump in (0.0, BUMP_MM))
    assert held.widest_gap_mm - flush.widest_gap_mm == pytest.approx(BUMP_MM, abs=0.12)
    read = np.array([event["gaps_mm"] for event in rounds(BUMP_MM)]).mean(axis=0)
    np.testing.assert_allclose(held.expected_reading_mm, read, atol=0.06)


def test_a_part_within_but_for_the_bump_is_not_called_within():
    """It would be with a template that lies on what the marks show."""
    job = replace(JOB, tolerance_mm=0.75)
    flush, held = (core.refit(job, [nearly_done(), *rounds(bump)]) for bump in (0.0, BUMP_MM))
    assert flush.verdict == "within" and flush.widest_gap_mm < 0.6
    assert held.verdict != "within" and held.chance_within < 0.2
    assert held.next_pass is not None  # what the bump takes is no room for the rest


@pytest.mark.parametrize(
    "log",
    [[], [nearly_done()], [*[nearly_done()], *rounds(BUMP_MM), nearly_done()]],
    ids=["new", "not read", "worked since"],
)
def test_what_was_not_read_since_the_last_pass_tells_nothing(log):
    assert rests(log) == Resting()


@pytest.mark.parametrize("document", [bowl(template="layout line"), rib()], ids=["drawn line", "bar"])
def test_where_the_template_has_play_it_tells_nothing(document):
    job = core.job(document)
    gaps = core.gaps_read([1.0] * len(job.part.sites))
    assert rests([gaps], job) == Resting()


def test_what_it_stands_off_by_on_one_meridian_and_not_on_another_is_not_known_of_a_third() -> None:
    """Five rounds whose bumps are 0 to 0.4 mm: their spread, 0.158 mm by hand, less readings."""
    each = [rounds(0.1 * k)[k] for k in range(5)]
    found = rests([nearly_done(), *each])
    assert found.sd_mm == pytest.approx(np.std([0.0, 0.1, 0.2, 0.3, 0.4], ddof=1), abs=0.03)
    alike = core.refit(JOB, [nearly_done(), *rounds(0.2)])
    assert core.refit(JOB, [nearly_done(), *each]).widest_gap_sd_mm > 1.5 * alike.widest_gap_sd_mm
