"""Tests of the evapotranspiration of a day from its temperatures."""

from __future__ import annotations

import math

import pytest

from sitebook.analysis.weather.evapotranspiration import hargreaves_mm
from sitebook.analysis.weather.radiation import extraterrestrial_radiation_mj_m2


@pytest.mark.source(
    item="S10",
    what="Hargreaves evapotranspiration in July at 45 degrees 43 minutes north",
    value="5.0 mm a day",
    source="FAO-56, example 20, as frozen in the tests of an open library",
    mark="secondary",
)
def test_example_20() -> None:
    assert float(hargreaves_mm(14.8, 26.6, 40.6)) == pytest.approx(5.0, abs=0.05)
    computed = extraterrestrial_radiation_mj_m2(45.0 + 43.0 / 60.0, 196)
    assert float(hargreaves_mm(14.8, 26.6, computed)) == pytest.approx(5.033, abs=1e-3)


@pytest.mark.source(
    item="S11",
    what="Hargreaves evapotranspiration of a hot day with mean and radiation given",
    value="6.1 mm a day; 6.1008 in full",
    source="a worked example of Mehta 2006, quoted second-hand",
    mark="secondary",
)
def test_a_hot_day() -> None:
    assert float(hargreaves_mm(28.0, 38.0, 38.93715, 35.0)) == pytest.approx(6.1008, abs=1e-4)


def test_a_bitter_day_takes_up_nothing_and_a_missing_one_stays_missing() -> None:
    assert float(hargreaves_mm(-60.0, -50.0, 10.0)) == 0.0
    assert math.isnan(float(hargreaves_mm(math.nan, 20.0, 10.0)))


@pytest.mark.parametrize(("low", "high", "radiation"), [(20.0, 10.0, 30.0), (5.0, 10.0, -1.0)])
def test_what_cannot_be_is_refused(low: float, high: float, radiation: float) -> None:
    with pytest.raises(ValueError, match="lowest temperature"):
        hargreaves_mm(low, high, radiation)
