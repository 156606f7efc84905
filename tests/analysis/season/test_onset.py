"""Tests of the estimated first and last day of a season."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitebook.analysis.season.onset import weibull_endpoint

DODO = [1662, 1638, 1631, 1628, 1628, 1611, 1607, 1602, 1601, 1598]


@pytest.mark.source(
    item="S32",
    what="end of the sightings of the dodo with its 95 % interval",
    value="1690 [1669, 1799]",
    source="Roberts and Solow 2003",
    mark="confirmed",
)
def test_the_end_of_the_dodo() -> None:
    found = weibull_endpoint(DODO, end="last")
    assert [found.day, found.low, found.high] == pytest.approx([1690.42, 1669.13, 1798.88], abs=0.005)


@pytest.mark.source(
    item="S33",
    what="start of the same series",
    value="1595 [1575, 1597]",
    source="test of an open library on the same dates",
    mark="confirmed",
)
def test_the_start_of_the_same_series() -> None:
    found = weibull_endpoint(DODO)
    assert [found.day, found.low, found.high] == pytest.approx([1595.09, 1575.10, 1597.98], abs=0.005)


def test_an_even_series_is_estimated_alike_at_both_ends() -> None:
    first, last = weibull_endpoint(range(5, 16)), weibull_endpoint(range(5, 16), end="last")
    assert [first.day, first.low, first.high] == pytest.approx([3.4816, -2.2667, 4.9180], abs=1e-4)
    assert last.day == pytest.approx(20.0 - first.day)
    assert (last.low, last.high) == pytest.approx((20.0 - first.high, 20.0 - first.low))


@given(st.lists(st.integers(1, 300), min_size=8, max_size=25, unique=True), st.integers(-400, 400))
def test_the_estimate_moves_with_the_days_and_lies_outside_them(days: list[int], shift: int) -> None:
    found = weibull_endpoint(days)
    moved = weibull_endpoint([day + shift for day in days])
    assert moved.day - shift == pytest.approx(found.day, abs=1e-6)
    assert found.low <= found.high
    assert found.high <= min(days)


def test_a_tie_at_the_end_counts_once() -> None:
    assert weibull_endpoint([5, 5, 5, 8, 11, 14]) == weibull_endpoint([5, 8, 11, 14])


@pytest.mark.parametrize("days", [[], [1.0], [3.0, 3.0, 4.0], [1.0, 2.0, np.nan]])
def test_too_few_days_are_refused(days: list[float]) -> None:
    with pytest.raises(ValueError, match="days"):
        weibull_endpoint(days)
