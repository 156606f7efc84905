"""Tells the minutes of a planned day as clock times and as instants."""

from __future__ import annotations

import datetime
import math
import zoneinfo

MINUTES_A_DAY = 24 * 60


def clock(minute: float) -> str:
    """Write a minute of the day as HH:MM, a part of a minute rounded up; one past midnight is said so."""
    whole = _whole(minute)
    after = " the next day" if whole >= MINUTES_A_DAY else ""
    return f"{whole // 60 % 24:02d}:{whole % 60:02d}{after}"


def instant(on: datetime.date, minute: float, zone: zoneinfo.ZoneInfo) -> datetime.datetime:
    """Give the instant at which clocks of a zone show a minute of a day, UTC.

    Where clocks are set that day, what they show counts; an hour they show twice is its first time.

    Parameters
    ----------
    on
        Local date.
    minute
        Minute of the day, rounded up to a whole one; it may lie past midnight.
    zone
        Zone of the clocks.
    """
    days, rest = divmod(_whole(minute), MINUTES_A_DAY)
    local = datetime.datetime.combine(
        on + datetime.timedelta(days=days), datetime.time(rest // 60, rest % 60), zone
    )
    return local.astimezone(datetime.UTC)


def _whole(minute: float) -> int:
    return math.ceil(minute - 1e-6)
