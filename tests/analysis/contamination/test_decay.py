"""First-order decay and soil residue against worked examples and raw data."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from sitebook.analysis.contamination.decay import (
    foliage_fraction,
    remaining_band,
    remaining_fraction,
    soil_residue_mg_kg,
    time_weighted_mean,
)
from sitebook.analysis.contamination.drift import drift_percent

SOIL_24D = (
    (0, 2, 4, 7, 15, 24, 35, 56, 71, 114, 183, 273, 365),
    (96.8, 81.0, 81.7, 88.2, 66.3, 72.9, 62.6, 54.6, 35.2, 18.0, 11.3, 9.9, 6.3),
)
"""Raw residues of 2,4-D in one soil: days and percent of what was applied."""


def fitted_dt50(days: list[float], left: list[float]) -> tuple[float, float]:
    def model(time: np.ndarray, start: float, half_life: float) -> np.ndarray:
        return np.asarray(start * remaining_fraction(time, half_life))

    (start, half_life), _ = curve_fit(model, np.array(days), np.array(left), p0=(100.0, 20.0))
    return float(start), float(half_life)


@pytest.mark.source(
    item="C26",
    what="first-order decay, half-life 10 d: left and time-weighted mean of 10",
    value="9.330, 6.156, 2.333, 0.544; 9.661, 7.923, 5.267, 3.248",
    source="UK CRD spreadsheet through the tests of the R package pfm",
    mark="secondary",
)
def test_worked_example_of_decay() -> None:
    days = [1, 7, 21, 42]
    np.testing.assert_allclose(10 * remaining_fraction(days, 10), [9.330, 6.156, 2.333, 0.544], atol=5e-4)
    np.testing.assert_allclose(10 * time_weighted_mean(days, 10), [9.661, 7.923, 5.267, 3.248], atol=5e-4)


@pytest.mark.source(
    item="C27",
    what="residue of 100 g/ha in 5 cm of soil at 1.5 kg/L",
    value="0.133333 mg/kg",
    source="tests of the R package pfm",
    mark="secondary",
)
def test_residue_in_soil() -> None:
    assert float(soil_residue_mg_kg(100)) == pytest.approx(0.133333, abs=5e-7)
    assert float(soil_residue_mg_kg(100, 0.75)) == pytest.approx(0.1, rel=1e-12)
    assert float(soil_residue_mg_kg(75, depth_m=0.01)) == pytest.approx(0.5, rel=1e-12)


@pytest.mark.source(
    item="C25",
    what="30 g/ha beside water 30 cm deep, drifted 1, 5, 10 and 20 m: the same sum with water as the ground",
    value="0.277, 0.057, 0.029, 0.015 ug/L",
    source="UK CRD calculator through the tests of the R package pfm",
    mark="secondary",
)
def test_residue_in_a_shallow_ditch() -> None:
    drifted = drift_percent([1, 5, 10, 20], "arable_below_50cm") / 100
    found = 1000.0 * soil_residue_mg_kg(30, drifted, depth_m=0.3, bulk_kg_m3=1000.0)
    np.testing.assert_allclose(found, [0.277, 0.057, 0.029, 0.015], rtol=0.005, atol=5e-4)


@pytest.mark.source(
    item="C28",
    what="1000 g/ha of 2,4-D: sprayed over, drifted 5 m, and both after 14 d at half-life 10 d",
    value="1.333333; 0.007625789; 0.002889634; 0.505238856 mg/kg",
    source="arithmetic from FOCUS 2001 and SWAT+ half-lives",
    mark="computed",
)
def test_residue_of_a_spraying() -> None:
    drifted = drift_percent(5, "arable_below_50cm") / 100
    left = remaining_fraction(14, 10)
    assert float(soil_residue_mg_kg(1000)) == pytest.approx(1.333333, abs=5e-7)
    assert float(soil_residue_mg_kg(1000, drifted)) == pytest.approx(0.007625789, abs=5e-10)
    assert float(soil_residue_mg_kg(1000, drifted * left)) == pytest.approx(0.002889634, abs=5e-10)
    assert float(soil_residue_mg_kg(1000, left)) == pytest.approx(0.505238856, abs=5e-10)


@pytest.mark.source(
    item="C29",
    what="percent left after 14, 30, 60, 90 and 365 d of five actives",
    value="2,4-D 37.893 12.5 1.5625 0.195 0; MCPP 62.996 37.150 13.801 5.127 0.0006; triclopyr 80.981 63.632 "
    "40.490 25.765 0.409; glyphosate 81.345 64.247 41.277 26.519 0.459; propiconazole 91.556 82.775 68.518 "
    "56.716 10.026",
    source="arithmetic from SWAT+ half-lives",
    mark="computed",
)
@pytest.mark.parametrize(
    ("dt50", "left"),
    [
        (10, (37.893, 12.5, 1.5625, 0.195, 0.0)),
        (21, (62.996, 37.150, 13.801, 5.127, 0.0006)),
        (46, (80.981, 63.632, 40.490, 25.765, 0.409)),
        (47, (81.345, 64.247, 41.277, 26.519, 0.459)),
        (110, (91.556, 82.775, 68.518, 56.716, 10.026)),
    ],
)
def test_percent_left(dt50: float, left: tuple[float, ...]) -> None:
    np.testing.assert_allclose(100 * remaining_fraction([14, 30, 60, 90, 365], dt50), left, atol=6e-4)


@pytest.mark.source(
    item="C30",
    what="days until one percent is left of seven actives",
    value="66.4, 93.0, 139.5, 199.3, 305.6, 312.3, 730.8",
    source="arithmetic from SWAT+ half-lives",
    mark="computed",
)
def test_days_to_one_percent() -> None:
    half_lives = np.array([10, 14, 21, 30, 46, 47, 110])
    days = np.array([66.4, 93.0, 139.5, 199.3, 305.6, 312.3, 730.8])
    np.testing.assert_allclose(remaining_fraction(days, half_lives), 0.01, rtol=6e-3)


@pytest.mark.source(
    item="C31",
    what="first-order fit to raw residues of 2,4-D in one soil",
    value="C0 89.555, DT50 60.95 d",
    source="EU assessment 2014 data as listed in the R package mkin",
    mark="computed",
)
def test_fit_of_a_raw_soil() -> None:
    start, half_life = fitted_dt50(list(SOIL_24D[0]), list(SOIL_24D[1]))
    assert start == pytest.approx(89.555, rel=1e-3)
    assert math.log(2) / half_life == pytest.approx(0.01137, rel=1e-3)
    assert half_life == pytest.approx(60.95, rel=1e-3)


def test_an_element_stays() -> None:
    assert float(remaining_fraction(36500, math.inf)) == 1.0
    assert float(time_weighted_mean(36500, math.inf)) == 1.0


def test_a_rain_washes_once() -> None:
    assert float(foliage_fraction(0, 5, 2, 0.45)) == pytest.approx(0.3025)
    with pytest.raises(ValueError, match="wash-off"):
        foliage_fraction(1, 5, 1, 1.2)


@pytest.mark.parametrize(("days", "half_life"), [(-1, 10), (1, 0), (float("nan"), 10), (1, -5)])
def test_impossible_times_are_refused(days: float, half_life: float) -> None:
    with pytest.raises(ValueError, match="half-life"):
        remaining_fraction(days, half_life)


@given(st.floats(0.0, 5000.0), st.floats(0.0, 5000.0), st.floats(0.5, 5000.0))
def test_decay_composes_and_the_band_holds_it(first: float, second: float, half_life: float) -> None:
    whole = float(remaining_fraction(first + second, half_life))
    apart = float(remaining_fraction(first, half_life) * remaining_fraction(second, half_life))
    assert whole == pytest.approx(apart, rel=1e-9, abs=1e-300)
    central, low, high = (float(v) for v in remaining_band(first, half_life))
    assert low <= central <= high
    mean = float(time_weighted_mean(first, half_life))
    assert central - 1e-12 <= mean <= 1.0 + 1e-12
