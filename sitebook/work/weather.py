"""Counts the days of a weather station, and tells which are missing."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from sitebook.records.import_batch import ImportBatch, RefusedLine
from sitebook.records.results.weather import Gap, StationDays
from sitebook.records.weather import WeatherDay, WeatherStation
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.naming import pick

PARTS_OF_DAY = frozenset({"PRCP A", "PRCP B", "PRCP C", "PRCP E"})
"""Flags of a rain that was reported for 6, 12 or 18 hours of its day."""

ONE_DAY = datetime.timedelta(days=1)


def station_days(book: Book, code: str) -> StationDays:
    """Count the days of a station.

    Raises
    ------
    RecordMissing
        When no station has the code.
    """
    key = pick(book, "weather_station", code)
    (station,) = rows.records(book, WeatherStation, rows.table_for(WeatherStation).c.id == key)
    return days_of(book, station)


def days_of(book: Book, station: WeatherStation) -> StationDays:
    """Count the days of a station, a withdrawn one too."""
    days = rows.records(book, WeatherDay, rows.table_for(WeatherDay).c.station_id == station.id)
    own, in_totals = _rain_dates(days)
    both = {d.local_date for d in days if d.temp_min_degc is not None and d.temp_max_degc is not None}
    known = {d.local_date for d in days} | in_totals
    first, last = min(known, default=None), max(known, default=None)
    return StationDays(
        code=station.code,
        rain_day_offset_d=station.rain_day_offset_d,
        first=first,
        last=last,
        rain_days=len(own),
        rain_days_in_part=sum(bool(PARTS_OF_DAY & set((d.flags or "").split("; "))) for d in days),
        days_in_totals=len(in_totals),
        temperature_days=len(both),
        rain_gaps=gaps(own | in_totals, first, last),
        temperature_gaps=gaps(both, first, last),
        left_out=_left_out(book, station.code),
    )


def _rain_dates(days: Iterable[WeatherDay]) -> tuple[set[datetime.date], set[datetime.date]]:
    """Give the dates with a rain of their own, and the others that lie inside a total."""
    measured = [day for day in days if day.rain_mm is not None]
    own = {day.local_date for day in measured if day.covers_days == 1}
    inside = {
        day.local_date - ONE_DAY * back
        for day in measured
        if day.covers_days > 1
        for back in range(day.covers_days)
    }
    return own, inside - own


def gaps(
    known: set[datetime.date], first: datetime.date | None, last: datetime.date | None
) -> tuple[Gap, ...]:
    """Give the days from first to last that are not known, those that follow each other as one."""
    found: list[Gap] = []
    day = first
    while day is not None and last is not None and day <= last:
        if day not in known:
            begun = found.pop() if found and found[-1].last == day - ONE_DAY else Gap(day, day)
            found.append(Gap(begun.first, day))
        day += ONE_DAY
    return tuple(found)


def _left_out(book: Book, code: str) -> tuple[str, ...]:
    """Give the lines about a station that became no value; readers begin them with its code and a date."""
    standing = {batch.id for batch in rows.records(book, ImportBatch) if batch.undone_at is None}
    reason = rows.table_for(RefusedLine).c.reason
    lines = rows.records(book, RefusedLine, reason.startswith(f"{code} ", autoescape=True))
    return tuple(line.reason for line in lines if line.batch_id in standing)
