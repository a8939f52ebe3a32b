"""Quantities at the border. Factors: exact definitions (international yard and pound, 1959: 1 in = 25.4 mm;
SI: 1 deg = pi/180 rad); psi from NIST SP 811, appendix B.8 (6.894 757 E+03 Pa), from memory."""

import math

import pytest

from core.dimensions import registry
from core.errors import InputError
from core.safesize import format_safe
from core.units import (
    change_of_length,
    format_angle,
    format_band,
    format_length,
    format_limit,
    format_with_unit,
    parse_angle_rad,
    parse_density_kg_m3,
    parse_length_mm,
    parse_number,
    parse_reading_mm,
    parse_stress_mpa,
    parse_temperature_c,
    quantity_text,
)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1500 mm", 1500.0),
        ("1500mm", 1500.0),
        ("1.5 m", 1500.0),
        ("150 cm", 1500.0),
        ("0,5 mm", 0.5),
        (".5 mm", 0.5),
        ("5. mm", 5.0),
        ("0,125 mm", 0.125),
        ("1 in", 25.4),
        ('1"', 25.4),
        ("1/16 in", 1.5875),
        ("1 1/2 in", 38.1),
        ("-1 1/2 in", -38.1),
        ("2 ft", 609.6),
        ("20 thou", 0.508),
        ("0.020 in", 0.508),
        ("50 um", 0.05),
        ("50 µm", 0.05),
        ("1e3 mm", 1000.0),
        ("-900 mm", -900.0),
        ("\u2212900 mm", -900.0),
        ("  12 mm ", 12.0),
    ],
)
def test_lengths_as_they_are_written(text, mm):
    assert parse_length_mm(text, "line.radius") == pytest.approx(mm, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("345 °C", 345.0),
        ("345C", 345.0),
        ("-10 °C", -10.0),
        ("212 °F", 100.0),
        ("-40 F", -40.0),
        ("273.15 K", 0.0),
        ("0 K", -273.15),
    ],
)
def test_temperatures_have_their_own_zeros(text, celsius):
    """Fixed points by definition (any handbook): 0 °C = 273.15 K, 100 °C = 212 °F, -40 on both scales."""
    assert parse_temperature_c(text, "annealing") == pytest.approx(celsius, abs=1e-9)


def test_temperatures_need_their_scale():
    with pytest.raises(InputError, match="such as '345 °C'"):
        parse_temperature_c("345", "annealing")
    with pytest.raises(InputError, match="'°' belongs to an angle"):
        parse_temperature_c("345 °", "annealing")
    hot = registry().Quantity(650.0, "degF")
    assert parse_temperature_c(quantity_text(hot, "annealing"), "annealing") == pytest.approx(
        (650 - 32) / 1.8
    )


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0,5 mm", 0.5),
        ("0.5", 0.5),
        (".35", 0.35),
        (",35", 0.35),
        ("0.020 in", 0.508),
        ("20 thou", 0.508),
        ("1/16 in", 1.5875),
        ("0", 0.0),
        ("-0.2", -0.2),
    ],
)
def test_readings_as_a_gauge_or_a_hand_types_them(text, mm):
    assert parse_reading_mm(text, "gap") == pytest.approx(mm, rel=1e-12)


def test_a_bare_reading_counts_in_the_unit_beside_the_field():
    assert parse_reading_mm("20", "gap", unit="thou") == pytest.approx(0.508)
    assert parse_reading_mm("0.5 mm", "gap", unit="thou") == 0.5


def test_a_gap_that_touches_has_no_band_below_0() -> None:
    """Half of the band is 1.96 standard deviations, 0.098 mm."""
    assert format_band(0.05, 0.05, touching=True) == "0 to 0.15 mm"
    assert format_band(-1.5, 0.1, touching=True) == "0.00 mm"  # pressed in there, it touches
    assert format_band(0.05, 0.05) == "0.05 ± 0.10 mm"
    assert format_band(0.3, 0.05, touching=True) == "0.30 ± 0.10 mm"


