"""Says in words what a row of a calendar shows."""

from __future__ import annotations

import datetime
import math

from sitebook.analysis.season.baseline import middle_day
from sitebook.records.results.season import CalendarRow, WeekChance

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
NOT_ENOUGH = "not enough known"


def around(iso_week: int) -> str:
    """Give the usual middle of an ISO week as a day and a month."""
    middle = datetime.date(2023, 1, 1) + datetime.timedelta(days=middle_day(iso_week) - 1)
    return f"{middle.day} {MONTHS[middle.month - 1]}"


def of_ten(chance: float) -> str:
    """Give a chance as how many of ten looks; never none and never all, which no chance can promise."""
    tenths = math.floor(10.0 * chance + 0.5)
    if tenths <= 0:
        return "under 1"
    return "over 9" if tenths >= 10 else str(tenths)


def counts_in_words(row: CalendarRow) -> str:
    """Give the numbers of looks and finds a row rests on."""
    found = f"{row.looks_with_find} found it" if row.looks else "none to count by"
    return f"{_many(row.looks, 'look')}, {found}; {_many(row.finds, 'find')} in all"


def notes(row: CalendarRow) -> list[str]:
    """Give what a reader must know of the looks of a row, a sentence each."""
    said = []
    if row.looks_minutes_assumed:
        said.append(f"{_many(row.looks_minutes_assumed, 'look')} without noted minutes, taken as 30.")
    if row.looks_left_out:
        said.append(f"{_many(row.looks_left_out, 'look')} left out: only remains, or a doubtful name.")
    if row.looks_undated:
        said.append(f"{_many(row.looks_undated, 'look')} left out: date not known to the week.")
    return said


def week_in_words(week: WeekChance) -> str:
    """Give the chance of one week with its bar."""
    if week.chance is None or week.low is None or week.high is None:
        return NOT_ENOUGH
    low, high = of_ten(week.low), of_ten(week.high)
    span = f"bar {low}" if low == high else f"bar {low} to {high}"
    return f"{of_ten(week.chance)} of 10 looks ({span})"


def highest(row: CalendarRow) -> WeekChance | None:
    """Give the first of the weeks with the highest chance; None when none is known."""
    known = [week for week in row.weeks if week.chance is not None]
    return max(known, key=lambda week: week.chance or 0.0, default=None)


def row_in_words(row: CalendarRow, today: datetime.date) -> list[str]:
    """Give this week and the highest week of a row, a sentence each."""
    now = row.weeks[today.isocalendar().week - 1]
    said = [f"This week ({now.iso_week}): {week_in_words(now)}."]
    top = highest(row)
    if top is None:
        return [*said, "No week of the year has enough looks."]
    if row.looks_with_find == 0:
        return [*said, "Not found yet in any look that counts."]
    return [*said, f"Highest: week {top.iso_week} (about {around(top.iso_week)}), {week_in_words(top)}."]


def _many(how_many: int, thing: str) -> str:
    """Give a number and its thing, in the plural where there is not one."""
    return f"{how_many} {thing}" if how_many == 1 else f"{how_many} {thing}s"
