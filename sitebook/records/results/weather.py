"""What the days of a weather station answer when they are counted."""

from __future__ import annotations

import datetime
from dataclasses import dataclass


@dataclass(frozen=True)
class Gap:
    """Days that lack something, one after the other; first and last are equal for a single day."""

    first: datetime.date
    last: datetime.date

    @property
    def length_d(self) -> int:
        """How many days it is [d]."""
        return (self.last - self.first).days + 1


@dataclass(frozen=True)
class StationDays:
    """The days of one station, counted.

    Parameters
    ----------
    code
        Code of the station.
    rain_day_offset_d
        Days to add to the date a rain stands under, to have the day it fell on [d].
    first, last
        First and last day with a value, days of a total among them; None where there is no day.
    rain_days
        Days whose own rain is known.
    rain_days_in_part
        Of these, days whose rain was reported for a part of the day only.
    days_in_totals
        Days whose rain is known as a part of a total alone.
    temperature_days
        Days with lowest and highest temperature.
    rain_gaps, temperature_gaps
        Days between first and last without rain, totals counted as known, and without both temperatures.
    left_out
        Values that were left out or refused when files came in, in words.
    """

    code: str
    rain_day_offset_d: int
    first: datetime.date | None
    last: datetime.date | None
    rain_days: int
    rain_days_in_part: int
    days_in_totals: int
    temperature_days: int
    rain_gaps: tuple[Gap, ...]
    temperature_gaps: tuple[Gap, ...]
    left_out: tuple[str, ...]
