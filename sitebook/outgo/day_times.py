"""Tells the minutes of a planned day as instants."""

from __future__ import annotations

import datetime
import zoneinfo

from sitebook.quantities import MINUTES_A_DAY, whole_minute


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
    days, rest = divmod(whole_minute(minute), MINUTES_A_DAY)
    local = datetime.datetime.combine(
        on + datetime.timedelta(days=days), datetime.time(rest // 60, rest % 60), zone
    )
    return local.astimezone(datetime.UTC)
