"""Tests how numbers are written in words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sitebook.quantities import measured, resolved, two_digits


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (0.0, "0"),
        (0.2, "0.20"),
        (0.0714, "0.071"),
        (1.0, "1.0"),
        (7.46, "7.5"),
        (9.96, "10"),
        (145.0, "140"),
        (8905.0, "8,900"),
        (37290.0, "37,000"),
    ],
)
def test_numbers_are_written_with_two_digits(number: float, said: str) -> None:
    assert two_digits(number) == said


@settings(max_examples=50)
@given(st.floats(min_value=1e-9, max_value=1e9))
def test_two_digits_stay_within_five_percent_and_need_no_power_of_ten(number: float) -> None:
    said = two_digits(number)
    assert float(said.replace(",", "")) == pytest.approx(number, rel=0.051)
    assert "e" not in said


@pytest.mark.parametrize(
    ("number", "digits", "said"),
    [(0.0, 6, "0"), (0.34, 4, "0.34"), (2.2345678, 4, "2.235"), (5e-6, 6, "0.000005"), (1.2e6, 6, "1200000")],
)
def test_a_measured_number_keeps_its_digits_and_needs_no_power_of_ten(
    number: float, digits: int, said: str
) -> None:
    assert measured(number, digits) == said


@pytest.mark.parametrize(("number", "said"), [(0.0, "0"), (5.5e-9, "under 0.0005"), (0.0005, "0.00050")])
def test_what_is_too_small_to_tell_anything_is_under_the_smallest(number: float, said: str) -> None:
    assert resolved(number, 0.0005) == said
