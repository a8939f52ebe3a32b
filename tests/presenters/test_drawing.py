"""The outline with its magnified deviation, and the strip."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from shopapp.presenters import outlines, strips, verdicts, wording
from tests.presenters.conftest import RIB, SITES

JOB = core.job(RIB)


def test_stations_lie_on_the_arc_and_the_part_outside_it() -> None:
    """The rib is an arc of R 1500 whose centre lies at (0, 1500): distances from it are plain geometry."""
    deviation = np.full(SITES, 0.4)
    drawn = outlines.with_deviation(JOB, deviation)
    centre = np.array([0.0, 1500.0])
    stations = np.hypot(*(np.array(drawn.stations) - centre).T)
    assert stations == pytest.approx(np.full(SITES, 1500.0), abs=0.02)
    part = np.hypot(*(np.array(drawn.part) - centre).T)
    assert part - stations == pytest.approx(drawn.factor * deviation, abs=0.05 * drawn.factor)
    inner, outer = (np.hypot(*(np.array(edge) - centre).T) for edge in drawn.band)
    assert outer - inner == pytest.approx(np.full(SITES, 2 * 0.5 * drawn.factor), rel=0.01)
    assert drawn.states == ("ok",) * SITES


def test_the_factor_is_chosen_to_be_read_and_is_shown() -> None:
    assert outlines.with_deviation(JOB, np.full(SITES, 0.4)).factor_text == "deviation × 50"
    assert outlines.with_deviation(JOB, np.full(SITES, 12.0)).factor_text == "deviation × 2"
    assert outlines.with_deviation(JOB, np.full(SITES, 130.0)).factor_text == "deviation to scale"
    unread = outlines.with_deviation(JOB, None)
    assert (unread.part, unread.factor_text, unread.limit_text) == ((), "tolerance × 50", "0.50")


@pytest.mark.property
@given(st.floats(1e-3, 1e3), st.floats(10, 1e4))
def test_a_magnified_deviation_stays_in_its_share(largest: float, size: float) -> None:
    factor = outlines.magnification(largest, size)
    assert factor == 1 or factor * largest <= outlines.READABLE * size


def test_states_tell_which_way() -> None:
    drawn = outlines.with_deviation(JOB, np.array([0.6, -0.6] + [0.0] * (SITES - 2)))
    assert drawn.states[:3] == ("over", "under", "ok")


def test_signed_numbers_have_their_sign() -> None:
    strip = strips.for_deviation(JOB, np.array([0.6, -0.6] + [0.0] * (SITES - 2)), np.full(SITES, 0.1))
    assert [m.text for m in strip.marks[:3]] == ["+0.60", "−0.60", "0.00"]
    assert strip.high_mm[0] == pytest.approx(0.796)  # 1.96 standard deviations: normal tables
    assert strip.range_mm == (-1.0, 1.0)


@pytest.mark.property
@given(st.floats(1e-4, 1e5))
def test_the_axis_ends_at_a_round_number_that_is_not_wasteful(mm: float) -> None:
    top = core.nice_top(mm)
    assert mm * (1 - 1e-9) <= top <= 2.5 * mm
    assert f"{top:e}"[0] in "125"


@pytest.mark.parametrize(
    ("ratio", "words"), [(0.82, "18 % less"), (1.05, "5 % more"), (1.004, "as much"), (2.0, "100 % more")]
)
def test_shares(ratio: float, words: str) -> None:
    assert wording.share(ratio) == words


def test_numbers_of_things() -> None:
    assert [wording.count(n, "stroke") for n in (0, 1, 2)] == ["0 strokes", "1 stroke", "2 strokes"]
    assert wording.count(2, "pass") == "2 passes"
    times = (0.5, 7.44, 9.97, 48.2, 125)
    assert [wording.seconds(s) for s in times] == ["0.5 s", "7.4 s", "10 s", "48 s", "2 min 05 s"]
    assert [verdicts.chance(p) for p in (0.0, 0.87, 0.9999)] == ["less than 1 %", "87 %", "more than 99 %"]
    assert wording.band(float("nan"), 0.1) == "not known yet"
    assert wording.band(0.4, 2.7, touching=True) == "0 to 5.7 mm"  # no template touches and shows less than 0
    assert wording.band(0.4, 2.7, touching=False) == "0.4 ± 5.3 mm"
    templates = [wording.gaps_to(name) for name in ("inside", "layout line", "square")]
    assert templates == ["Gaps to the inside template", "Gaps to the layout line", "Gaps by the square"]
    told = [wording.about(mm) for mm in (24.65, 9.96, 1.234, 0.034)]
    assert told == ["about 25 mm", "about 10 mm", "about 1.2 mm", "about 0.03 mm"]
    assert wording.capital("the line turns back") == "The line turns back"


def test_a_fine_tolerance_is_written_in_full() -> None:
    fine = core.job({**RIB, "tolerance": "0.001 mm"})
    strip = strips.for_deviation(fine, np.zeros(SITES), np.full(SITES, 1e-4))
    assert strip.limit_text == "0.001"
    assert outlines.with_deviation(fine, None).limit_text == "0.001"
