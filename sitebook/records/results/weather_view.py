"""What the weather of the last days was, against what its station is used to."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from sitebook.records.results.outlook import StationUsed


@dataclass(frozen=True)
class WeatherDaySeen:
    """One day of a station.

    Parameters
    ----------
    on
        The station's calendar date.
    rain_mm, temp_min_degc, temp_max_degc
        As measured; None where not.
    trace
        Whether rain fell too little to measure.
    soil_water
        Water in the litter and topsoil, share of what they hold [1]; None where not known.
    soil_temperature_degc
        Estimated from the air; None where not known.
    usual_rain_mm, usual_soil_water, usual_soil_temperature_degc
        What the station is used to on this date; None without a climate.
    """

    on: datetime.date
    rain_mm: float | None
    temp_min_degc: float | None
    temp_max_degc: float | None
    trace: bool
    soil_water: float | None
    soil_temperature_degc: float | None
    usual_rain_mm: float | None
    usual_soil_water: float | None
    usual_soil_temperature_degc: float | None


@dataclass(frozen=True)
class WeatherSum:
    """One figure of the days shown.

    Parameters
    ----------
    words
        What it is, as "rain of the last 30 days".
    value, usual
        The figure and the station's usual one; None where not known.
    unit
        Unit of both.
    said
        What is missing from it, as "4 days not measured"; "" where nothing is.
    """

    words: str
    value: float | None
    usual: float | None
    unit: str
    said: str


@dataclass(frozen=True)
class WeatherEffect:
    """What the weather so far means for one taxon.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    times, low, high
        The finds to be expected are those of usual weather times this [1], and the ends of its 80 %
        interval.
    looks
        Looks on days whose weather is known, from which it was learned.
    mostly_assumed
        Whether the looks moved what was assumed by little.
    said
        The same in a sentence.
    poisoning
        Poisoning classes noted for the name; "" where none is, which says nothing.
    """

    taxon_id: int
    taxon_name: str
    times: float
    low: float
    high: float
    looks: int
    mostly_assumed: bool
    said: str
    poisoning: str = ""


@dataclass(frozen=True)
class WeatherView:
    """The last days of one station.

    Parameters
    ----------
    station
        The station; its distance is that from the middle of the sites that use it.
    sites
        Names of the sites that use it.
    days
        In order of their date, days not measured among them.
    sums
        Figures over the days.
    effects
        One a taxon, strongest first.
    climate_said
        On how many days what is usual rests, or why nothing is known of it.
    """

    station: StationUsed
    sites: tuple[str, ...]
    days: tuple[WeatherDaySeen, ...]
    sums: tuple[WeatherSum, ...]
    effects: tuple[WeatherEffect, ...]
    climate_said: str
