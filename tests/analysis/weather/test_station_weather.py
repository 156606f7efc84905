"""A station's days on one axis, and what weather to expect after the newest known day."""

from __future__ import annotations

import datetime

import numpy as np
import pytest

from sitebook.analysis.weather.rain import known_share
from sitebook.analysis.weather.soil_water import MEMORY_DAYS
from sitebook.analysis.weather.station_weather import (
    StationWeather,
    newest_known,
    station_weather,
    weather_on,
)

FIRST = datetime.date(2018, 1, 1)
DAYS = 5 * 365


@pytest.fixture(scope="module")
def weather() -> StationWeather:
    return _weather(list(range(DAYS)))


def _weather(which: list[int]) -> StationWeather:
    chance = np.random.default_rng(4)
    rain = np.where(chance.random(DAYS) < 0.4, chance.gamma(1.0, 6.0, DAYS), 0.0)
    middle = 10.0 - 8.0 * np.cos(2.0 * np.pi * np.arange(DAYS) / 365.25) + chance.normal(0.0, 2.0, DAYS)
    dates = [FIRST + datetime.timedelta(days=day) for day in which]
    return station_weather(dates, rain[which], middle[which] - 4.0, middle[which] + 4.0, 48.6)


def _date(weather: StationWeather, ahead: int) -> datetime.date:
    newest = newest_known(weather)
    assert newest is not None
    last: datetime.date = weather.local_dates[newest].item()
    return last + datetime.timedelta(days=ahead)


def test_dates_in_any_order_and_with_gaps_lie_on_one_axis(weather: StationWeather) -> None:
    which = [day for day in range(DAYS) if day not in range(900, 905)]
    mixed = np.random.default_rng(1).permutation(which).tolist()
    found = _weather(mixed)
    assert np.array_equal(found.local_dates, weather.local_dates)
    assert np.isnan(found.rain_mm[900:905]).all()
    assert np.array_equal(
        np.delete(found.rain_mm, range(900, 905)), np.delete(weather.rain_mm, range(900, 905))
    )
    with pytest.raises(ValueError, match="one row a day"):
        station_weather([FIRST, FIRST], [0.0, 0.0], [1.0, 1.0], [2.0, 2.0], 48.6)


def test_a_day_of_the_record_is_as_known_and_one_before_it_is_not(weather: StationWeather) -> None:
    day = FIRST + datetime.timedelta(days=700)
    found, ahead = weather_on(weather, [day, FIRST - datetime.timedelta(days=3), FIRST])
    assert found[0] == pytest.approx(weather.anomalies[700])
    assert np.isnan(found[1:]).all()
    assert ahead.tolist() == [0, 0, 0]


def test_days_ahead_fall_back_to_what_is_usual(weather: StationWeather) -> None:
    ahead = [0, 1, 7, 30, 60]
    found, days = weather_on(weather, [_date(weather, day) for day in ahead])
    assert days.tolist() == ahead
    assert found[2, 0] == pytest.approx(found[0, 0] * np.exp(-7.0 / MEMORY_DAYS.value))
    assert abs(found[4, 2]) < 0.01 * max(abs(found[0, 2]), 1e-6) + 1e-9
    assert np.isfinite(found).all()
    assert abs(found[4, 1]) < 1.0


@pytest.mark.source(
    item="",
    what="share of the lagged rain known 7, 10, 12 and 14 days ahead",
    value=".84 .67 .54 .41",
    source="Gaussian kernel, peak 12 d, spread 6 d, 40 d long, computed",
    mark="computed",
)
def test_how_much_of_the_rain_has_fallen_already() -> None:
    assert known_share([7, 10, 12, 14]) == pytest.approx([0.84, 0.67, 0.54, 0.41], abs=0.006)


def test_without_three_years_nothing_is_usual() -> None:
    short = _weather(list(range(700)))
    assert short.climates == (None, None, None)
    assert newest_known(short) is None
    assert np.isnan(weather_on(short, [FIRST + datetime.timedelta(days=650)])[0]).all()
