"""Names beside the lines of a chart: none over another, none above the chart."""

from __future__ import annotations

from itertools import pairwise

import pytest

from shopapp.widgets.chart_drawing import apart


@pytest.mark.parametrize("heights", [[0.0, 1.0, 2.0, 10.0], [0.0, 9.0, 9.5, 10.0], [5.0, 5.0, 5.0], [4.0]])
def test_names_are_moved_apart_within_their_room(heights: list[float]) -> None:
    places = apart(heights, 3.0, 12.0)
    assert len(places) == len(heights) and max(places) <= 12.0
    assert all(upper - lower >= 3.0 for lower, upper in pairwise(places))


def test_names_that_have_room_stay_where_their_lines_are() -> None:
    assert apart([1.0, 4.5, 9.0], 3.0, 12.0) == [1.0, 4.5, 9.0]
    assert apart([], 3.0, 12.0) == []
