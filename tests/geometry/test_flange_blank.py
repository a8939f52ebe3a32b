"""Bend allowance and blank against handbook figures."""

from __future__ import annotations

import numpy as np
import pytest

from core.errors import InputError
from core.geometry.flange_blank import (
    NEUTRAL,
    bend_allowance_mm,
    bend_deduction_mm,
    beyond_outline_mm,
    blank_diameter_mm,
    setback_mm,
)

RIGHT, INCH = np.pi / 2, 25.4


@pytest.mark.parametrize("degrees", [30, 60, 90, 120])
def test_the_rule_of_aircraft_work(degrees: float) -> None:
    """(0.01743 R + 0.0078 T) N, N in degrees: FAA-H-8083-31, Aviation Maintenance Technician Handbook, and US
    Navy training manuals with 0.0173 R (seen as quoted). R 0.16 in, T 0.040 in."""
    found = bend_allowance_mm(np.radians(degrees), 0.16 * INCH, 0.04 * INCH) / INCH
    assert found == pytest.approx((0.01743 * 0.16 + 0.0078 * 0.04) * degrees, rel=2e-3)


def test_the_channel_of_the_aviation_handbook() -> None:
    """FAA-H-8083-31, U-channel of 0.040 in 2024-T3 (seen as quoted): R 0.16 in, setback 0.2 in; legs of 1.00
    and a web of 2.00 in over the outside have flats of 0.8, 1.6 and 0.8 in."""
    setback = setback_mm(RIGHT, 0.16 * INCH, 0.04 * INCH) / INCH
    assert setback == pytest.approx(0.2)
    flats = np.array([1.0 - setback, 2.0 - 2 * setback, 1.0 - setback])
    assert flats == pytest.approx([0.8, 1.6, 0.8])
    bend = float(bend_allowance_mm(RIGHT, 0.16, 0.04))
    deducted = 4.0 - 2 * float(bend_deduction_mm(RIGHT, 0.16, 0.04))
    assert deducted == pytest.approx(flats.sum() + 2 * bend)


@pytest.mark.parametrize(("per_thickness", "neutral"), [(0.55, 0.350), (0.64, 0.407), (0.71, 0.452)])
def test_the_arcs_of_machinerys_handbook(per_thickness: float, neutral: float) -> None:
    """L = 0.55 T, 0.64 T or 0.71 T + 1.57 R for 90 degrees in soft, medium and hard metal (Machinery's
    Handbook, from memory; its 26th edition's K of 0.407 for aluminium and 0.45 for cold-rolled steel seen as
    quoted)."""
    assert bend_allowance_mm(RIGHT, 3.0, 1.5, neutral) == pytest.approx(
        per_thickness * 1.5 + 1.57 * 3.0, rel=2e-3
    )


def test_a_flat_plate_has_no_bend() -> None:
    assert bend_allowance_mm(0.0, 3.0, 1.5) == 0.0
    assert bend_deduction_mm(0.0, 3.0, 1.5) == 0.0


def test_what_goes_beyond_the_outline_by_hand() -> None:
    """20 mm of flange, r 3 mm, t 1.5 mm, 90 degrees: setback 4.5 mm, allowance pi/2 (3 + 0.447 * 1.5) = 5.765
    mm, so 20 - (9 - 5.765) = 16.765 mm."""
    beyond = beyond_outline_mm(20.0, RIGHT, 3.0, 1.5)
    assert beyond == pytest.approx(16.765, abs=1e-3)
    assert pytest.approx(0.4469, abs=5e-5) == NEUTRAL
    assert blank_diameter_mm(600.0, True, beyond) == pytest.approx(633.53, abs=1e-2)
    assert blank_diameter_mm(200.0, False, beyond) == pytest.approx(166.47, abs=1e-2)


def test_what_cannot_be_cut() -> None:
    with pytest.raises(InputError, match=r"4\.5 mm"):
        beyond_outline_mm(4.4, RIGHT, 3.0, 1.5)
    with pytest.raises(InputError, match="radius of the hole"):
        blank_diameter_mm(30.0, False, 16.0)
