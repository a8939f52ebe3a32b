"""The strip on paper and the strip on the screen show the same numbers, places, signs and bands."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from core.printing.strip import LEAST_APART_MM, numbered
from core.records.strip import Strip
from shopapp.presenters import strips
from tests.made_up import bowl, flange, rib

SIGNS = {"over": 1, "ok": 0, "under": -1}


@pytest.mark.parametrize("document", [rib(), bowl(), flange()], ids=["bar", "dish", "flange"])
def test_paper_and_screen_take_the_same_marks(document):
    """For every kind of part, with deviations on either side of the tolerance and on it."""
    job = core.job(document)
    at = job.part.sites.position_mm
    deviation = np.linspace(-2.0, 2.0, len(at)) * job.tolerance_mm
    sd = np.full(len(at), 0.1 * job.tolerance_mm)
    shown = strips.for_deviation(job, deviation, sd)
    half = tuple(1.96 * sd)  # 95 % of a normal distribution, any table
    paper = Strip("", tuple(at), tuple(deviation), half, job.tolerance_mm, (), ()).marks
    assert [mark.text for mark in shown.marks] == [site.text for site in paper.sites]
    assert [SIGNS[mark.state] for mark in shown.marks] == [site.beyond for site in paper.sites]
    assert {site.beyond for site in paper.sites} == {-1, 0, 1}
    assert [mark.value_mm for mark in shown.marks] == [site.value_mm for site in paper.sites]
    assert shown.position_mm == tuple(site.at_mm for site in paper.sites)
    assert shown.low_mm == tuple(site.low_mm for site in paper.sites)
    assert shown.high_mm == tuple(site.high_mm for site in paper.sites)
    assert shown.range_mm == (-paper.top_mm, paper.top_mm)


def test_signs_are_those_of_the_outward_normal():
    """+ stands out of the template, − is short of it; on the tolerance is within it."""
    marks = core.deviation_marks([0.0, 1.0, 2.0, 3.0], [0.6, -0.6, 0.5, 0.001], [0.1] * 4, 0.5)
    assert [site.text for site in marks.sites] == ["+0.60", "−0.60", "+0.50", "0.00"]
    assert [site.beyond for site in marks.sites] == [1, -1, 0, 0]
    assert marks.top_mm == 1.0


def test_what_is_not_known_has_no_band_and_the_height_is_for_what_is():
    marks = core.deviation_marks([0.0, 1.0], [0.2, np.nan], [np.nan, 0.1], 0.5, besides=[-4.0])
    assert [(site.low_mm, site.high_mm) for site in marks.sites] == [(None, None), (None, None)]
    assert marks.top_mm == 5.0


@pytest.mark.property
@given(
    st.lists(st.tuples(st.floats(0, 180), st.floats(0, 9)), min_size=1, max_size=80).map(sorted),
)
def test_numbers_on_paper_stand_apart_and_the_widest_is_among_them(sites):
    x, weight = [s[0] for s in sites], [s[1] for s in sites]
    chosen = numbered(x, weight)
    apart = np.diff([x[i] for i in chosen])
    assert (apart >= LEAST_APART_MM).all()
    assert max(weight) in [weight[i] for i in chosen]
