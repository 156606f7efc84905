"""What the season model answers of a taxon: its chances through a usual year, and the ends of its season."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from sitebook.records.results.season import Choice

SEASON_MODEL = "season model"
"""Name of the way that is used unless a simpler one told held-out years better."""


@dataclass(frozen=True)
class Spot:
    """A site, or one tree of it, that a chance is given for.

    Parameters
    ----------
    site_id
        The site; None for a tree that stands in none of her sites.
    tree_id
        The tree; None for the site, whatever grows there.
    site_name
        Name of the site; "" where there is none.
    tag
        Tag of the tree; "" for the site.
    host_id, host_name
        Kind of the tree, as a taxon; None and "" where not named, and for the site.
    irrigated
        Whether the ground is watered; None: not known.
    gone
        For a tree that stands no more, what is noted of that; "" for all others.
    """

    site_id: int | None
    tree_id: int | None
    site_name: str
    tag: str = ""
    host_id: int | None = None
    host_name: str = ""
    irrigated: bool | None = None
    gone: str = ""

    @property
    def name(self) -> str:
        """What she calls it: the tag of the tree, else the name of the site."""
        return self.tag or self.site_name

    @property
    def where(self) -> str:
        """The tree with its site, or one of them alone."""
        return ", ".join(part for part in (self.tag, self.site_name) if part) or "in none of your sites"


@dataclass(frozen=True)
class Chance:
    """The chance of at least one find in a look of 30 minutes.

    Parameters
    ----------
    chance
        Middle [1].
    low, high
        Ends of its 80 % interval [1].
    mostly_from_books
        Whether looks say so little that it rests mostly on what books say.
    """

    chance: float
    low: float
    high: float
    mostly_from_books: bool


@dataclass(frozen=True)
class FruitingWeek:
    """One ISO week at one spot.

    Parameters
    ----------
    iso_week
        1 to 53.
    chance
        Chance of a usual year's look in this week, its weather not known.
    looks, looks_with_find
        Looks made here for the taxon in this week of any year, and how many of them found it.
    """

    iso_week: int
    chance: Chance
    looks: int
    looks_with_find: int


@dataclass(frozen=True)
class FruitingRow:
    """One taxon at one spot through the year.

    Parameters
    ----------
    spot
        Where.
    weeks
        53 weeks in order.
    looks, looks_with_find
        Looks that count, and how many of them found it.
    last_look, last_find
        Day of the newest look, and of the newest that found it; None where there is none.
    at
        For a site: tag of its likeliest tree, where the chance is that of a look there; "" for a chance of
        the site itself, and for a tree.
    """

    spot: Spot
    weeks: tuple[FruitingWeek, ...]
    looks: int
    looks_with_find: int
    last_look: datetime.date | None
    last_find: datetime.date | None
    at: str = ""


@dataclass(frozen=True)
class DayOfYear:
    """An estimated day of the season, counted round the year.

    Parameters
    ----------
    day, low, high
        Day of the year, 1 on 1 January, and the ends of its 80 % interval; the interval runs from low
        forward to high, over the turn of the year where high is the smaller.
    basis
        "dated finds" for an end beyond the finds seen, "season model" for one read off the curve.
    """

    day: float
    low: float
    high: float
    basis: str


@dataclass(frozen=True)
class SeasonSpan:
    """One season of a taxon; a taxon may have two in a year.

    Parameters
    ----------
    onset
        Day before which 5 % of the season's finds are to be expected, or its estimated first day.
    peak
        Day of the highest chance.
    end
        Day after which 5 % of the season's finds are to be expected, or its estimated last day.
    finds
        Dated finds that fell into it.
    """

    onset: DayOfYear
    peak: DayOfYear
    end: DayOfYear
    finds: int


@dataclass(frozen=True)
class LastingRow:
    """A fruit body that stands for years, at one spot: seen or not, without a season.

    Parameters
    ----------
    spot
        Where.
    looks, looks_seen
        Looks that count, and how many of them saw it.
    first_seen, last_seen, last_look
        First and newest day it was seen, and the newest look; None where there is none.
    chance
        Chance that the next look sees it.
    """

    spot: Spot
    looks: int
    looks_seen: int
    first_seen: datetime.date | None
    last_seen: datetime.date | None
    last_look: datetime.date | None
    chance: Chance


@dataclass(frozen=True)
class LooksTold:
    """What the answer about a taxon rests on, counted.

    Parameters
    ----------
    looks, looks_with_find
        Looks that count, and how many of them found it.
    finds
        Finds of the taxon with a certain name, whatever the reason of their visit.
    minutes_assumed
        Looks without minutes, which count as 30.
    effort_assumed
        Looks made of presence-only records and of her outings as their background.
    weather_known
        Looks on days whose weather is known.
    left_out
        Looks that decide nothing: only remains, or a doubtful name.
    undated
        Looks whose date covers too many days to count.
    first_year, last_year
        Years of the looks; None without looks.
    """

    looks: int
    looks_with_find: int
    finds: int
    minutes_assumed: int
    effort_assumed: int
    weather_known: int
    left_out: int
    undated: int
    first_year: int | None
    last_year: int | None


@dataclass(frozen=True)
class TaxonSeason:
    """All that is answered of one taxon.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    southern
        Whether its sites lie south of the equator; a taxon on both sides has two answers.
    books
        In a sentence or two, what its months rest on.
    from_memory
        Whether no source confirms them.
    way, way_said
        How the chances were computed, "season model" or a simpler way, and why that one.
    sites, trees
        Rows by name; empty for a fruit body that stands for years.
    lasting
        Rows of a fruit body that stands for years; empty for all others.
    spans
        Its seasons over all sites together, in order of the year; empty where none stands out.
    told
        What it rests on.
    """

    taxon_id: int
    taxon_name: str
    southern: bool
    books: str
    from_memory: bool
    way: str
    way_said: str
    sites: tuple[FruitingRow, ...]
    trees: tuple[FruitingRow, ...]
    lasting: tuple[LastingRow, ...]
    spans: tuple[SeasonSpan, ...]
    told: LooksTold


@dataclass(frozen=True)
class FruitingCalendar:
    """Calendars of several taxa.

    Parameters
    ----------
    taxa
        By name.
    today
        Day the calendar is drawn for.
    choices
        Numbers all of it rests on.
    held_out_said
        How the chances did in the years held out; "" where none could be.
    poisoning
        Poisoning classes noted for a name, by the name of the taxon; one without any stands not in it,
        which says nothing.
    """

    taxa: tuple[TaxonSeason, ...]
    today: datetime.date
    choices: tuple[Choice, ...] = ()
    held_out_said: str = ""
    poisoning: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class LookDay:
    """One look as the page of a tree shows it.

    Parameters
    ----------
    on
        Local date.
    outcome
        "found", "not seen", "only remains", or "doubtful" for a name that is not certain.
    minutes
        Time spent [min]; None: not noted.
    """

    on: datetime.date
    outcome: str
    minutes: float | None


@dataclass(frozen=True)
class TreeYear:
    """One taxon at one tree in one season-year.

    Parameters
    ----------
    label
        The year, or "2023/24" for a season that runs over the turn of the year.
    looks
        Looks in order of their date.
    """

    label: str
    looks: tuple[LookDay, ...]


@dataclass(frozen=True)
class TreeTaxon:
    """One taxon at one tree, year by year.

    Parameters
    ----------
    taxon_id, taxon_name
        The taxon.
    row
        Its usual year there.
    years
        Newest first.
    books, from_memory, way, way_said, told
        What the answer about the taxon rests on, as in `TaxonSeason`.
    """

    taxon_id: int
    taxon_name: str
    row: FruitingRow
    years: tuple[TreeYear, ...]
    books: str
    from_memory: bool
    way: str
    way_said: str
    told: LooksTold


@dataclass(frozen=True)
class TreePage:
    """One tree through the years.

    Parameters
    ----------
    spot
        The tree.
    note
        Her note, its state, and its girth where measured; "" where nothing is noted.
    taxa
        One a taxon found or looked for there.
    lasting
        Fruit bodies there that stand for years, with the name of their taxon.
    today
        Day the page is drawn for.
    held_out_said
        How the chances did in the years held out; "" where none could be.
    poisoning
        Poisoning classes noted for a name, by the name of the taxon.
    """

    spot: Spot
    note: str
    taxa: tuple[TreeTaxon, ...]
    lasting: tuple[tuple[str, LastingRow], ...]
    today: datetime.date
    held_out_said: str = ""
    poisoning: Mapping[str, str] = field(default_factory=dict)
