"""Thickness of a worked edge: volume is kept; textbooks' values of flanges and of von Mises' strain."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.forming import effective_strain, natural_strain, thickness_after_mm, thickness_strain

STRAINS = st.floats(-1.0, 1.0)
ANISOTROPIES = st.floats(0.0, 4.0)


def test_a_turned_edge_thickens_by_the_root_of_its_diameters():
    """t = t0 sqrt(D0/D) at the rim of a drawn or flanged part (textbooks of sheet forming, from memory)."""
    before, after = np.array([220.0, 240.0, 160.0]), np.full(3, 200.0)
    grown = thickness_after_mm(1.5, natural_strain(before, after))
    assert grown == pytest.approx(1.5 * np.sqrt(before / after))
    assert grown[2] < 1.5 < grown[0]


@given(st.floats(0.3, 6.0), st.floats(1.0, 50.0), STRAINS, ANISOTROPIES)
def test_volume_is_kept(thickness, width, strain, r):
    """Width and thickness strain stand as r to 1 (ISO 10113, from memory)."""
    through = thickness_strain(strain, r)
    volume = width * np.exp(-r * through) * thickness_after_mm(thickness, strain, r) * np.exp(-strain)
    assert volume == pytest.approx(width * thickness)


@given(STRAINS, ANISOTROPIES)
def test_shortening_thickens_and_anisotropy_spares_the_thickness(strain, r):
    assert np.sign(thickness_after_mm(1.0, strain, r) - 1.0) == np.sign(strain) or abs(strain) < 1e-12
    assert abs(thickness_strain(strain, r + 1.0)) <= abs(thickness_strain(strain, r))
    assert thickness_strain(strain) == pytest.approx(-strain / 2)


# Z. Marciniak, J. Duncan and S. Hu, Mechanics of Sheet Metal Forming (2nd ed. 2002), exercises 2.1 and 3.1
# (read in a set of solutions): a square of 8 mm and a circle of 5 mm, both 0.8 mm thick, their lengths after
# forming; strain along, across and through, > 0 longer, and effective strain, as printed.
FORMED = [
    (8.0, (9.4, 6.5), (0.161, -0.208, 0.046), 0.218),
    (5.0, (6.1, 4.8), (0.199, -0.041, -0.158), 0.210),
]


@pytest.mark.parametrize(("before", "after", "strains", "effective"), FORMED)
def test_worked_examples_of_a_textbook(before, after, strains, effective):
    """What is lost and won in the sheet is made up for in thickness; one unit of the last printed place."""
    along, across = -natural_strain(before, after)
    through = -(along + across)
    assert (along, across, through) == pytest.approx(strains, abs=1.01e-3)
    assert effective_strain(along, across, through) == pytest.approx(effective, abs=5e-4)


def test_a_pulled_strip_at_its_neck_is_as_thick_as_printed():
    """The same book, exercise 5.2: pulled by 0.22, 1.2 mm become 1.075 mm and 12.4 mm 11.108 mm."""
    assert thickness_after_mm([1.2, 12.4], -0.22) == pytest.approx([1.075, 11.108], abs=5.1e-4)


def test_plane_strain_of_a_worked_example():
    """Applied Metal Forming, Including FEM Analysis (a textbook), chapter 7 (read): 2/sqrt(3) e."""
    assert effective_strain(0.0, 0.3, -0.3) == pytest.approx(2 / np.sqrt(3) * 0.3)


def test_effective_strains_of_textbooks():
    """Pulled strip e; plane strain 2/sqrt(3) e = 1.155 e; stretched evenly both ways 2 e (from memory)."""
    one_way, plane, both_ways = (1, -0.5, -0.5), (1, 0, -1), (1, 1, -2)
    found = effective_strain(*0.1 * np.array([one_way, plane, both_ways]).T)
    assert found == pytest.approx([0.1, 0.1155, 0.2], abs=5e-5)


@given(STRAINS)
def test_an_edge_between_its_own_other_strains_has_its_own_strain(strain):
    across = thickness_strain(strain)
    assert effective_strain(strain, across, across) == pytest.approx(abs(strain))


@given(STRAINS, STRAINS)
def test_effective_strain_is_that_of_the_two_in_the_sheet(first, second):
    """With volume kept: 2/sqrt(3) sqrt(e1^2 + e1 e2 + e2^2) (textbooks, from memory)."""
    squares = first**2 + first * second + second**2
    found = effective_strain(first, second, -first - second)
    assert found == pytest.approx(2 / np.sqrt(3) * np.sqrt(squares), abs=1e-12)


@pytest.mark.parametrize(
    ("field", "call"),
    [
        ("thickness", lambda: thickness_after_mm(0, 0.1)),
        ("edge_strain", lambda: thickness_after_mm(1, float("inf"))),
        ("r", lambda: thickness_strain(0.1, -1)),
        ("second", lambda: effective_strain(0, "x", 0)),
    ],
)
def test_what_has_no_meaning_is_refused(field, call):
    with pytest.raises(InputError) as error:
        call()
    assert error.value.field == field
