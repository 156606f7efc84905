"""Sorts the values of GHCN-Daily by element and flags, whichever of its forms they came in."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import dataclass, field

from sitebook.intake.weather.days import BOUNDS, Days, Spot
from sitebook.records.incoming import Draft, SortedLine

COLUMNS = {"PRCP": "rain_mm", "TMAX": "temp_max_degc", "TMIN": "temp_min_degc"}
"""Element that becomes a column of a weather day."""

TOTAL, TOTAL_DAYS = "MDPR", "DAPR"
"""Rain of several days told on the last of them, and how many days these were."""

READ = frozenset({*COLUMNS, TOTAL, TOTAL_DAYS})
MISSING = -9999
TRACE = "T"
NO_FLAG = ""

QUALITY = {
    "D": "repeats another stretch of the record",
    "G": "stands apart from all other values",
    "I": "contradicts another value of that day",
    "K": "is part of a run of equal values",
    "L": "covers a number of days that cannot be",
    "M": "lies beyond the extremes of its month",
    "N": "is a nought that cannot be",
    "O": "lies too far from what is usual on that date",
    "R": "disagrees with the days beside it",
    "S": "disagrees with the stations round it",
    "T": "jumps from day to day",
    "W": "is too warm for the snow reported",
    "X": "lies outside what is possible",
    "Z": "was marked by hand, through Datzilla",
}
"""What the source's own checks found, by quality flag (GHCN-Daily readme, Menne et al. 2012)."""


@dataclass(frozen=True)
class Value:
    """One value of one element on one day.

    Parameters
    ----------
    spot
        Station, day and line.
    element
        As PRCP.
    amount
        In mm, °C, or days for DAPR.
    measurement_flag, quality_flag
        One letter each; empty where there is none.
    """

    spot: Spot
    element: str
    amount: float
    measurement_flag: str = NO_FLAG
    quality_flag: str = NO_FLAG

    @property
    def said(self) -> str:
        """The value in words."""
        unit = {"PRCP": "mm", TOTAL: "mm", "TMAX": "°C", "TMIN": "°C", TOTAL_DAYS: "days"}[self.element]
        return f"{self.element} {self.amount:g} {unit}"


@dataclass
class Elements:
    """All values of a file, on their way into days.

    Parameters
    ----------
    days
        The days so far.
    totals
        Rain of several days, and how many days, by station and last day.
    not_read
        How many values of each element that is not read, and how many of them with a quality flag.
    """

    days: Days = field(default_factory=Days)
    totals: dict[tuple[str, datetime.date], dict[str, Value]] = field(default_factory=dict)
    not_read: Counter[str] = field(default_factory=Counter)
    not_read_flagged: int = 0

    def pass_over(self, element: str, quality_flag: str) -> None:
        """Count a value of an element that is not read."""
        self.not_read[element] += 1
        self.not_read_flagged += quality_flag != NO_FLAG

    def take(self, value: Value) -> None:
        """Put a value into its day, or sort it out."""
        if value.quality_flag:
            why = QUALITY.get(value.quality_flag, "a flag that is not explained here")
            self.days.leave_out(value.spot, f"{value.said} has the quality flag {value.quality_flag}: {why}")
        elif value.element in {TOTAL, TOTAL_DAYS}:
            self._take_total(value)
        else:
            trace = {"trace": True} if value.measurement_flag == TRACE and value.element == "PRCP" else {}
            kept = self.days.put(
                value.spot, COLUMNS[value.element], value.amount, called=value.element, **trace
            )
            if kept and value.measurement_flag:
                self.days.note(value.spot, f"{value.element} {value.measurement_flag}")

    def _take_total(self, value: Value) -> None:
        total = self.totals.setdefault((value.spot.code, value.spot.on), {})
        if value.element in total:
            self.days.refuse(value.spot, f"{value.element} stands there already")
        else:
            total[value.element] = value

    def drafts(self) -> tuple[Draft, ...]:
        """Give the days of all stations, totals of several days on their last day."""
        for total in self.totals.values():
            self._settle(total)
        self.totals.clear()
        return self.days.drafts()

    def _settle(self, total: dict[str, Value]) -> None:
        rain, over = total.get(TOTAL), total.get(TOTAL_DAYS)
        if rain is None or over is None:
            told = rain or over
            if told is not None:
                lacks = "over how many days is not told" if rain else "the rain of these days is not told"
                self.days.leave_out(told.spot, f"{told.said}: {lacks}")
            return
        lowest, highest = BOUNDS["covers_days"]
        if not lowest.value <= over.amount <= highest.value or over.amount != round(over.amount):
            self.days.refuse(over.spot, f"{over.said} cannot be a number of days")
        elif "rain_mm" in self.days.measured.get((rain.spot.code, rain.spot.on), {}):
            self.days.leave_out(rain.spot, f"{rain.said}, a total of several days, beside a rain of that day")
        elif self.days.put(rain.spot, "rain_mm", rain.amount, called=TOTAL, covers_days=round(over.amount)):
            self.days.note(rain.spot, TOTAL)

    @property
    def sorted_lines(self) -> tuple[SortedLine, ...]:
        """Values left out or refused, then the elements that are not read."""
        if not self.not_read:
            return tuple(self.days.sorted_lines)
        flagged = f", {self.not_read_flagged} of them with a quality flag" if self.not_read_flagged else ""
        reason = f"values of elements that are not read ({', '.join(sorted(self.not_read))}){flagged}"
        others = SortedLine("left out", reason[:1000], how_many=self.not_read.total())
        return (*self.days.sorted_lines, others)
