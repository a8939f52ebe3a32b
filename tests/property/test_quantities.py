"""Laws of reading quantities: any text is a finite number or one InputError; what is written comes back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.dimensions import ANGLE, LENGTH, registry
from core.errors import InputError
from core.units import parse_angle_rad, parse_length_mm, parse_number, parse_reading_mm

pytestmark = pytest.mark.property
registry()  # made now, so that no example is timed with the import of Pint in it
SHOP_TEXT = st.text(alphabet="0123456789.,-+/eE mincthouftg°\"' \t\n½µ", max_size=14)
PARSERS = (parse_length_mm, parse_angle_rad, parse_number, parse_reading_mm)


@given(st.one_of(SHOP_TEXT, st.text(max_size=30)), st.sampled_from(PARSERS))
def test_any_text_is_a_finite_number_or_one_sentence(text, parse):
    try:
        value = parse(text, "field")
    except InputError as error:
        assert error.field == "field"
        assert error.value == text
        assert "\n" not in str(error)
    else:
        assert math.isfinite(value)
        assert any(sign.isdigit() for sign in text)


@given(st.one_of(st.none(), st.booleans(), st.complex_numbers(), st.lists(st.integers()), st.binary()))
def test_what_is_no_number_is_refused(value):
    for parse in PARSERS:
        with pytest.raises(InputError):
            parse(value, "field")


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e9, max_value=1e9), st.sampled_from(".,"))
def test_a_length_written_in_mm_is_read_back(mm, decimal):
    text = f"{mm!r} mm"
    _, point, tail = text.partition(".")
    if decimal == "," and point and len(tail.split()[0]) == 3:
        return  # one comma and three digits: refused, as it may be read two ways
    assert parse_length_mm(text.replace(".", decimal), "x") == mm


@given(st.integers(1, 999), st.integers(0, 999))
def test_a_comma_before_three_digits_is_never_guessed(whole, rest):
    with pytest.raises(InputError, match="two ways"):
        parse_length_mm(f"{whole},{rest:03d} mm", "x")


@given(st.integers(0, 40), st.integers(0, 63))
def test_fractions_of_an_inch(whole, sixty_fourths):
    mm = parse_length_mm(f"{whole} {sixty_fourths}/64 in", "x")
    assert mm == pytest.approx(25.4 * (whole + sixty_fourths / 64.0), abs=1e-12)


@given(
    st.floats(0.001, 1000.0),
    st.sampled_from(sorted(LENGTH.spellings)),
    st.sampled_from(sorted(ANGLE.spellings)),
)
def test_a_unit_of_another_dimension_is_refused(amount, length, angle):
    with pytest.raises(InputError):
        parse_angle_rad(f"{amount} {length}", "x")
    with pytest.raises(InputError):
        parse_length_mm(f"{amount} {angle}", "x")
