"""Stretched edges: the hole expansion test and how much stretch it leaves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.forming import edge_strain_limit, hole_expansion_ratio, natural_strain, stretch_left


def test_a_hole_widened_from_10_to_17_5_mm():
    """ISO 16630 (its words seen in a secondary source): 75 %; the edge is stretched by ln 1.75 = 0.5596."""
    assert hole_expansion_ratio(10, 17.5) == pytest.approx(0.75)
    assert edge_strain_limit(0.75) == pytest.approx(-0.5596, abs=5e-5)


@given(st.floats(1.0, 50.0), st.floats(1.0, 4.0))
def test_the_limit_is_the_strain_of_the_holes_edge(before, growth):
    limit = edge_strain_limit(hole_expansion_ratio(before, before * growth))
    assert limit == pytest.approx(natural_strain(np.pi * before, np.pi * before * growth), abs=1e-12)


def test_stretch_left():
    """Limit ln 1.25 = 0.2231: after 0.1 there is 0.1231 left, after 0.3 the edge is 0.0769 beyond."""
    left = stretch_left([0.0, -0.1, -0.3, 0.2], 0.25)
    assert left == pytest.approx([0.2231, 0.1231, -0.0769, 0.2231], abs=5e-5)


@given(st.floats(-1, 1), st.floats(0, 3), st.floats(0, 1))
def test_more_stretch_leaves_less_and_a_tougher_edge_more(strain, ratio, more):
    assert stretch_left(strain - more, ratio) <= stretch_left(strain, ratio)
    assert stretch_left(strain, ratio + more) >= stretch_left(strain, ratio)


@pytest.mark.parametrize(
    ("field", "call"),
    [
        ("after", lambda: hole_expansion_ratio([10, 10], [12, 9])),
        ("before", lambda: hole_expansion_ratio(0, 10)),
        ("ratio", lambda: edge_strain_limit(-0.1)),
        ("edge_strain", lambda: stretch_left(75, 0.75)),
    ],
)
def test_what_has_no_meaning_is_refused(field, call):
    with pytest.raises(InputError) as error:
        call()
    assert error.value.field == field
