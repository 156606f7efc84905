"""Draws the page of the coming days."""

from __future__ import annotations

import datetime
from itertools import groupby

from sitebook.citations import Cited
from sitebook.pages import frame
from sitebook.pages.calendar_words import MONTHS
from sitebook.pages.own_parts import rendered, text_of
from sitebook.pages.poison_words import with_class
from sitebook.pages.revisit import capital
from sitebook.pages.station_words import weather_lines
from sitebook.records.results.outlook import DayChance, Outlook, OutlookRow

WEEK = 7
MOST_OF_A_SITE = 4
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
ALL_FALLEN = Cited(40.0, "d", "ours", "our choice")
"""So many days after it fell no rain counts any more."""
SHADES = (0.5, 0.25, 0.1)
"""Chances from which a day's ground is drawn darker."""


def draw_outlook(outlook: Outlook, *, title: str, poison_centre: str) -> str:
    """Draw the coming days as one self-contained page that works without scripts.

    Parameters
    ----------
    outlook
        Rows, the highest chance first.
    title
        Heading of the page.
    poison_centre
        Telephone of the poison centre; empty where none is set.
    """
    days = outlook.rows[0].days if outlook.rows else ()
    with_trees = {row.spot.site_id for row in outlook.rows if row.spot.tree_id is not None}
    body = rendered(
        "outlook.html.j2",
        span=_span(outlook),
        days=[_head(day.on) for day in days],
        rows=[_row(row, with_trees) for row in outlook.rows],
        by_site=_by_site(outlook),
        first_days=_first_days(outlook),
        not_proposed=[(one.spot.where, one.reason) for one in outlook.not_proposed],
        weather=weather_lines(list(outlook.stations.values())),
        ahead=_ahead_words(outlook),
        held_out=outlook.held_out_said,
        week=WEEK,
    )
    return frame.page(
        title=title,
        body=body,
        style=text_of("outlook.css"),
        subtitle=f"{outlook.first.isoformat()} to {outlook.last.isoformat()}",
        poison_centre=poison_centre,
    )


def _span(outlook: Outlook) -> str:
    days = (outlook.last - outlook.first).days + 1
    return "this day" if days == 1 else f"these {days} days"


def _head(on: datetime.date) -> tuple[str, str]:
    return WEEKDAYS[on.weekday()], f"{on.day} {MONTHS[on.month - 1]}"


def _row(row: OutlookRow, with_trees: set[int | None]) -> dict[str, object]:
    is_rest = row.spot.tree_id is None and row.spot.site_id in with_trees
    best = row.best
    looks = "1 look" if row.looks == 1 else f"{row.looks:,} looks"
    counts = f"{looks} here so far, {row.looks_with_find} found it" if row.looks else "no look here yet"
    return {
        "where": row.spot.where + (", rest of the site" if is_rest else ""),
        "taxon": row.taxon_name,
        "poisoning": capital(row.poisoning),
        "counts": f"{counts}; picked {row.picked_on}, taken off" if row.picked_on else counts,
        "weather": row.weather_said,
        "books": best.chance.mostly_from_books,
        "days": [_day(day) for day in row.days],
        "closed": sorted({day.closed for day in row.days if day.closed}),
        "best": _best_words(row),
    }


def _best_words(row: OutlookRow) -> str:
    """Say on which day the chance is highest, and how high, in looks of a hundred; or that all are alike."""
    best = row.best.chance
    said = f"{_of_hundred(best.chance)} of 100 looks ({_of_hundred(best.low)} to {_of_hundred(best.high)})"
    if row.is_much_the_same:
        return f"Much the same on all {'open days' if row.closed_days else 'days'}: {said}."
    weekday, date = _head(row.best.on)
    return f"Highest {weekday} {date}: {said}."


def _of_hundred(chance: float) -> str:
    """Write a chance in looks of a hundred; never none and never all, which no chance can promise."""
    hundredths = round(100.0 * chance)
    return "under 1" if hundredths <= 0 else str(min(hundredths, 99))


def _day(day: DayChance) -> dict[str, str]:
    chance = day.chance
    shade = sum(chance.chance >= level for level in SHADES)
    weekday, date = _head(day.on)
    return {
        "shade": str(shade),
        "number": _of_hundred(chance.chance),
        "low": _of_hundred(chance.low),
        "high": _of_hundred(chance.high),
        "top": f"{100 * (1 - chance.high):.0f}",
        "height": f"{max(100 * (chance.high - chance.low), 2):.0f}",
        "said": f"{weekday} {date}",
        "closed": day.closed,
    }


def _by_site(outlook: Outlook) -> list[tuple[str, str]]:
    """Give for each site what is likeliest there in the first week, best first."""
    there = [row for row in outlook.rows if any(not day.closed for day in row.days[:WEEK])]
    ordered = sorted(there, key=lambda row: row.spot.site_name)
    best: list[tuple[float, str, str]] = []
    for site, rows in groupby(ordered, key=lambda row: row.spot.site_name):
        top: dict[str, OutlookRow] = {}
        for row in sorted(rows, key=lambda row: -_first_week(row)):
            top.setdefault(row.taxon_name, row)
        words = "; ".join(_in_short(row) for row in list(top.values())[:MOST_OF_A_SITE])
        best.append((_first_week(next(iter(top.values()))), site or "in none of your sites", words))
    return [(site, words) for _, site, words in sorted(best, reverse=True)]


def _in_short(row: OutlookRow) -> str:
    at = f" at {row.spot.tag}" if row.spot.tag else ""
    return f"{with_class(row.taxon_name, row.poisoning)} {_of_hundred(_first_week(row))} of 100{at}"


def _first_days(outlook: Outlook) -> str:
    days = min((outlook.last - outlook.first).days + 1, WEEK)
    return "This day" if days == 1 else "These days" if days < WEEK else "The first seven days"


def _first_week(row: OutlookRow) -> float:
    return max((day.chance.chance for day in row.days[:WEEK] if not day.closed), default=0.0)


def _ahead_words(outlook: Outlook) -> str:
    """Say how much of the weather that counts is still to come on the last day."""
    ahead = [row.days[-1].weather_ahead_d for row in outlook.rows if row.days[-1].weather_ahead_d is not None]
    if not ahead:
        return "No weather is known. All days here are taken as usual."
    most = max(ahead)
    if most == 0:
        return "The weather of all these days is known."
    newest = outlook.last - datetime.timedelta(days=most)
    if newest < outlook.first:
        of_old = (outlook.first - newest).days > ALL_FALLEN.value
        taken = "All days here are taken as usual" if of_old else "From then on usual weather is taken"
        return f"No weather is known since {newest.isoformat()}. {taken}."
    return f"Weather is known to {newest.isoformat()}; from then on usual weather is taken."
