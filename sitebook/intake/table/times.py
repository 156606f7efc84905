"""Reads an instant, or an hour of a known local day, and turns it into UTC."""

from __future__ import annotations

import datetime
import re

from sitebook.errors import BadArgument
from sitebook.intake.cells import CellError
from sitebook.intake.instants import zone_named
from sitebook.records.years import EARLIEST_YEAR, LATEST_YEAR

HOUR = re.compile(r"([0-9]{1,2})[:.]([0-9]{2})(?:[:.]([0-9]{2})(?:\.[0-9]+)?)?")
STAMP = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}.*")
ALLOWED = "write 14:30, or 2024-10-03T14:30, with Z or an offset such as +02:00 where it is not local time"


def read_zone(name: str) -> str:
    """Give the IANA name of a time zone as it stands in a cell; an unknown one raises CellError."""
    try:
        return zone_named(name.strip()).key
    except BadArgument as reason:
        raise CellError(f"{reason.what}; write an IANA name, as Atlantic/Azores") from reason


def read_hour(text: str) -> datetime.time:
    """Read an hour of the day, as 14:30; anything else raises CellError."""
    parts = HOUR.fullmatch(text.strip())
    try:
        if parts:
            return datetime.time(int(parts[1]), int(parts[2]), int(parts[3] or 0))
    except ValueError as reason:
        raise CellError(f"there is no hour {text.strip()}") from reason
    raise CellError(f"{text.strip()!r} is not a time of day written as 14:30")


def is_stamp(text: str) -> bool:
    """Tell whether a cell holds a date and an hour together."""
    return STAMP.fullmatch(text.strip()) is not None


def read_instant(text: str, day: datetime.date | None, zone: datetime.tzinfo) -> datetime.datetime:
    """Read an instant and give it in UTC.

    An hour that comes twice when the clocks go back is taken as the first of the two.

    Parameters
    ----------
    text
        An hour of the day, or a date and an hour.
    day
        Local date that an hour alone belongs to; None where the row names no single day.
    zone
        Time zone of a text that names none.

    Raises
    ------
    CellError
        When the text is no time, the hour was skipped by the clocks, or an hour has no day.
    """
    bare = text.strip()
    if not is_stamp(bare):
        if not HOUR.fullmatch(bare):
            raise CellError(f"{bare!r} is not a time; {ALLOWED}")
        if day is None:
            raise CellError(f"the hour {bare} needs a single date in its line")
        local = datetime.datetime.combine(day, read_hour(bare))
    else:
        try:
            local = datetime.datetime.fromisoformat(bare.replace(" ", "T", 1))
        except ValueError as reason:
            raise CellError(f"{bare!r} is not a time; {ALLOWED}") from reason
    try:
        instant = local.astimezone(datetime.UTC) if local.tzinfo else _to_utc(local, zone)
    except OverflowError as reason:
        raise CellError(f"{bare!r} lies outside the calendar") from reason
    if not EARLIEST_YEAR.value <= instant.year <= LATEST_YEAR.value:
        first, last = EARLIEST_YEAR.value, LATEST_YEAR.value
        raise CellError(f"{bare!r} lies outside the calendar of the book, {first:.0f} to {last:.0f}")
    return instant


def _to_utc(local: datetime.datetime, zone: datetime.tzinfo) -> datetime.datetime:
    instant = local.replace(tzinfo=zone).astimezone(datetime.UTC)
    if instant.astimezone(zone).replace(tzinfo=None) != local:
        raise CellError(f"{local:%H:%M} did not exist on {local:%Y-%m-%d}: the clocks went forward")
    return instant