@pytest.mark.parametrize("text", ["abc", "", "5 deg", "0.3.5."])
def test_the_example_of_a_reading_is_no_length_of_a_bar(text: str) -> None:
    with pytest.raises(InputError) as error:
        parse_reading_mm(text, "gap")
    assert "1500" not in error.value.expected
    if text != "0.3.5.":
        assert (
            "a reading such as 0.35, or with its unit, such as '0.35 mm', is wanted" in error.value.expected
        )


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (1500, "write it with its unit, such as '1500 mm'"),
        ("1500", "write it with its unit, such as '1500 mm'"),
        ("", "nothing is there"),
        ("   ", "nothing is there"),
        ("1 500 mm", "without spaces, such as '1500 mm'"),
        ("1,500 mm", "write '1.500' or '1500'"),
        ("1,234.5 mm", "two separators"),
        ("1.234,5 mm", "two separators"),
        ("3..5 mm", "two separators"),
        ("1/2", "a fraction needs its unit, such as '1/2 in'"),
        ("1/0 in", "cannot be divided by 0"),
        ("5 kg", "'kg' is not a unit for a length here; write mm, cm or m, or for inches in, such as "),
        ("46 deg", "'deg' belongs to an angle"),
        ("5 mil", "write 'thou' or 'mm'"),
        ("5 Mm", "'Mm' is not a unit"),
        ("inf mm", "a length with its unit, such as '1500 mm', is wanted"),
        ("nan mm", "a length with its unit"),
        ("1e400 mm", "a finite number is wanted"),
        ("mm", "a length with its unit"),
        ("--3 mm", "a length with its unit"),
        ("3 mm; 4 mm", "is not a unit"),
        ("9" * 70 + " mm", "a length with its unit"),
        (float("nan"), "a finite number is wanted"),
        (float("inf"), "a finite number is wanted"),
        (10**400, "a finite number is wanted"),
        (True, "a length with its unit"),
        (None, "a length with its unit"),
        ([1500], "a length with its unit"),
        ({"mm": 3}, "a length with its unit"),
    ],
)
def test_what_can_be_read_two_ways_or_none_is_refused_with_field_and_value(value, says):
    with pytest.raises(InputError) as caught:
        parse_length_mm(value, "line.radius")
    assert caught.value.field == "line.radius"
    assert caught.value.value is value
    assert says in str(caught.value)
    assert str(caught.value).startswith("line.radius: ")


def test_a_bare_number_is_fine_where_the_name_holds_the_unit():
    assert parse_length_mm(40, "pitch_mm", bare_unit="mm") == 40.0
    assert parse_length_mm("40", "pitch_mm", bare_unit="mm") == 40.0


def test_angles_stresses_densities():
    assert parse_angle_rad("46 deg", "a") == pytest.approx(46 * math.pi / 180)
    assert parse_angle_rad("46°", "a") == pytest.approx(46 * math.pi / 180)
    assert parse_angle_rad("0.8 rad", "a") == 0.8
    assert parse_stress_mpa("70 GPa", "E") == pytest.approx(70e3)
    assert parse_stress_mpa("1000 psi", "E") == pytest.approx(6.894757, rel=1e-6)
    assert parse_stress_mpa("1 N/mm2", "E") == pytest.approx(1.0)
    assert parse_density_kg_m3("2.7 g/cm3", "d") == pytest.approx(2700.0)
    with pytest.raises(InputError, match="write it with its unit, such as '46 deg'"):
        parse_angle_rad(46, "line.angle")
    with pytest.raises(InputError, match="'mm' belongs to a length"):
        parse_angle_rad("46 mm", "line.angle")


def test_plain_numbers():
    assert parse_number("0,4 %", "tool.strain_per_stroke") == pytest.approx(0.004)
    assert parse_number(0.004, "x") == 0.004
    assert parse_number("1e-3", "x") == 1e-3
    for bad in ("4 mm", "", "1/2", None, True, "x", float("nan")):
        with pytest.raises(InputError):
            parse_number(bad, "x")


