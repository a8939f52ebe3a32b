"""Readings as typed: what is understood, what is refused, what is questioned."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import core
from shopapp.presenters import expectation, screening

LEAVES, RULE = core.GAUGES["feeler leaves"], core.GAUGES["steel rule"]
INSIDE, LINE = core.TEMPLATES["inside"], core.TEMPLATES["layout line"]
core.parse_reading_mm("1 in", "gap")  # Pint is loaded now, so that no example is timed with it
IN_MM = {"": 1.0, " mm": 1.0, " cm": 10.0, " in": 25.4, " thou": 0.0254, '"': 25.4}
"""international inch of 25.4 mm exactly (1959); a thou is a thousandth of it"""


@pytest.mark.property
@given(
    st.integers(0, 499).map(lambda n: n / 100), st.sampled_from(sorted(IN_MM)), st.sampled_from([".", ","])
)
def test_every_way_of_writing_a_reading_is_the_same_reading(value: float, unit: str, sign: str) -> None:
    text = f"{value:.2f}".replace(".", sign) + unit
    mm = value * IN_MM[unit]
    if mm <= RULE.largest_mm:
        assert screening.typed(text, RULE, INSIDE, "gap") == pytest.approx(mm)
    if mm > LEAVES.largest_mm:
        with pytest.raises(core.InputError):
            screening.typed(text, LEAVES, INSIDE, "gap")


@pytest.mark.property
@given(st.text(max_size=20))
def test_any_text_is_a_number_within_reach_or_one_clear_sentence(text: str) -> None:
    try:
        mm = screening.typed(text, LEAVES, INSIDE, "gap")
    except core.InputError as error:
        assert error.field == "gap"
        assert error.value == text
        assert error.expected.strip()
    else:
        assert 0.0 <= mm <= LEAVES.largest_mm


def test_signed_readings_belong_to_templates_that_do_not_touch() -> None:
    assert screening.typed("-0.4", LEAVES, LINE, "gap") == -0.4
    assert screening.typed("−0,4", LEAVES, LINE, "gap") == -0.4
    with pytest.raises(core.InputError, match="0 or more"):
        screening.typed("-0.4", LEAVES, INSIDE, "gap")


@pytest.mark.property
@given(st.floats(0.05, 4.5), st.floats(0.01, 0.5), st.floats(-3.9, 3.9))
def test_readings_within_four_deviations_are_never_questioned(mean: float, sd: float, z: float) -> None:
    assert screening.doubt(mean + z * sd, mean, sd, LEAVES) == ""


def test_a_moved_point_is_named() -> None:
    said = screening.doubt(3.5, 0.35, 0.04, LEAVES)
    assert said == (
        "3.50 mm was read, 0.35 ± 0.08 mm is expected. 0.35 mm would fit: is the point in the right place?"
    )
    assert "1.50 mm would fit" in screening.doubt(0.15, 1.5, 0.04, LEAVES)
    assert screening.doubt(3.5, 1.9, 0.04, LEAVES).endswith("Read this one again, please.")


def test_only_what_the_gauge_can_show_is_offered() -> None:
    """4.50 where nothing is expected: 0.045 is no leaf, in steps of 0.05 mm."""
    said = screening.doubt(4.5, 0.0, 0.15, LEAVES)
    assert said.endswith("is expected. Read this one again, please.")
    assert "0.30 mm would fit" in screening.doubt(3.0, 0.3, 0.05, LEAVES)
    assert "would fit" not in screening.doubt(3.2, 0.32, 0.05, LEAVES)
    assert "would fit" not in screening.doubt(0.9, 9.0, 0.05, LEAVES)  # leaves go to 5 mm
    assert "9.00 mm would fit" in screening.doubt(0.9, 9.0, 0.05, core.GAUGES["taper gauge"])
    assert "0.25 mm would fit" in screening.doubt(2.5, 0.25, 0.02, core.GAUGES["dial"])


def test_words_are_questioned_too() -> None:
    assert screening.doubt("touching", 2.0, 0.05, LEAVES).startswith("“Touching” was read, ")
    assert screening.doubt("beyond", 0.3, 0.05, LEAVES).startswith("“Beyond” was read, ")
    assert screening.doubt("beyond", 30.0, 0.05, LEAVES) == ""


def test_nothing_known_nothing_asked() -> None:
    assert screening.doubt(3.5, float("nan"), 0.05, LEAVES) == ""
    assert screening.doubt(3.5, 0.3, float("nan"), LEAVES) == ""


class TestExpectation:
    at_mm = np.arange(6) * 40.0
    mean = np.array([0.1, 0.2, 0.3, 0.4, 0.5, np.nan])

    def test_nothing_read_yet(self) -> None:
        found = expectation.residuals({}, self.mean)
        assert expectation.shifted(self.mean, found, self.at_mm) is self.mean
        assert expectation.candidates(2, self.mean, found, self.at_mm) == [0.3]

    def test_residuals_shift_their_neighbourhood(self) -> None:
        found = expectation.residuals({3: 1.0, 1: 0.4, 5: 2.0}, self.mean)
        assert found == {1: pytest.approx(0.2), 3: pytest.approx(0.6)}
        shifted = expectation.shifted(self.mean, found, self.at_mm)
        assert shifted[:5] == pytest.approx([0.3, 0.4, 0.7, 1.0, 1.1])

    @pytest.mark.property
    @given(st.floats(-2, 2), st.floats(-0.01, 0.01), st.integers(2, 4))
    def test_a_template_seated_otherwise_is_followed_exactly(
        self, shift: float, tilt: float, station: int
    ) -> None:
        """A rigid motion moves the readings by shift + tilt * s, which two neighbours give away."""
        true = self.mean + shift + tilt * self.at_mm
        found = expectation.residuals({i: true[i] for i in range(station)}, self.mean)
        guesses = expectation.candidates(station, self.mean, found, self.at_mm)
        assert min(abs(g - true[station]) for g in guesses) < 1e-9
