"""Thickness by strength: the two usual rules, and the force that they keep."""

import numpy as np
import pytest

from core.errors import InputError
from core.forming import largest_thickness_mm

STRENGTHS = [330.0, 620.0, 120.0, 215.0, 240.0]


def test_factors_against_steel_of_400_mpa():
    """Worked out on paper from the rules, which are common practice (from memory, no source)."""
    bending = largest_thickness_mm(1.0, 400, STRENGTHS, "bending")
    shearing = largest_thickness_mm(1.0, 400, STRENGTHS, "shearing")
    assert bending == pytest.approx([1.101, 0.803, 1.826, 1.364, 1.291], abs=5e-4)
    assert shearing == pytest.approx([1.212, 0.645, 3.333, 1.860, 1.667], abs=5e-4)


@pytest.mark.parametrize("strength", STRENGTHS)
def test_the_force_is_the_rated_one(strength):
    """Air bending k Rm L t^2/V (Kalpakjian and Schmid, from memory): 1.33, 400 MPa, 1 m, 3 mm, V 24 mm make
    199.5 kN. Shearing 0.7 Rm t L (the same)."""
    bent = largest_thickness_mm(3.0, 400, strength, "bending")
    assert 1.33 * strength * 1000 * bent**2 / 24 == pytest.approx(199.5e3)
    sheared = largest_thickness_mm(3.0, 400, strength, "shearing")
    assert 0.7 * strength * sheared * 1000 == pytest.approx(0.7 * 400 * 3.0 * 1000)


def test_shearing_is_the_cautious_rule_for_a_stronger_metal():
    strengths = np.array([450.0, 700.0])
    assert (
        largest_thickness_mm(2, 400, strengths, "shearing")
        < largest_thickness_mm(2, 400, strengths, "bending")
    ).all()
    assert largest_thickness_mm(2, 400, 200, "shearing") > largest_thickness_mm(2, 400, 200, "bending")


@pytest.mark.parametrize(
    ("field", "values"),
    [
        ("rule", (2, 400, 500, "folding")),
        ("rated", (0, 400, 500, "bending")),
        ("rated_strength", (2, -400, 500, "bending")),
        ("strength", (2, 400, [500, 0], "bending")),
    ],
)
def test_what_has_no_meaning_is_refused(field, values):
    with pytest.raises(InputError) as error:
        largest_thickness_mm(*values)
    assert error.value.field == field
