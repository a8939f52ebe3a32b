"""The feed pacer: a pure function of time that passes over every stretch at its feed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from shopapp.presenters import pacer

SITES = core.Sites(np.arange(12) * 40.0 + 20.0, np.full(12, 40.0))


def zone(first: int, last: int, strokes: int = 2, rate_per_min: float = 120.0) -> core.Zone:
    """Feed of a zone of length l with m strokes a site: m * 60 / f seconds a site."""
    seconds = (last - first + 1) * strokes * 60.0 / rate_per_min
    feed = (last - first + 1) * 40.0 / seconds if seconds else 0.0
    return core.Zone(first, last, strokes, feed, seconds)


def test_it_goes_through_neighbours_without_a_stop() -> None:
    legs = pacer.timeline(SITES, [zone(0, 3, 2), zone(4, 5, 4)])
    assert [leg.zone for leg in legs] == [None, 0, 1]
    assert pacer.duration_s(legs) == pytest.approx(3.0 + 4 + 4)
    assert pacer.at(legs, 3.0 + 2.0).position_mm == pytest.approx(80.0)
    assert pacer.at(legs, 3.0 + 4.0 + 2.0).position_mm == pytest.approx(200.0)


def test_from_the_middle_outwards() -> None:
    """Stretching from mid-length out to both ends is common practice, no source."""
    legs = pacer.timeline(SITES, [zone(4, 5), zone(2, 3), zone(6, 7)])
    assert (legs[1].start_mm, legs[1].end_mm) == (240.0, 160.0)
    assert (legs[2].start_mm, legs[2].end_mm) == (160.0, 80.0)
    assert legs[3].zone is None
    assert (legs[4].start_mm, legs[4].end_mm) == (240.0, 320.0)
    assert "move on" in pacer.at(legs, legs[3].start_s).text


def test_a_zone_in_goes_is_passed_there_and_back() -> None:
    """40 s in two goes over 160 mm: 20 s and 8 mm/s each, ending where it began."""
    legs = pacer.timeline(SITES, [core.Zone(0, 3, 6, 8.0, 40.0, goes=2), zone(4, 5)])
    assert [(leg.end_s - leg.start_s, leg.end_mm) for leg in legs[1:3]] == [(20.0, 160.0), (20.0, 0.0)]
    assert legs[3].zone is None and pacer.working_s(legs) == pytest.approx(42.0)
    assert pacer.at(legs, 4.0).text.startswith("zone 1 of 2, 8.0 mm/s")


def test_zones_without_strokes_are_passed_over() -> None:
    legs = pacer.timeline(SITES, [zone(0, 1), zone(2, 3, 0), zone(4, 5)])
    assert [leg.zone for leg in legs] == [None, 0, None, 1]
    assert pacer.at(legs, 1e9).text == "pass done"


def test_nothing_to_do() -> None:
    assert pacer.timeline(SITES, [zone(0, 5, 0)]) == ()
    assert pacer.at((), 0.0).finished


@pytest.mark.property
@given(
    st.lists(st.tuples(st.integers(0, 11), st.integers(0, 3), st.integers(0, 5)), min_size=1, max_size=5),
    st.floats(-10, 200),
)
def test_the_marker_never_jumps_and_never_leaves_the_edge(
    spans: list[tuple[int, int, int]], t: float
) -> None:
    legs = pacer.timeline(SITES, [zone(a, min(a + n, 11), m) for a, n, m in spans])
    here, soon = pacer.at(legs, t), pacer.at(legs, t + 0.01)
    assert 0.0 <= here.position_mm <= 480.0
    fastest = max((abs(leg.end_mm - leg.start_mm) / (leg.end_s - leg.start_s) for leg in legs), default=0.0)
    assert abs(soon.position_mm - here.position_mm) <= fastest * 0.01 + 1e-9
