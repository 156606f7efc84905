"""Reads daily weather of real places out of tables that name their columns in their own way."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest

from sitebook.intake.weather import read_weather
from sitebook.records.incoming import Reading


def _rain_by_year(reading: Reading, code: str) -> dict[str, float]:
    found: dict[str, float] = defaultdict(float)
    for draft in reading.drafts:
        if draft.refers.get("station_id") == code and "rain_mm" in draft.values:
            found[str(draft.values["local_date"])[:4]] += float(str(draft.values["rain_mm"]))
    return {year: round(rain_mm, 1) for year, rain_mm in found.items()}


@pytest.mark.source(
    item="",
    what="Seattle 2012-2015: 1,461 days, 4,426.0 mm; 1,226.0, 828.0, 1,232.8 and 1,139.2 mm a year",
    value="4426.0",
    source="PyPI vega_datasets 0.9.0, seattle-weather.csv (BSD)",
    mark="confirmed",
)
def test_four_years_of_seattle() -> None:
    with resources.as_file(resources.files("vega_datasets") / "_data" / "seattle-weather.csv") as path:
        reading = read_weather(path)
    days = [draft for draft in reading.drafts if draft.kind == "weather_day"]
    assert len(days) == 1461
    yearly = _rain_by_year(reading, "seattle-weather")
    assert yearly == {"2012": 1226.0, "2013": 828.0, "2014": 1232.8, "2015": 1139.2}
    assert sum(yearly.values()) == pytest.approx(4426.0)
    assert reading.refused == ()
    assert "columns that are not read: wind, weather" in [line.reason for line in reading.sorted_lines]


@pytest.mark.source(
    item="",
    what="Vancouver 1108447, 1975-2004: 10,928 days, precipitation 35,359.0 mm, mean 10.28 °C",
    value="35359.0",
    source="CRAN seas, mscdata (Environment Canada)",
    mark="confirmed",
)
def test_thirty_years_of_three_canadian_stations(shared_file: Callable[[str], Path]) -> None:
    path = shared_file("weather/seas_mscdata.csv")
    reading = read_weather(path)
    codes = [draft.values["code"] for draft in reading.drafts if draft.kind == "weather_station"]
    assert codes == ["1096450", "1108447", "2100630"]
    days = [draft.values for draft in reading.drafts if draft.refers.get("station_id") == "1108447"]
    told = [line for line in reading.sorted_lines if line.reason.startswith("1108447 ")]
    assert len(days) + len(told) == 10928
    assert sum(_rain_by_year(reading, "1108447").values()) == pytest.approx(35359.0, abs=0.05)
    middles = [
        (float(str(day["temp_min_degc"])) + float(str(day["temp_max_degc"]))) / 2
        for day in days
        if {"temp_min_degc", "temp_max_degc"} <= set(day)
    ]
    assert sum(middles) / len(middles) == pytest.approx(10.28, abs=0.05)
    (refused,) = reading.refused
    assert refused.reason.startswith("2100630 1984-02-08: temp_max_degc -18 lies below temp_min_degc -16")
