"""Which station speaks for a site, and what is doubtful about it."""

from __future__ import annotations

import datetime
import uuid
from dataclasses import replace

import numpy as np
import pytest
import shapely

from sitebook.analysis.weather.station_weather import station_weather
from sitebook.records.site import Site
from sitebook.records.weather import WeatherStation
from sitebook.work.stations import KnownStation, weather_of

NOW = datetime.datetime(2025, 1, 1, tzinfo=datetime.UTC)
HERE = shapely.Point(-19.4, 48.6)
SITE = Site(id=1, uuid="s", created_at=NOW, changed_at=NOW, name="Green", elevation_m=20.0, geom=HERE)


def _station(code: str, lon: float | None, elevation_m: float | None, days: int) -> KnownStation:
    row = WeatherStation(
        id=1, uuid=str(uuid.uuid4()), created_at=NOW, changed_at=NOW, code=code, name=f"Station {code}",
        elevation_m=elevation_m, zone="UTC", geom=None if lon is None else shapely.Point(lon, 48.6),
    )  # fmt: skip
    chance = np.random.default_rng(2)
    dates = [datetime.date(2020, 1, 1) + datetime.timedelta(days=day) for day in range(days)]
    rain, low = chance.gamma(0.5, 4.0, days), chance.normal(6.0, 3.0, days)
    return KnownStation(row, station_weather(dates, rain, low, low + 6.0, 48.6))


def test_the_nearest_station_with_a_climate_is_used_and_said() -> None:
    near, far = _station("NEAR", -19.41, 20.0, 100), _station("FAR", -19.6, 260.0, 1500)
    used = weather_of(SITE, [near, far]).used
    assert used.code == "FAR"
    assert used.distance_m == pytest.approx(14_760.0, rel=0.01)
    assert used.height_difference_m == 240.0
    assert "14.8 km away, 240 m higher" in used.said
    assert "temperatures may not be those of the site" in used.said
    assert weather_of(SITE, [near]).used.code == "NEAR"
    assert "nothing is said of what is usual" in weather_of(SITE, [near]).used.said


def test_a_far_station_is_doubted_and_one_beyond_50_km_not_used() -> None:
    doubtful = weather_of(SITE, [_station("A", -19.0, None, 1500)]).used
    assert "showers may not be those of the site" in doubtful.said
    assert "difference in height not known" in doubtful.said
    none = weather_of(SITE, [_station("B", -18.6, 20.0, 1500)])
    assert (none.weather, none.used.code) == (None, "")


def test_a_station_without_a_place_comes_last_and_says_so() -> None:
    placeless = _station("P", None, 20.0, 1500)
    assert weather_of(SITE, [placeless]).used.distance_m is None
    assert "at a place not noted" in weather_of(SITE, [placeless]).used.said
    assert weather_of(SITE, [placeless, _station("A", -19.3, 20.0, 1500)]).used.code == "A"
    high = replace(SITE, elevation_m=None)
    assert weather_of(high, [placeless]).used.height_difference_m is None