def test_pint_quantities_come_in_with_their_own_unit():
    inch = registry().Quantity(1.5, "inch")
    assert parse_length_mm(inch, "x") == pytest.approx(38.1)
    assert parse_length_mm(quantity_text(inch, "x"), "x") == parse_length_mm(inch, "x")
    assert quantity_text(registry().Quantity(0.5, "percent"), "x") == "0.005"
    assert parse_angle_rad(quantity_text(registry().Quantity(180, "degree"), "x"), "x") == pytest.approx(
        math.pi
    )
    with pytest.raises(InputError, match="a length with its unit"):
        parse_length_mm(registry().Quantity(1, "kg"), "x")
    with pytest.raises(InputError, match="a length, angle, stress, density, temperature, time or feed"):
        quantity_text(registry().Quantity(1, "kg"), "x")


def test_lengths_on_a_screen():
    assert format_length(0.352) == "0.35 mm"
    assert format_length(1500.04) == "1500.0 mm"
    assert format_length(25.4, "in") == "1.0000 in"
    assert format_length(-0.001) == "0.00 mm"
    assert format_length(float("nan")) == "not known"
    assert format_angle(math.radians(46)) == "46.0°"
    assert format_band(0.423, 0.051) == "0.42 ± 0.10 mm"
    assert format_band(0.423, float("nan")) == "0.42 mm"


@pytest.mark.parametrize(
    ("mm", "sd_mm", "text"),
    [
        (30.29, 22.40 / 1.96, "30 ± 22 mm"),
        (31.31, 2.135 / 1.96, "31.3 ± 2.1 mm"),
        (30290.0, 22400.0 / 1.96, "30000 ± 22000 mm"),
        (9.0, 9.97 / 1.96, "9 ± 10 mm"),
        (1.072, 0.078 / 1.96, "1.07 ± 0.08 mm"),  # no gauge of the shop shows thousandths
        (0.0123, 0.0041 / 1.96, "0.0123 ± 0.0041 mm"),
        (1200.0, 0.3 / 1.96, "1200.0 ± 0.3 mm"),  # as a rule is read
        (119.57, 0.4 / 1.96, "119.6 ± 0.4 mm"),
        (12.34, 0.4 / 1.96, "12.34 ± 0.40 mm"),
        (-0.001, 0.2 / 1.96, "0.00 ± 0.20 mm"),
        (0.5, 0.0, "0.50 ± 0.00 mm"),
    ],
)
def test_a_band_and_its_value_are_rounded_together(mm: float, sd_mm: float, text: str):
    """At most two significant digits of the uncertainty, value to the same place: JCGM 100:2008, 7.2.6."""
    assert format_band(mm, sd_mm) == text


@pytest.mark.parametrize(
    ("mm", "up", "text"),
    [
        (134.2, True, "135 mm"),
        (135.0, True, "135 mm"),
        (1003.0, True, "1050 mm"),
        (8.71, True, "8.75 mm"),
        (16.9, False, "16.5 mm"),
        (0.923, False, "0.920 mm"),
    ],
)
def test_a_size_at_the_utmost_is_rounded_to_the_safe_side(mm: float, up: bool, text: str) -> None:
    assert format_safe(mm, up) == text


def test_a_band_in_another_unit():
    assert format_band(25.4, 0.1, "in") == "1.000 ± 0.008 in"
    assert format_band(2540.0, 300.0, "in") == "100 ± 23 in"


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (0.5, "0.50 mm"),
        (0.001, "0.001 mm"),
        (0.125, "0.125 mm"),
        (25.4 / 64, "0.397 mm"),
        (0.508, "0.508 mm"),
        (1.0, "1.00 mm"),
        (1200.25, "1200.2 mm"),
        (0.0, "0.00 mm"),
    ],
)
def test_a_limit_has_the_decimals_it_needs(mm: float, text: str):
    assert format_limit(mm) == text


def test_natural_strain_as_change_of_length() -> None:
    """By hand: a hole cut to 166.5 mm and turned to 200 mm; ln 3, of which a length grows threefold."""
    assert change_of_length(-math.log(200 / 166.5)) == "20.1 % longer"
    assert change_of_length(-math.log(3.0)) == "200.0 % longer"
    assert change_of_length(math.log(320 / 300)) == "6.2 % shorter"


def test_the_degree_sign_alone_stands_close():
    """SI Brochure (9th edition), 5.4.3."""
    assert [format_with_unit("90.2", unit) for unit in ("°", "mm", "")] == ["90.2°", "90.2 mm", "90.2"]
