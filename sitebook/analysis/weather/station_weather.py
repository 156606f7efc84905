"""Lays the days of one station out, with what fruiting is thought to follow, and looks some days ahead."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from sitebook.analysis.weather.anomalies import Climate, anomalies, climate_of, day_of_year, normal
from sitebook.analysis.weather.evapotranspiration import hargreaves_mm
from sitebook.analysis.weather.radiation import extraterrestrial_radiation_mj_m2
from sitebook.analysis.weather.rain import LAG_LENGTH_DAYS, lag_weights, lagged_rain_mm
from sitebook.analysis.weather.soil_temperature import FOLLOWS, soil_temperature_degc
from sitebook.analysis.weather.soil_water import MEMORY_DAYS, water_share
from sitebook.citations import Cited

Floats = NDArray[np.float64]
Dates = NDArray[np.datetime64]

RAIN_DAYS = Cited(20.0, "d", "ours", "our choice")
"""Days of lagged rain taken together before the logarithm, so that a shower counts little."""

ANOMALIES = 3
ONE_DAY = np.timedelta64(1, "D")


@dataclass(frozen=True)
class StationWeather:
    """The weather of one station, day by day without a gap.

    Parameters
    ----------
    local_dates
        Successive dates (n,).
    rain_mm, temp_min_degc, temp_max_degc
        As measured (n,); NaN where not.
    soil_water
        Water in the top soil, share of what it holds (n,) [1]; NaN where not known.
    lagged_rain_mm
        Weighted mean rain of the past 40 days (n,) [mm a day]; NaN where not known.
    soil_temperature_degc
        Estimated from the air (n,); NaN where not known.
    anomalies
        Soil moisture, logarithm of lagged rain, and soil temperature in standard deviations from what the
        station is used to (n, 3) [1]; NaN where not known, and everywhere without a climate.
    climates
        What the station is used to of the three, None where too few days are known.
    rain_climate
        What it is used to of a day's rain [mm].
    latitude_deg
        Its latitude.
    """

    local_dates: Dates
    rain_mm: Floats
    temp_min_degc: Floats
    temp_max_degc: Floats
    soil_water: Floats
    lagged_rain_mm: Floats
    soil_temperature_degc: Floats
    anomalies: Floats
    climates: tuple[Climate | None, ...]
    rain_climate: Climate | None
    latitude_deg: float


def station_weather(
    local_dates: Sequence[datetime.date],
    rain_mm: ArrayLike,
    temp_min_degc: ArrayLike,
    temp_max_degc: ArrayLike,
    latitude_deg: float,
) -> StationWeather:
    """Lay the days of a station out.

    Parameters
    ----------
    local_dates
        Dates in any order, with gaps or not, each once (n,).
    rain_mm, temp_min_degc, temp_max_degc
        What was measured on each [mm], [deg C] (n,); NaN where not.
    latitude_deg
        Latitude of the station [deg].

    Raises
    ------
    ValueError
        When a date stands twice.
    """
    days = np.array(sorted(local_dates), "datetime64[D]")
    if np.any(np.diff(days) <= np.timedelta64(0, "D")):
        raise ValueError("a station has one row a day")
    every = np.arange(days[0], days[-1] + ONE_DAY) if days.size else days
    at = ((np.array(local_dates, "datetime64[D]") - days[0]) / ONE_DAY).astype(np.int64) if days.size else []
    rain, low, high = (np.full(every.shape, np.nan) for _ in range(3))
    for laid, given in ((rain, rain_mm), (low, temp_min_degc), (high, temp_max_degc)):
        laid[at] = np.asarray(given, np.float64)
    low[high < low] = np.nan
    radiation = extraterrestrial_radiation_mj_m2(latitude_deg, day_of_year(every)[0])
    water = water_share(rain, hargreaves_mm(low, high, radiation))
    lagged = lagged_rain_mm(rain)
    warmth = soil_temperature_degc((low + high) / 2.0)
    series = (water, np.log1p(RAIN_DAYS.value * lagged), warmth)
    climates = tuple(climate_of(one, every) for one in series)
    apart = [
        anomalies(one, every, climate) if climate else np.full(every.shape, np.nan)
        for one, climate in zip(series, climates, strict=True)
    ]
    return StationWeather(
        every, rain, low, high, water, lagged, warmth, np.column_stack(apart), climates,
        climate_of(rain, every), latitude_deg,
    )  # fmt: skip


def weather_on(weather: StationWeather, dates: Sequence[datetime.date]) -> tuple[Floats, NDArray[np.int64]]:
    """Give the anomalies of some dates, and how many days ahead of known weather each is.

    A coming day's weather is what is to be expected after the newest known day: soil moisture and soil
    temperature fall back to what is usual, and rain that is yet to fall is the station's usual rain.

    Parameters
    ----------
    weather
        The station.
    dates
        Dates wanted, past or coming (k,).

    Returns
    -------
    tuple
        Anomalies (k, 3) [1], NaN where not known; days from the newest known weather to each date (k,)
        [d], 0 for a day of the record and where nothing is known.
    """
    wanted = np.array(dates, "datetime64[D]")
    found = np.full((wanted.size, ANOMALIES), np.nan)
    ahead = np.zeros(wanted.size, np.int64)
    newest = newest_known(weather)
    if newest is None:
        return found, ahead
    steps = ((wanted - weather.local_dates[0]) / ONE_DAY).astype(np.int64)
    within = (steps >= 0) & (steps <= newest)
    found[within] = weather.anomalies[steps[within]]
    later = steps > newest
    ahead[later] = steps[later] - newest
    for number in np.flatnonzero(later):
        found[number] = _expected(weather, newest, int(ahead[number]))
    return found, ahead


def newest_known(weather: StationWeather) -> int | None:
    """Give the number of the newest day of which an anomaly is known; None where none is."""
    known = np.flatnonzero(np.isfinite(weather.anomalies).any(axis=1))
    return int(known[-1]) if known.size else None


def _expected(weather: StationWeather, newest: int, ahead: int) -> Floats:
    """Give the anomalies to be expected some days after the newest known day (3,)."""
    moisture, _, warmth = weather.anomalies[newest]
    memory = np.exp(-ahead / MEMORY_DAYS.value)
    follows = (1.0 - FOLLOWS.value) ** ahead
    return np.array([moisture * memory, _rain_ahead(weather, newest, ahead), warmth * follows])


def _rain_ahead(weather: StationWeather, newest: int, ahead: int) -> float:
    """Give the anomaly of lagged rain when usual rain falls from the newest known day on; NaN unknown."""
    climate = weather.climates[1]
    if climate is None or weather.rain_climate is None:
        return np.nan
    date = weather.local_dates[newest] + ahead * ONE_DAY
    window = np.arange(date - (LAG_LENGTH_DAYS - 1) * ONE_DAY, date + ONE_DAY)
    steps = ((window - weather.local_dates[0]) / ONE_DAY).astype(np.int64)
    rain = np.maximum(normal(weather.rain_climate, window), 0.0)
    past = steps <= newest
    rain[past] = np.where(steps[past] >= 0, weather.rain_mm[np.maximum(steps[past], 0)], np.nan)
    lagged = float(rain @ lag_weights()[::-1])
    series = np.log1p(RAIN_DAYS.value * np.array([lagged]))
    return float(anomalies(series, np.array([date]), climate)[0])
