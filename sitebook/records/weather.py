"""A weather station and its days."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import ClassVar

from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column
from sitebook.records.standing import Row, Standing


@dataclass(frozen=True, kw_only=True)
class WeatherStation(Standing):
    """Where the weather was measured."""

    code: str = column("code of the station, or her own word", unique=True)
    name: str = column("its name")
    elevation_m: float | None = column("height above the sea", null="not given", unit="m")
    zone: str = column("time zone of its days, IANA name")
    rain_day_offset_d: int = column("days to add to the date a rain was read on", unit="d", default=0)
    own: bool = column("whether it is her own gauge", default=False)
    geom: BaseGeometry | None = column("where, WGS 84", null="not given", geometry="POINT")


@dataclass(frozen=True, kw_only=True)
class WeatherDay(Row):
    """One day of one station."""

    GROUPS_UNIQUE: ClassVar[tuple[tuple[str, ...], ...]] = (("station_id", "local_date"),)

    station_id: int = column("the station", refers="weather_station")
    batch_id: int | None = column("import it came with", null="typed", refers="import_batch")
    local_date: datetime.date = column("the station's calendar date")
    temp_min_degc: float | None = column("lowest temperature", null="not measured", unit="°C")
    temp_max_degc: float | None = column("highest temperature", null="not measured", unit="°C")
    rain_mm: float | None = column("rain", null="not measured", unit="mm")
    trace: bool = column("whether rain fell too little to measure", default=False)
    covers_days: int = column("days the rain was gathered over", unit="d", default=1)
    flags: str | None = column("flags of the source", null="none")
