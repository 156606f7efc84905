"""Tests of how far the weather of a day lies from the usual."""

from __future__ import annotations

import math

import numpy as np
import pytest

from sitebook.analysis.weather.anomalies import anomalies, climate_of, normal
from sitebook.analysis.weather.station_weather import station_weather

DATES = np.arange("2015-01-01", "2020-01-01", dtype="datetime64[D]")
DAY = np.arange(DATES.size)
WAVE = 10.0 + 8.0 * np.cos(2.0 * math.pi * (DAY - 200.0) / 365.2425)


def _noise(seed: int, spread: float = 2.0) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return np.random.default_rng(seed).normal(0.0, spread, DATES.size)


def test_an_anomaly_has_no_season_left_and_spread_one() -> None:
    found = anomalies(WAVE + _noise(1), DATES)
    assert found.mean() == pytest.approx(0.0, abs=1e-9)
    assert found.std() == pytest.approx(1.0, abs=0.01)
    assert abs(np.corrcoef(found, WAVE)[0, 1]) < 0.01


def test_the_climate_is_the_wave_that_was_put_in() -> None:
    climate = climate_of(WAVE + _noise(2), DATES)
    assert climate is not None
    assert climate.spread == pytest.approx(2.0, rel=0.05)
    assert normal(climate, DATES) == pytest.approx(WAVE, abs=0.5)


def test_a_year_far_from_the_usual_stands_out_against_a_climate_of_other_years() -> None:
    climate = climate_of(WAVE + _noise(3), DATES)
    warm = anomalies(WAVE[:365] + 4.0, DATES[:365], climate)
    assert warm.mean() == pytest.approx(2.0, abs=0.15)


def test_the_same_units_or_others_give_the_same_anomaly() -> None:
    series = WAVE + _noise(4)
    assert anomalies(series * 1.8 + 32.0, DATES) == pytest.approx(anomalies(series, DATES))


def test_gaps_stay_unknown_and_are_not_filled() -> None:
    series = WAVE + _noise(5)
    series[100:140] = np.nan
    found = anomalies(series, DATES)
    assert np.isnan(found[100:140]).all()
    assert np.isfinite(np.delete(found, np.s_[100:140])).all()


@pytest.mark.parametrize(("days", "known"), [(1094, False), (1095, True)])
def test_fewer_than_three_years_are_no_climate(days: int, known: bool) -> None:
    series = (WAVE + _noise(6))[:days]
    assert (climate_of(series, DATES[:days]) is not None) is known
    assert bool(np.isfinite(anomalies(series, DATES[:days])).all()) is known


def test_a_time_of_the_year_that_is_mostly_unknown_is_no_climate() -> None:
    series = WAVE + _noise(7)
    january = DATES.astype("datetime64[M]").astype(np.int64) % 12 == 0
    assert climate_of(np.where(january, np.nan, series), DATES) is None


def test_days_all_alike_are_no_climate() -> None:
    assert climate_of(np.full(DATES.size, 3.0), DATES) is None
    assert climate_of(np.full(DATES.size, np.nan), DATES) is None


def test_weather_of_fruiting_is_known_once_soil_and_rain_have_settled() -> None:
    chance = np.random.default_rng(8)
    rain = np.where(chance.random(DATES.size) < 0.4, chance.gamma(0.75, 7.0, DATES.size), 0.0)
    found = station_weather(DATES.tolist(), rain, WAVE - 4.0, WAVE + 4.0 + np.abs(_noise(9)), 50.0).anomalies
    assert found.shape == (DATES.size, 3)
    assert [int(np.argmax(np.isfinite(column))) for column in found.T] == [90, 39, 30]
    assert np.isfinite(found[90:]).all()
    wet = rain.copy()
    wet[-30:] += 8.0
    wetter = station_weather(DATES.tolist(), wet, WAVE - 4.0, WAVE + 4.0 + np.abs(_noise(9)), 50.0).anomalies
    assert wetter[-1, 0] > found[-1, 0]
    assert wetter[-1, 1] > found[-1, 1] + 1.0
    assert wetter[-1, 2] == pytest.approx(found[-1, 2])
