"""Answers what the weather of the last days was against what its station is used to, and what that means."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sitebook import errors
from sitebook.analysis.season.effect_words import effect_words
from sitebook.analysis.season.weather_effect import effect_told
from sitebook.analysis.weather.anomalies import Climate, normal
from sitebook.analysis.weather.station_weather import StationWeather, weather_on
from sitebook.citations import Cited
from sitebook.pages.station_words import station_words
from sitebook.pages.weather import draw_weather
from sitebook.records.results.weather_view import WeatherDaySeen, WeatherEffect, WeatherSum, WeatherView
from sitebook.records.weather import WeatherDay
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.opening import book_row
from sitebook.work.seasons import Seasons, seasons_of
from sitebook.work.settings import settings_of
from sitebook.work.stations import KnownStation, stations_of, used_of

Floats = NDArray[np.float64]

MOST_DAYS = Cited(400.0, "d", "ours", "our choice")
"""Most days a page shows."""
SPANS = (10, 30)
"""Days that sums are given over, beside all days shown."""
MOST_AHEAD = Cited(10.0, "d", "ours", "our choice")
"""Where no weather is known of so many days before the last, nothing is said of what it means."""
ONE_DAY = datetime.timedelta(days=1)


def weather(
    book: Book,
    *,
    on: datetime.date,
    days: int = 60,
    station: str | None = None,
    seasons: Seasons | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Answer[WeatherView]:
    """Answer the last days of a station to a day, the one most sites use where none is named.

    Raises
    ------
    BadArgument
        When there are too few or too many days.
    RecordMissing
        When no station with days bears the code.
    NothingToShow
        When no station has a day of weather.
    """
    if not 1 <= days <= MOST_DAYS.value:
        raise errors.BadArgument(
            f"{days} days of weather cannot be shown", remedy=f"Ask for 1 to {MOST_DAYS.value:.0f} days."
        )
    known = stations_of(book, to=on)
    if not known:
        later = f" of {on.isoformat()} or before" if stations_of(book) else " yet"
        raise errors.NothingToShow(
            f"the book holds no day of weather{later}",
            where=str(book.path),
            remedy="Bring daily weather in with `sitebook import`.",
        )
    fitted = seasons or seasons_of(book, day=on, now=now, progress=progress)
    chosen = _chosen(book, known, fitted, station)
    view = _view(book, fitted, chosen, on, days)
    page = draw_weather(
        view, title=f"Weather: {book_row(book).title}", poison_centre=settings_of(book).poison_centre
    )
    return Answer(view, page)


def weather_in_words(book: Book, seasons: Seasons, on: datetime.date, days: int = 30) -> str:
    """Say in a sentence what the weather of the days to a date was, at the station most sites use."""
    known = stations_of(book, to=on)
    if not known:
        return "The book holds no day of weather."
    chosen = _chosen(book, known, seasons, None)
    dates = [on - ONE_DAY * back for back in range(days - 1, -1, -1)]
    sums = _sums(_days(chosen.weather, dates, frozenset()))
    told = [f"{one.words} {_sum_words(one)}" for one in sums if one.value is not None]
    if not told:
        return f"No weather is known of the {days} days to {on.isoformat()} at {chosen.station.name}."
    return f"At {chosen.station.name}, to {on.isoformat()}: {'; '.join(told)}."


def _sum_words(one: WeatherSum) -> str:
    usual = "" if one.usual is None else f" (usual {one.usual:.0f})"
    return f"{one.value:.0f} {one.unit}{usual}{f', {one.said}' if one.said else ''}"


def _chosen(book: Book, known: Sequence[KnownStation], seasons: Seasons, code: str | None) -> KnownStation:
    """Pick the station asked for, else the one that most sites use."""
    if code is not None:
        found = next((one for one in known if one.station.code == code), None)
        if found is None:
            names = ", ".join(one.station.code for one in known)
            raise errors.RecordMissing(
                f"no station with days of weather is called '{code}'",
                where=str(book.path),
                remedy=f"Those with days are: {names}.",
            )
        return found
    uses = [weather.used.code for weather in seasons.weather.values()]
    return max(known, key=lambda one: (uses.count(one.station.code), one.station.code))


def _view(book: Book, seasons: Seasons, chosen: KnownStation, on: datetime.date, days: int) -> WeatherView:
    using = {key: w.used for key, w in seasons.weather.items() if w.used.code == chosen.station.code}
    distances = [used.distance_m for used in using.values() if used.distance_m is not None]
    heights = [site.elevation_m for key, site in seasons.sites.items() if key in using]
    noted = [height for height in heights if height is not None]
    middle_m = float(np.median(distances)) if distances else None
    used = used_of(chosen, middle_m, float(np.median(noted)) if noted else None)
    if using:
        names = [seasons.sites[key].name for key in using]
        used = replace(used, said=station_words(list(using.values()), names))
    dates = [on - ONE_DAY * back for back in range(days - 1, -1, -1)]
    seen = _days(chosen.weather, dates, _traces(book, chosen))
    return WeatherView(
        used,
        tuple(sorted((seasons.sites[key].name for key in using), key=str.casefold)),
        seen,
        tuple(_sums(seen)),
        tuple(_effects(seasons, chosen.weather, on, dangers_of(book))),
        _climate_words(chosen),
    )


def _traces(book: Book, chosen: KnownStation) -> frozenset[datetime.date]:
    """Give the dates on which rain fell too little to measure."""
    table = rows.table_for(WeatherDay)
    days = rows.records(book, WeatherDay, table.c.station_id == chosen.station.id, table.c.trace)
    return frozenset(day.local_date for day in days)


def _days(
    weather: StationWeather, dates: Sequence[datetime.date], traces: frozenset[datetime.date]
) -> tuple[WeatherDaySeen, ...]:
    wanted = np.array(dates, "datetime64[D]")
    steps = ((wanted - weather.local_dates[0]) / np.timedelta64(1, "D")).astype(np.int64)
    inside = (steps >= 0) & (steps < weather.local_dates.size)
    series = {
        name: np.where(inside, getattr(weather, name)[np.where(inside, steps, 0)], np.nan)
        for name in ("rain_mm", "temp_min_degc", "temp_max_degc", "soil_water", "soil_temperature_degc")
    }
    usual = {
        "rain": _usual(weather.rain_climate, wanted, least=0.0),
        "water": _usual(weather.climates[0], wanted, least=0.0, most=1.0),
        "warmth": _usual(weather.climates[2], wanted),
    }
    return tuple(
        WeatherDaySeen(
            on=date,
            rain_mm=_known(series["rain_mm"][at]),
            temp_min_degc=_known(series["temp_min_degc"][at]),
            temp_max_degc=_known(series["temp_max_degc"][at]),
            trace=date in traces,
            soil_water=_known(series["soil_water"][at]),
            soil_temperature_degc=_known(series["soil_temperature_degc"][at]),
            usual_rain_mm=_known(usual["rain"][at]),
            usual_soil_water=_known(usual["water"][at]),
            usual_soil_temperature_degc=_known(usual["warmth"][at]),
        )
        for at, date in enumerate(dates)
    )


def _usual(
    climate: Climate | None,
    dates: NDArray[np.datetime64],
    *,
    least: float = -math.inf,
    most: float = math.inf,
) -> Floats:
    if climate is None:
        return np.full(dates.size, np.nan)
    return np.clip(normal(climate, dates), least, most)


def _known(value: float) -> float | None:
    return None if math.isnan(value) else float(value)


def _sums(days: Sequence[WeatherDaySeen]) -> list[WeatherSum]:
    """Give rain over the last days, and water and warmth of the soil on the newest day known."""
    sums = [
        _rain_sum(days[-span:], f"rain of the last {span} days")
        for span in (*SPANS, len(days))
        if span <= len(days)
    ]
    for name, words, unit, times in (
        ("soil_water", "water in the top soil", "% of what it holds", 100.0),
        ("soil_temperature_degc", "temperature of the soil", "°C", 1.0),
    ):
        sums.append(_newest(days, name, words, unit, times))
    return list({one.words: one for one in sums}.values())


def _rain_sum(days: Sequence[WeatherDaySeen], words: str) -> WeatherSum:
    measured = [day.rain_mm for day in days if day.rain_mm is not None]
    usual = [day.usual_rain_mm for day in days if day.usual_rain_mm is not None]
    missing = len(days) - len(measured)
    lacking = "1 day not measured" if missing == 1 else f"{missing} days not measured"
    return WeatherSum(
        words,
        math.fsum(measured) if measured else None,
        math.fsum(usual) if len(usual) == len(days) else None,
        "mm",
        lacking if missing else "",
    )


def _newest(days: Sequence[WeatherDaySeen], name: str, words: str, unit: str, times: float) -> WeatherSum:
    known = [day for day in days if getattr(day, name) is not None]
    if not known:
        usual = getattr(days[-1], f"usual_{name}")
        usual_now = None if usual is None else times * usual
        return WeatherSum(words, None, usual_now, unit, "not known on any of these days")
    day = known[-1]
    usual = getattr(day, f"usual_{name}")
    said = "" if day is days[-1] else f"on {day.on.isoformat()}, the newest day known"
    return WeatherSum(words, times * getattr(day, name), None if usual is None else times * usual, unit, said)


def _effects(
    seasons: Seasons, weather: StationWeather, on: datetime.date, dangers: Dangers
) -> list[WeatherEffect]:
    seen, ahead_d = weather_on(weather, [on])
    if ahead_d[0] > MOST_AHEAD.value:
        return []
    told: list[WeatherEffect] = []
    for fitted in seasons.fitted:
        found = effect_told(fitted, seen[0], days_ahead=int(ahead_d[0]))
        if found is None or not found.known:
            continue
        looks = int(np.isfinite(fitted.made.at.weather).all(axis=1).sum())
        told.append(
            WeatherEffect(
                fitted.taxon_id,
                fitted.taxon_name,
                found.times,
                found.low,
                found.high,
                looks,
                found.mostly_assumed,
                effect_words(found),
                dangers.words(fitted.taxon_id),
            )
        )
    return sorted(told, key=lambda one: (-abs(math.log(one.times)), one.taxon_name))


def _climate_words(chosen: KnownStation) -> str:
    measured = int(np.isfinite(chosen.weather.rain_mm).sum())
    first, last = chosen.weather.local_dates[0].item(), chosen.weather.local_dates[-1].item()
    if not chosen.has_climate:
        return (
            f"{measured:,} days of rain are known. What is usual needs three years of days, some at every "
            "time of the year, so nothing is said of it."
        )
    return (
        f"What is usual rests on {measured:,} days of rain from {first.isoformat()} to {last.isoformat()}: "
        "the station's own, as two waves round the year."
    )
