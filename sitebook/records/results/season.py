"""What a fruiting calendar answers."""

from __future__ import annotations

from dataclasses import dataclass

from sitebook.citations import Cited


@dataclass(frozen=True)
class WeekChance:
    """The chance in one ISO week of finding at least one in a 30-minute look.

    Parameters
    ----------
    iso_week
        1 to 53.
    chance
        Central value [1]; None where not enough is known.
    low, high
        Ends of the 80 % Jeffreys interval [1]; None where not enough is known.
    weight
        Looks that speak for this week, each weighted by its nearness in the year.
    """

    iso_week: int
    chance: float | None
    low: float | None
    high: float | None
    weight: float


@dataclass(frozen=True)
class Choice:
    """One number the calendar rests on, and what it is for.

    Parameters
    ----------
    words
        What it does, as the page says it.
    value
        The number with its source.
    """

    words: str
    value: Cited


@dataclass(frozen=True)
class CalendarRow:
    """One taxon at one site through the year.

    Parameters
    ----------
    site_id, site_name
        The place.
    taxon_id, taxon_name
        The taxon.
    weeks
        53 weeks in order.
    looks
        Looks that count (reason planned or passing).
    looks_with_find
        How many of them found the taxon.
    finds
        Finds of the taxon here on any visit, whatever its reason.
    looks_minutes_assumed
        How many looks had no minutes noted and count as 30.
    looks_left_out
        Looks that decide nothing: only remains, or a name with cf., aff., sp. or a question mark.
    looks_undated
        Looks whose date is known no nearer than a span too wide to count.
    """

    site_id: int
    site_name: str
    taxon_id: int
    taxon_name: str
    weeks: tuple[WeekChance, ...]
    looks: int
    looks_with_find: int
    finds: int
    looks_minutes_assumed: int
    looks_left_out: int
    looks_undated: int = 0


@dataclass(frozen=True)
class Calendar:
    """Calendars of several sites and taxa, with the choices they rest on.

    Parameters
    ----------
    rows
        One a site and taxon, by taxon then site.
    first_year, last_year
        Years the looks that count span; None without such looks.
    choices
        The numbers all rows rest on.
    """

    rows: tuple[CalendarRow, ...]
    first_year: int | None
    last_year: int | None
    choices: tuple[Choice, ...] = ()
