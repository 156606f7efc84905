"""Says in words what a season is, what it rests on, and what a row of its grid shows."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from sitebook.pages.calendar_words import MONTHS, around, of_ten
from sitebook.records.results.fruiting import (
    SEASON_MODEL,
    Chance,
    DayOfYear,
    FruitingRow,
    FruitingWeek,
    LastingRow,
    LooksTold,
    SeasonSpan,
    TaxonSeason,
    TreeTaxon,
)

LITTLE_KNOWN = "little known yet"
"""Said of a chance that looks made there say too little of: it leans on books and on other places."""
ORDINALS = ("First", "Second", "Third", "Fourth")


def many(how_many: int, thing: str) -> str:
    """Give a number and its thing, in the plural where there is not one."""
    return f"{how_many:,} {thing}" if how_many == 1 else f"{how_many:,} {thing}s"


def chance_words(chance: Chance) -> str:
    """Give a chance as looks of ten, with its interval and whether little is known of it yet."""
    low, high = of_ten(chance.low), of_ten(chance.high)
    span = low if low == high else f"{low} to {high}"
    little = f", {LITTLE_KNOWN}" if chance.mostly_from_books else ""
    return f"{of_ten(chance.chance)} of 10 looks ({span}{little})"


def looks_words(looks: int, looks_with_find: int) -> str:
    """Give how many looks there were and how many found it."""
    return f"{many(looks, 'look')}, {looks_with_find} found it" if looks else "no look yet"


def highest(row: FruitingRow) -> FruitingWeek:
    """Give the first of the weeks with the highest chance."""
    return max(row.weeks, key=lambda week: week.chance.chance)


def row_lines(row: FruitingRow, today: datetime.date) -> tuple[str, ...]:
    """Give what stands beside a row: its looks, this week, its best week, and the tree that speaks for it."""
    now, top = row.weeks[today.isocalendar().week - 1], highest(row)
    lines = [
        *([row.spot.gone.rstrip(".").lower()] if row.spot.gone else []),
        looks_words(row.looks, row.looks_with_find),
        f"this week {_short(now.chance)}",
        f"highest {around(top.iso_week)}: {_short(top.chance)}",
    ]
    return (*lines, f"at its likeliest tree, {row.at}") if row.at else tuple(lines)


def _short(chance: Chance) -> str:
    """Give a chance as looks of ten, with its interval."""
    low, high, said = of_ten(chance.low), of_ten(chance.high), of_ten(chance.chance)
    if low == high == said:
        return f"{said} of 10"
    return f"{said} of 10 (up to {high})" if low == "under 1" else f"{said} of 10 ({low} to {high})"


def day_words(day: DayOfYear) -> str:
    """Give a day of the year with its interval, as "about 5 Oct (that day may lie from 28 Sep to ...)"."""
    return f"about {_day(day.day)} (that day may lie from {_day(day.low)} to {_day(day.high)})"


def _day(day: float) -> str:
    date = datetime.date(2023, 1, 1) + datetime.timedelta(days=(round(day) - 1) % 365)
    return f"{date.day} {MONTHS[date.month - 1]}"


def span_lines(span: SeasonSpan) -> list[tuple[str, str]]:
    """Give begin, likeliest day and end of a season in words, each with the days it may lie between."""
    return [
        ("Begins", f"{day_words(span.onset)}{_basis(span.onset, 'before')}"),
        ("Highest", day_words(span.peak)),
        ("Ends", f"{day_words(span.end)}{_basis(span.end, 'after')}"),
        ("Finds in it", f"{span.finds:,}"),
    ]


def _basis(day: DayOfYear, beyond: str) -> str:
    """Say what an end rests on."""
    if day.basis == SEASON_MODEL:
        return f"; one find in twenty is to be expected {beyond} it"
    return "; estimated from dates of finds, further out than those seen"


def span_titles(season: TaxonSeason) -> list[str]:
    """Name the seasons of a taxon."""
    if len(season.spans) == 1:
        return ["Its season"]
    return [
        f"{ORDINALS[at] if at < len(ORDINALS) else 'A further'} season" for at in range(len(season.spans))
    ]


def rests_on(season: TaxonSeason | TreeTaxon) -> list[tuple[str, str]]:
    """Give what the answer about a taxon rests on: a name and a sentence each."""
    told = season.told
    pairs = [("Books", season.books), ("Looks", _looks_told(told))]
    if told.effort_assumed:
        records = many(told.effort_assumed, "look")
        said = f"{records} made of finds alone and of your outings behind them; nobody noted their effort."
        pairs.append(("Effort assumed", said))
    if isinstance(season, TaxonSeason) and season.lasting:
        return [pair for pair in pairs if pair[1]]
    pairs.append(("Way used", season.way_said or _capital(season.way)))
    return [pair for pair in pairs if pair[1]]


def never_empty(told: LooksTold) -> str:
    """Warn where every look found it, since none that did not was noted; "" where one was, or none counts."""
    if not told.looks or told.looks_with_find < told.looks:
        return ""
    return f"This rests on {many(told.looks, 'look')} that found it and none that did not. Expect much less."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _looks_told(told: LooksTold) -> str:
    """Say how many looks count, of which years, and what is doubtful about some."""
    if not told.looks:
        parts = ["No look counts yet, so all of it comes from books"]
    else:
        years = (
            f"{told.first_year}"
            if told.first_year == told.last_year
            else f"{told.first_year} to {told.last_year}"
        )
        looks = f"{many(told.looks, 'look')} at all sites and trees together"
        dated = many(told.finds, "dated find")
        parts = [f"{looks}, {told.looks_with_find} found it, of {years}; {dated}"]
    for count, words in (
        (told.minutes_assumed, "without minutes, taken as 30"),
        (told.weather_known, "with known weather"),
        (told.left_out, "left out: only remains, or a doubtful name"),
        (told.undated, "left out: date too wide"),
    ):
        if count:
            parts.append(f"{many(count, 'look')} {words}")
    return "; ".join(parts) + "."


def week_cells(week: FruitingWeek) -> tuple[str, str, str, str, str]:
    """Give the table cells of a week: number, about when, of ten looks, between, and looks made."""
    chance = week.chance
    low, high = of_ten(chance.low), of_ten(chance.high)
    little = ", little known" if chance.mostly_from_books and high != "under 1" else ""
    looks = f"{week.looks}, {week.looks_with_find} found" if week.looks else "0"
    span = f"{low if low == high else f'{low} to {high}'}{little}"
    return (str(week.iso_week), around(week.iso_week), of_ten(chance.chance), span, looks)


def lasting_cells(row: LastingRow) -> dict[str, str]:
    """Give the table cells of a fruit body that stands for years."""
    return {
        "Looks": f"{row.looks:,}",
        "Seen": f"{row.looks_seen:,}",
        "First seen": _iso(row.first_seen),
        "Last seen": _iso(row.last_seen),
        "Last look": _iso(row.last_look),
        "The next look": f"{chance_words(row.chance)} would see it",
    }


def lasting_words(taxon_name: str, row: LastingRow) -> str:
    """Say in a sentence how often a fruit body that stands for years was seen."""
    at = f" at {row.spot.tag}" if row.spot.tag else ""
    last = f", last on {row.last_seen.isoformat()}" if row.last_seen else ""
    return f"{taxon_name}{at} stands for years: seen on {row.looks_seen} of {many(row.looks, 'look')}{last}."


def _iso(day: datetime.date | None) -> str:
    return day.isoformat() if day else "never"


def years_of(seasons: Iterable[TaxonSeason]) -> str:
    """Say which years the looks of several taxa span."""
    told = [season.told for season in seasons]
    first = min((one.first_year for one in told if one.first_year is not None), default=None)
    last = max((one.last_year for one in told if one.last_year is not None), default=None)
    if first is None or last is None:
        return "No looks that count yet; what is shown comes from books"
    return f"From looks of {first}" if first == last else f"From looks of {first} to {last}"
