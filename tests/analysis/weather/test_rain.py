"""Tests of how much of past rain still counts."""

from __future__ import annotations

import numpy as np
import pytest

from sitebook.analysis.weather.rain import antecedent_index, known_share, lag_weights, lagged_rain_mm


@pytest.mark.source(
    item="S20",
    what="antecedent precipitation index of 10, 0, 0, 25, 5 and 0 mm at a decay of 0.9",
    value="10, 9, 8.1, 32.29, 34.061, 30.6549 mm",
    source="the recursion of Kohler and Linsley 1951",
    mark="computed",
)
def test_the_index_of_six_days() -> None:
    assert antecedent_index([10, 0, 0, 25, 5, 0]) == pytest.approx([10, 9, 8.1, 32.29, 34.061, 30.6549])


def test_steady_rain_leads_to_rain_over_what_is_lost() -> None:
    assert antecedent_index(np.full(400, 2.0), 0.8)[-1] == pytest.approx(10.0)
    assert antecedent_index([0.0, 0.0], 0.5, start_mm=8.0) == pytest.approx([4.0, 2.0])


def test_a_missing_day_makes_what_follows_missing() -> None:
    assert np.isnan(antecedent_index([1.0, np.nan, 2.0])).tolist() == [False, True, True]


def test_lagged_rain_is_a_weighted_mean_that_peaks_twelve_days_back() -> None:
    rain = np.zeros(100)
    rain[50] = 40.0
    lagged = lagged_rain_mm(rain)
    assert np.isnan(lagged[:39]).all()
    assert int(np.nanargmax(lagged)) == 62
    assert lag_weights().sum() == pytest.approx(1.0)
    assert lagged_rain_mm(np.full(60, 3.0))[-1] == pytest.approx(3.0)
    assert np.isnan(lagged_rain_mm(np.full(39, 3.0))).all()


@pytest.mark.source(
    item="",
    what="share of lagged rain already fallen when looking 7, 10, 12 and 14 days ahead",
    value="0.84, 0.67, 0.54, 0.41",
    source="sum of the weights, from an independent prototype",
    mark="computed",
)
def test_how_much_of_the_rain_ahead_is_known() -> None:
    assert known_share([0, 7, 10, 12, 14, 40]) == pytest.approx([1.0, 0.84, 0.67, 0.54, 0.41, 0.0], abs=0.005)


@pytest.mark.parametrize(("rain", "decay"), [([1.0], 1.0), ([1.0], -0.1), ([-1.0], 0.9)])
def test_what_cannot_be_is_refused(rain: list[float], decay: float) -> None:
    with pytest.raises(ValueError, match="decay"):
        antecedent_index(rain, decay)
