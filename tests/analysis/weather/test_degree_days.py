"""Tests of the warmth of a day above a threshold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate

from sitebook.analysis.weather.degree_days import single_sine


@pytest.mark.source(
    item="S15",
    what="50 to 82 deg F above 55, cut at 90",
    value="11.85",
    source="Zalom 1983, table 7",
    mark="secondary",
)
@pytest.mark.source(
    item="S16",
    what="45 to 70 deg F above 55, cut at 90",
    value="5.31",
    source="Zalom 1983, table 7",
    mark="secondary",
)
@pytest.mark.source(
    item="S17",
    what="60 to 100 deg F above 55, cut at 90",
    value="22.82",
    source="Zalom 1983, table 7",
    mark="secondary",
)
@pytest.mark.source(
    item="S18",
    what="50 to 101 deg F above 55, cut at 90",
    value="18.95",
    source="Zalom 1983, table 7",
    mark="secondary",
)
def test_the_table_of_zalom() -> None:
    low = [96, 45, 60, 75, 50, 45, 60, 75, 50, 48]
    high = [110, 54, 80, 88, 82, 70, 100, 95, 101, 95]
    printed = [35.00, 0.0, 15.00, 26.50, 11.85, 5.31, 22.82, 28.91, 18.95, 16.96]
    assert single_sine(low, high, 55, 90) == pytest.approx(printed, abs=0.006)


@given(st.floats(-20, 35), st.floats(0.1, 25), st.floats(-5, 20))
def test_the_area_under_a_sine_wave(low: float, span: float, threshold: float) -> None:
    middle, swing = low + span / 2.0, span / 2.0

    def above(turn: float) -> float:
        return max(middle + swing * math.sin(turn) - threshold, 0.0)

    kinks = []
    if abs(threshold - middle) < swing:
        angle = math.asin((threshold - middle) / swing)
        kinks = sorted({angle % (2 * math.pi), (math.pi - angle) % (2 * math.pi)})
    area = integrate.quad(above, 0.0, 2.0 * math.pi, points=kinks or None, limit=200)[0] / (2.0 * math.pi)
    assert float(single_sine(low, low + span, threshold)) == pytest.approx(area, abs=1e-8)


def test_more_warmth_never_counts_less() -> None:
    high = np.linspace(5, 40, 50)
    assert np.all(np.diff(single_sine(2.0, high, 8.0, 25.0)) >= -1e-12)
    assert float(single_sine(12.0, 12.0, 5.0)) == 7.0


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="lowest temperature"):
        single_sine(20, 10, 5)
    with pytest.raises(ValueError, match="upper limit"):
        single_sine(10, 20, 15, 12)
