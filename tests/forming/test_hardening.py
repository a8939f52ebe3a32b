"""Hollomon's law against constants and strengths of textbooks, and the tensile test played through."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import InputError
from core.forming import (
    flow_stress_mpa,
    flow_stress_rise,
    length_after_mm,
    natural_strain,
    tensile_strength_mpa,
    uniform_elongation,
    uniform_strain,
)

# n and K of soft metals: W. D. Callister, Fundamentals of Materials Science and Engineering (2nd ed. 2005,
# p. 199), as an encyclopedia quotes it (read there); 1100-O and 5052-O from its newer table. Tensile
# strengths in MPa that handbooks give for such metal, from memory: ranges, not reckoned from K.
METALS = {
    "low-carbon steel": (0.21, 600.0, (300, 380)),
    "stainless steel 304": (0.44, 1400.0, (515, 720)),
    "copper": (0.44, 530.0, (210, 250)),
    "aluminium 1100-O": (0.20, 180.0, (75, 110)),
    "aluminium 5052-O": (0.13, 210.0, (140, 215)),
}


@pytest.mark.parametrize("metal", METALS)
def test_tensile_strengths_are_those_of_handbooks(metal):
    n, k, (least, most) = METALS[metal]
    assert least < tensile_strength_mpa(k, n) < most


@pytest.mark.parametrize("metal", METALS)
def test_a_pulled_strip_carries_most_where_it_necks(metal):
    """Force over the first area, sigma exp(-eps), on a fine grid: its top is Rm, its place n."""
    n, k, _ = METALS[metal]
    strain = np.linspace(1e-3, 1.0, 100_000)
    nominal = flow_stress_mpa(strain, k, n) * np.exp(-strain)
    assert tensile_strength_mpa(k, n) == pytest.approx(nominal.max(), rel=1e-8)
    assert uniform_strain(n) == pytest.approx(strain[nominal.argmax()], abs=2e-5)


# Worked examples: K, n, true and nominal stress where necking begins, MPa as printed, share by which rounded
# steps differ. Read in solutions that quote them: S. Kalpakjian and S. Schmid, Manufacturing Processes for
# Engineering Materials, example 2.1; Z. Marciniak, J. Duncan and S. Hu, Mechanics of Sheet Metal Forming (2nd
# ed. 2002), exercise 5.2: 6.42 kN over 1.2 by 12.4 mm; a solved tensile test: 29.6 kN over 128.6144 mm2.
NECKING = [
    (690, 0.5, 488, 296, 1e-2),
    (750, 0.22, 537.5, 6420 / (1.2 * 12.4), 1e-3),
    (449.35, 0.3077, 312.67, 29600 / 128.6144, 2e-3),
]


@pytest.mark.parametrize(("k", "n", "true", "nominal", "share"), NECKING)
def test_worked_examples_of_considere(k, n, true, nominal, share):
    assert flow_stress_mpa(uniform_strain(n), k, n) == pytest.approx(true, rel=share)
    assert tensile_strength_mpa(k, n) == pytest.approx(nominal, rel=share)


def test_worked_examples_of_the_hardening_law():
    """Marciniak, as above, exercise 3.1: 600 * 0.210^0.22 = 425.7 MPa, and its stamping example: 750 *
    0.03^0.23 = 334.8; a tensile test of a lecture: 265 at 0.08 and 325 at 0.27, K 404.85, n 0.1678 (read).
    """
    assert flow_stress_mpa([0.2102], 600, 0.22) == pytest.approx([425.7], rel=1e-3)
    assert flow_stress_mpa([0.03], 750, 0.23) == pytest.approx([334.8], abs=0.05)
    assert flow_stress_mpa([0.08, 0.27], 404.85, 0.1678) == pytest.approx([265, 325], rel=1e-4)


def test_values_worked_out_by_hand():
    """600 (0.21/2.71828)^0.21 = 350.4 and exp(0.21) - 1 = 23.4 %, on paper."""
    assert tensile_strength_mpa(600, 0.21) == pytest.approx(350.4, abs=0.05)
    assert uniform_elongation([0.21, 0.44, 0.13]) == pytest.approx([0.234, 0.553, 0.139], abs=5e-4)
    assert tensile_strength_mpa(300, 0.0) == pytest.approx(300.0)


def test_a_metal_that_is_strained_already_is_harder():
    """Four times the strain at n = 0.5 is twice the stress."""
    assert flow_stress_rise(0.03, 0.01, 0.5) == pytest.approx(2.0)
    assert flow_stress_rise(0.0, 0.01, 0.5) == 1.0
    assert flow_stress_rise(0.3, 0.01, 0.0) == 1.0


@given(st.floats(0, 2), st.floats(1e-3, 1), st.floats(0, 1))
def test_the_rise_is_the_ratio_of_two_flow_stresses(before, strain, n):
    ratio = flow_stress_mpa(before + strain, 500, n) / flow_stress_mpa(strain, 500, n)
    assert flow_stress_rise(before, strain, n) == pytest.approx(ratio)
    assert ratio >= 1.0 - 1e-12


def test_strains_of_turned_edges():
    """An edge at R + h that is turned to R is shortened by ln((R + h)/R), one at R - h stretched."""
    assert natural_strain([110, 120, 60, 320], [100, 100, 50, 300]) == pytest.approx(
        [0.09531, 0.18232, 0.18232, 0.06454], abs=5e-6
    )
    assert natural_strain([90, 80, 280], [100, 100, 300]) == pytest.approx(
        [-0.10536, -0.22314, -0.06899], abs=5e-6
    )


def test_a_ball_hammered_from_a_disc():
    """A handbook of turning of the 19th century (read; author not named there): a disc of 7.5 in: its rim is
    drawn in from 22.5 to 18 in, its diameter gets 9 in long (it reckons with pi = 3)."""
    assert natural_strain(22.5, 18.0) == pytest.approx(np.log(1.25))
    assert natural_strain(7.5, 9.0) == pytest.approx(-0.1823, abs=5e-5)


@given(st.floats(1, 1e4), st.floats(-1, 1), st.floats(-1, 1))
def test_strains_in_a_row_add_and_lead_back(length, first, second):
    after = length_after_mm(length_after_mm(length, first), second)
    assert natural_strain(length, after) == pytest.approx(first + second, abs=1e-12)
    if abs(first) > 1e-12:
        assert (length_after_mm(length, first) < length) == (first > 0)


@pytest.mark.parametrize(
    ("field", "call"),
    [
        ("n", lambda: uniform_strain(-0.1)),
        ("n", lambda: tensile_strength_mpa(500, [0.2, 2])),
        ("k", lambda: tensile_strength_mpa(0, 0.2)),
        ("effective_strain", lambda: flow_stress_mpa(-0.1, 500, 0.2)),
        ("strain_before", lambda: flow_stress_rise(-0.1, 0.1, 0.2)),
        ("strain", lambda: flow_stress_rise(0.1, 0, 0.2)),
        ("after", lambda: natural_strain(10, 0)),
        ("strain", lambda: length_after_mm(10, 1000)),
        ("strain", lambda: length_after_mm(10, None)),
    ],
)
def test_what_has_no_meaning_is_refused(field, call):
    with pytest.raises(InputError) as error:
        call()
    assert error.value.field == field
