"""Finds the weather of each site: which station, how far, how much higher, and known to which day."""

from __future__ import annotations

import datetime
import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from sitebook.analysis.weather.station_weather import StationWeather, newest_known, station_weather
from sitebook.citations import Cited
from sitebook.ground.distance import metres_words
from sitebook.ground.projection import LocalMetres
from sitebook.records.results.outlook import StationUsed
from sitebook.records.site import Site
from sitebook.records.weather import WeatherDay, WeatherStation
from sitebook.store import rows
from sitebook.store.book import Book

FARTHEST_M = Cited(50_000.0, "m", "ours", "our choice")
"""A station farther than this tells nothing of a site."""
DOUBTFUL_M = Cited(25_000.0, "m", "ours", "our choice")
"""A station farther than this is used with a warning."""
DOUBTFUL_HEIGHT_M = Cited(200.0, "m", "ours", "our choice")
"""The same for a difference in height."""

UNKNOWN_LATITUDE_DEG = Cited(45.0, "deg", "ours", "our choice")
"""Latitude taken for a station that says not where it is."""

NONE_NEAR = StationUsed("", "", None, None, None, "No weather station of the book lies within 50 km.")


@dataclass(frozen=True)
class SiteWeather:
    """The weather of one site.

    Parameters
    ----------
    weather
        That of its station; None where no station is near enough.
    used
        Which station, and how well it speaks for the site.
    """

    weather: StationWeather | None
    used: StationUsed


@dataclass(frozen=True)
class KnownStation:
    """A station with its days laid out."""

    station: WeatherStation
    weather: StationWeather

    @property
    def has_climate(self) -> bool:
        """Whether enough days are known to tell what is usual."""
        return any(climate is not None for climate in self.weather.climates)

    @property
    def last_day(self) -> datetime.date | None:
        """Newest day whose weather is known; None where none is."""
        return newest_day(self.weather)


def stations_of(book: Book, *, to: datetime.date | None = None) -> tuple[KnownStation, ...]:
    """Lay out the days of every station that has any; one without a place is taken to lie at 45 degrees.

    Parameters
    ----------
    book
        The book.
    to
        Last day wanted; None for all.
    """
    days: dict[int, list[WeatherDay]] = defaultdict(list)
    for day in rows.records(book, WeatherDay):
        if to is None or day.local_date <= to:
            days[day.station_id].append(day)
    return tuple(
        KnownStation(station, _laid_out(station, days[station.id or 0]))
        for station in rows.records(book, WeatherStation)
        if days.get(station.id or 0)
    )


def weather_of_sites(book: Book, *, stations: Sequence[KnownStation] | None = None) -> dict[int, SiteWeather]:
    """Give the weather of every site.

    The nearest station of which enough is known to say what is usual is used, else the nearest; none is
    used beyond 50 km.

    Parameters
    ----------
    book
        The book.
    stations
        Its stations, where they are laid out already.
    """
    known = stations_of(book) if stations is None else stations
    return {site.id or 0: weather_of(site, known) for site in rows.records(book, Site)}


def weather_of(site: Site, stations: Iterable[KnownStation]) -> SiteWeather:
    """Choose the station of one site."""
    at = shapely.get_coordinates(site.geom.centroid)[0]
    frame = LocalMetres(float(at[0]), float(at[1]))
    near = [(one, distance_m(frame, one.station)) for one in stations]
    near = [(one, away_m) for one, away_m in near if away_m <= FARTHEST_M.value or _placeless(one)]
    if not near:
        return SiteWeather(None, NONE_NEAR)
    one, away_m = min(near, key=lambda pair: (not pair[0].has_climate, pair[1]))
    return SiteWeather(one.weather, used_of(one, None if math.isinf(away_m) else away_m, site.elevation_m))


def used_of(one: KnownStation, away_m: float | None, elevation_m: float | None) -> StationUsed:
    """Say which station is used, and what is doubtful about it.

    Parameters
    ----------
    one
        The station.
    away_m
        How far it is [m]; None where it says not where it is.
    elevation_m
        Height of the place it is used for [m]; None where not noted.
    """
    station = one.station
    higher = None if None in (station.elevation_m, elevation_m) else _difference_m(station, elevation_m)
    return StationUsed(
        station.code,
        station.name,
        away_m,
        higher,
        one.last_day,
        " ".join(_sentences(one, away_m, higher)),
    )


def newest_day(weather: StationWeather) -> datetime.date | None:
    """Give the newest day of which an anomaly is known, else the newest day measured; None where none is."""
    at = newest_known(weather)
    if at is None:
        measured = np.isfinite(weather.rain_mm) | np.isfinite(weather.temp_max_degc)
        known = np.flatnonzero(measured)
        at = int(known[-1]) if known.size else None
    return None if at is None else weather.local_dates[at].item()


def _difference_m(station: WeatherStation, elevation_m: float | None) -> float:
    return (station.elevation_m or 0.0) - (elevation_m or 0.0)


def _sentences(one: KnownStation, away_m: float | None, higher: float | None) -> Iterable[str]:
    station = one.station
    far = "at a place not noted" if away_m is None else f"{_far(away_m)} away"
    height = _height_words(higher)
    last = one.last_day
    known = f"known to {last.isoformat()}" if last else "no day known"
    yield f"Weather of {station.name} ({station.code}), {far}, {height}; {known}."
    if away_m is not None and away_m > DOUBTFUL_M.value:
        yield "It lies so far off that its showers may not be those of the site."
    if higher is not None and abs(higher) > DOUBTFUL_HEIGHT_M.value:
        yield "Its height differs so much that its temperatures may not be those of the site."
    if not one.has_climate:
        yield "Fewer than three years of its days are known, so nothing is said of what is usual."


def _far(away_m: float) -> str:
    return metres_words(away_m) if away_m < 1000.0 else f"{away_m / 1000.0:.1f} km"


def _height_words(higher: float | None) -> str:
    if higher is None:
        return "difference in height not known"
    if abs(higher) < 0.5:
        return "at the same height"
    return f"{abs(higher):.0f} m {'higher' if higher > 0.0 else 'lower'}"


def _placeless(one: KnownStation) -> bool:
    return one.station.geom is None


def distance_m(frame: LocalMetres, station: WeatherStation) -> float:
    """Give how far a station is from the middle of a frame [m]; infinite where it says not where it is."""
    if station.geom is None:
        return math.inf
    return float(np.hypot(*frame.to_metres(shapely.get_coordinates(station.geom))[0]))


def _laid_out(station: WeatherStation, days: Sequence[WeatherDay]) -> StationWeather:
    """Lay out a station's days; a rain gathered over several days is of no one day."""
    latitude_deg = UNKNOWN_LATITUDE_DEG.value if station.geom is None else station.geom.centroid.y
    return station_weather(
        [day.local_date for day in days],
        [math.nan if day.rain_mm is None or day.covers_days > 1 else day.rain_mm for day in days],
        [math.nan if day.temp_min_degc is None else day.temp_min_degc for day in days],
        [math.nan if day.temp_max_degc is None else day.temp_max_degc for day in days],
        latitude_deg,
    )
