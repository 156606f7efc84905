"""Turns the usual year and the coming days into what the scripts of the map page read."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sitebook.pages.calendar_words import MONTHS
from sitebook.records.results.fruiting import (
    Chance,
    FruitingCalendar,
    FruitingRow,
    LastingRow,
    Spot,
    TaxonSeason,
)
from sitebook.records.results.outlook import DayChance, Outlook, OutlookRow

MOST_ROWS = 3000
"""Rows of taxa at sites and trees that a map holds, about 2 MB; those with the most looks come first."""

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True)
class MapSeasons:
    """The seasons of a map.

    Parameters
    ----------
    names
        Taxa in the order of their numbers in the data.
    taxa
        Chances of each, as plain lists and words.
    ahead
        What all coming days have in common; None where none were computed.
    left_out
        Rows that found no room.
    """

    names: list[str]
    taxa: list[dict[str, object]]
    ahead: dict[str, object] | None
    left_out: int


def map_seasons(
    fruiting: FruitingCalendar | None, outlook: Outlook | None, today: datetime.date
) -> MapSeasons:
    """Give the chances of each taxon by site and tree, through a usual year and on the coming days.

    Parameters
    ----------
    fruiting, outlook
        What was computed; None where it was not.
    today
        Day whose week "this week" is.
    """
    seasons = fruiting.taxa if fruiting else ()
    kept, left_out = _kept(seasons)
    coming = outlook.rows if outlook else ()
    names = {one.taxon_id: one.taxon_name for one in seasons}
    names |= {row.taxon_id: row.taxon_name for row in coming}
    order = sorted(names, key=lambda key: (names[key].casefold(), key))
    taxa = [
        {
            "name": names[key],
            **_usual(_rows_of(seasons, key), kept),
            "ahead": {span: _best(coming, key, days) for span, days in _spans(outlook, today).items()},
        }
        for key in order
    ]
    return MapSeasons([names[key] for key in order], taxa, _common(outlook, today), left_out)


def _kept(seasons: Iterable[TaxonSeason]) -> tuple[set[int], int]:
    """Choose the rows with the most looks, sites before trees; count those left out."""
    rows = [row for one in seasons for row in _rows(one)]
    ranked = sorted(rows, key=lambda row: (-row.looks, row.spot.tree_id is not None))
    return {id(row) for row in ranked[:MOST_ROWS]}, max(0, len(rows) - MOST_ROWS)


def _rows(one: TaxonSeason) -> list[FruitingRow | LastingRow]:
    return [*one.sites, *one.trees, *one.lasting]


def _rows_of(seasons: Iterable[TaxonSeason], taxon_id: int) -> list[FruitingRow | LastingRow]:
    return [row for one in seasons if one.taxon_id == taxon_id for row in _rows(one)]


def _usual(rows: Iterable[FruitingRow | LastingRow], kept: set[int]) -> dict[str, object]:
    """Give the usual year of one taxon by site and by tree."""
    found: dict[str, dict[str, object]] = {"sites": {}, "trees": {}}
    for row in rows:
        place = _place(row.spot)
        if place is not None and id(row) in kept:
            found[place[0]][place[1]] = _lasting(row) if isinstance(row, LastingRow) else _year(row)
    return dict(found)


def _place(spot: Spot) -> tuple[str, str] | None:
    if spot.tree_id is not None:
        return "trees", str(spot.tree_id)
    return None if spot.site_id is None else ("sites", str(spot.site_id))


def _year(row: FruitingRow) -> dict[str, object]:
    weeks = [_per_cent(week.chance) for week in row.weeks]
    return {"looks": row.looks, "found": row.looks_with_find, "at": row.at, "weeks": weeks}


def _lasting(row: LastingRow) -> dict[str, object]:
    return {"looks": row.looks, "found": row.looks_seen, "at": "", "weeks": [_per_cent(row.chance)]}


def _per_cent(chance: Chance) -> list[int]:
    """Give chance, low and high end in whole per cent, 1 to 99, and a 1 where it is mostly from books."""
    shares = (chance.chance, chance.low, chance.high)
    numbers = [min(99, max(1, round(100 * share))) for share in shares]
    return [*numbers, 1] if chance.mostly_from_books else numbers


def _spans(outlook: Outlook | None, today: datetime.date) -> dict[str, list[datetime.date]]:
    """Give the days of this week and of all the coming days."""
    if outlook is None:
        return {}
    count = (outlook.last - outlook.first).days + 1
    days = [outlook.first + datetime.timedelta(days=at) for at in range(count)]
    this_week = [day for day in days if day.isocalendar()[:2] == today.isocalendar()[:2]]
    return {**({"week": this_week} if this_week else {}), "all": days}


def _best(
    rows: Iterable[OutlookRow], taxon_id: int, days: Sequence[datetime.date]
) -> dict[str, dict[str, object]]:
    """Give the best day of one taxon at each tree, and at each site the best of its trees and its rest."""
    found: dict[str, dict[str, object]] = {"sites": {}, "trees": {}}
    best_of: dict[int, float] = {}
    for row in rows:
        if row.taxon_id != taxon_id:
            continue
        among = [day for day in row.open_days if day.on in days]
        if not among:
            continue
        best = max(among, key=lambda day: day.chance.chance)
        site_id, tree_id = row.spot.site_id, row.spot.tree_id
        if tree_id is not None:
            found["trees"][str(tree_id)] = _day(row, best, "")
        if site_id is not None and best.chance.chance > best_of.get(site_id, -1.0):
            best_of[site_id] = best.chance.chance
            found["sites"][str(site_id)] = _day(row, best, row.spot.tag)
    return found


def _day(row: OutlookRow, best: DayChance, tag: str) -> dict[str, object]:
    """Give the best day of a row, with the tree that speaks for a site."""
    return {
        "looks": row.looks,
        "found": row.looks_with_find,
        "at": tag,
        "chance": _per_cent(best.chance),
        "on": day_words(best.on),
        "weather": _weather(best),
    }


def _weather(day: DayChance) -> str:
    """Say what is known of the weather that a chance rests on."""
    if day.weather_ahead_d is None:
        return "weather not known"
    if day.weather_ahead_d <= 0:
        return "weather known"
    newest = day.on - datetime.timedelta(days=day.weather_ahead_d)
    return f"weather known to {newest.day} {MONTHS[newest.month - 1]} {newest.year}"


def _common(outlook: Outlook | None, today: datetime.date) -> dict[str, object] | None:
    """Give the spans, the stations and the places that are not proposed."""
    if outlook is None:
        return None
    spans = _spans(outlook, today)
    return {
        "spans": {name: _span_words(name, days) for name, days in spans.items()},
        "stations": {str(key): used.said for key, used in outlook.stations.items()},
        "closed": {name: _closed(outlook, days) for name, days in spans.items()},
    }


def _closed(outlook: Outlook, days: Sequence[datetime.date]) -> dict[str, dict[str, str]]:
    """Give the reason at each place that is closed, resting or felled on all of some days."""
    reasons = [(one.spot, one.reason) for one in outlook.not_proposed]
    for row in outlook.rows:
        why = [day.closed for day in row.days if day.on in days]
        if why and all(why):
            reasons.append((row.spot, why[0]))
    closed: dict[str, dict[str, str]] = {"sites": {}, "trees": {}}
    for spot, reason in reasons:
        place = _place(spot)
        if place is not None:
            closed[place[0]][place[1]] = reason
    return closed


def _span_words(name: str, days: Sequence[datetime.date]) -> list[str]:
    """Name a span of days, and say which days it holds."""
    first, last = day_words(days[0]), day_words(days[-1])
    whole = "Next ten days" if len(days) == 10 else f"Next {len(days)} days" if len(days) > 1 else "Next day"
    return ["This week" if name == "week" else whole, first if first == last else f"{first} to {last}"]


def day_words(day: datetime.date) -> str:
    """Give a day as "Thu 1 Oct", in English whatever the machine speaks."""
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
