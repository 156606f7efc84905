"""Answers what the coming days may bring at her sites and trees, and when in the year it is likeliest."""

from __future__ import annotations

import datetime
import hashlib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from functools import cache

from sitebook import errors
from sitebook.analysis.season.baseline import ISO_WEEKS
from sitebook.analysis.season.calendar_rows import chance_of, rows_of
from sitebook.analysis.season.revisit_words import weather_words
from sitebook.analysis.season.spots import Fitted, on_days
from sitebook.analysis.season.weather_effect import effect
from sitebook.citations import Cited
from sitebook.outgo.calendar_file import Event, calendar_file
from sitebook.pages.outlook import draw_outlook
from sitebook.records.results.fruiting import FruitingRow, Spot
from sitebook.records.results.outlook import DayChance, Outlook, OutlookRow
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.closures import Closures, closures, not_proposed
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.naming import pick_if_named
from sitebook.work.opening import book_row
from sitebook.work.seasons import Key, Seasons, seasons_of
from sitebook.work.settings import settings_of

MOST_DAYS = Cited(40.0, "d", "ours", "our choice")
"""Days an outlook may reach: by then no rain that has fallen counts any more."""
SHOWN_FROM = Cited(0.02, "1", "ours", "our choice")
"""Rows whose chance reaches this on no day are left away."""
SHOWN = Cited(60.0, "rows", "ours", "our choice")
"""Rows an outlook shows at most."""
WINDOW_SHARE = Cited(0.5, "1", "ours", "our choice")
"""A likely window is the weeks with at least this share of the year's highest chance."""
WINDOW_LEAST = Cited(0.1, "1", "ours", "our choice")
"""And with a chance of at least this."""
A_YEAR = datetime.timedelta(days=366)
NO_WORD = "A chance of at least one find in a look of 30 minutes; no word on whether it may be eaten."
OF_ALL = "Of all taxa in this calendar:"


def outlook(
    book: Book,
    *,
    on: datetime.date,
    days: int = 10,
    taxon: str | None = None,
    site: str | None = None,
    seasons: Seasons | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Answer[Outlook]:
    """Answer the chance on each of the coming days, with the looks, finds and weather known on the first.

    Parameters
    ----------
    book
        The book.
    on
        First day.
    days
        How many days, 1 to 40.
    taxon, site
        Names; None for all.
    seasons
        What was loaded and fitted already; None to do it here.
    now
        Instant noted for fits that are kept, UTC; None to keep none.
    progress
        Hears how far it is.

    Raises
    ------
    BadArgument
        When there are too few or too many days.
    RecordMissing, NameAmbiguous
        When no taxon or site, or several, bear the name.
    NothingToShow
        When no taxon was found or looked for by its name yet.
    """
    if not 1 <= days <= MOST_DAYS.value:
        raise errors.BadArgument(
            f"an outlook of {days} days cannot be given", remedy=f"Ask for 1 to {MOST_DAYS.value:.0f} days."
        )
    only_taxon = pick_if_named(book, "taxon", taxon)
    only_site = pick_if_named(book, "site", site)
    known = seasons or seasons_of(book, taxon_id=only_taxon, day=on, now=now, progress=progress)
    if not any(known.spots_of(one) for one in known.fitted):
        raise errors.NothingToShow(
            "no outlook can be given: no taxon was found at a site or looked for by its name yet",
            where=str(book.path),
            remedy="Bring in visits and finds with `sitebook import`.",
        )
    result = outlook_of(book, known, on=on, days=days, site_id=only_site)
    page = draw_outlook(
        result,
        title=f"The coming days: {book_row(book).title}",
        poison_centre=settings_of(book).poison_centre,
    )
    return Answer(result, page)


def outlook_of(
    book: Book,
    seasons: Seasons,
    *,
    on: datetime.date,
    days: int = 10,
    site_id: int | None = None,
    most: int | None = round(SHOWN.value),
) -> Outlook:
    """Compute the coming days at every spot where a taxon was found or looked for by its name.

    Parameters
    ----------
    book, seasons
        The book, and what was loaded and fitted of it.
    on, days
        First day, and how many.
    site_id
        One site only; None for all.
    most
        Rows kept at most; None for all, those that hardly reach anything too.
    """
    dates = [on + datetime.timedelta(days=ahead) for ahead in range(days)]
    ruled_out = [closures(book, date) for date in dates]
    dangers = dangers_of(book)
    rows: list[OutlookRow] = []
    left: list[Spot] = []
    for fitted in seasons.fitted:
        own = [spot for spot in seasons.spots_of(fitted) if site_id in (None, spot.site_id)]
        left += [spot for spot in own if _shut_throughout(ruled_out, spot)]
        there = [spot for spot in own if not _shut_throughout(ruled_out, spot)]
        rows += _rows(seasons, fitted, there, ruled_out, dangers)
    rows.sort(key=lambda row: (-_best(row), row.taxon_name, row.spot.name.casefold()))
    if most is not None:
        rows = [row for row in rows if _best(row) >= SHOWN_FROM.value][:most]
    used = {key: weather.used for key, weather in seasons.weather.items() if site_id in (None, key)}
    shut = not_proposed(ruled_out[0], left)
    return Outlook(on, dates[-1], tuple(rows), used, shut, seasons.held_out_said)


def _best(row: OutlookRow) -> float:
    return row.best.chance.chance


def _shut_throughout(ruled_out: Sequence[Closures], spot: Spot) -> bool:
    return all(day.reason(spot) for day in ruled_out)


def _rows(
    seasons: Seasons, fitted: Fitted, spots: Sequence[Spot], ruled_out: Sequence[Closures], dangers: Dangers
) -> Iterator[OutlookRow]:
    if not spots:
        return
    dates = [day.on for day in ruled_out]
    chances = on_days(fitted, spots, dates, seasons.weather_of)
    made, with_find = _looks_by_spot(fitted)
    for number, spot in enumerate(spots):
        anomalies, ahead = seasons.weather_of(spot.site_id, dates)
        station = seasons.weather.get(spot.site_id or 0)
        known = station.weather if station else None
        first = effect(fitted.fit, anomalies[0], irrigated=bool(spot.irrigated))
        yield OutlookRow(
            fitted.taxon_id,
            fitted.taxon_name,
            spot,
            tuple(
                DayChance(
                    day.on,
                    chance_of(chances, (number, at)),
                    None if known is None else int(ahead[at]),
                    day.reason(spot),
                )
                for at, day in enumerate(ruled_out)
            ),
            made[spot.site_id, spot.tree_id],
            with_find[spot.site_id, spot.tree_id],
            " ".join(weather_words(first)),
            fitted.way,
            dangers.words(fitted.taxon_id),
        )


def _looks_by_spot(fitted: Fitted) -> tuple[Counter[Key], Counter[Key]]:
    """Count the looks at each spot, and those that found the taxon."""
    own = [look for look in fitted.looks if look.found is not None and not look.effort_assumed]
    made = Counter((look.site_id, look.tree_id) for look in own)
    return made, Counter((look.site_id, look.tree_id) for look in own if look.found)


def likely_windows(
    book: Book,
    *,
    on: datetime.date,
    now: datetime.datetime,
    taxon: str | None = None,
    site: str | None = None,
    progress: Progress = silent,
) -> Answer[bytes]:
    """Answer a calendar file of the likeliest weeks of the coming year, one event a taxon, spot and window.

    A window begins and ends on a day on which its place is not closed; one that has no such day from the
    first day on is left away.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no taxon or site, or several, bear the name.
    NothingToShow
        When no week of any taxon reaches a chance of one in ten.
    """
    only_taxon = pick_if_named(book, "taxon", taxon)
    only_site = pick_if_named(book, "site", site)
    seasons = seasons_of(book, taxon_id=only_taxon, day=on, now=now, progress=progress)
    shut = cache(lambda day: closures(book, day))
    said = f" {OF_ALL} {seasons.held_out_said}" if seasons.held_out_said else ""
    events: list[Event] = []
    book_uuid = book_row(book).uuid
    for fitted in seasons.fitted:
        own = [spot for spot in seasons.spots_of(fitted) if only_site in (None, spot.site_id)]
        _, trees = rows_of(fitted, own)
        sites, _ = rows_of(fitted, [spot for spot in own if spot.tree_id is None])
        for row in (*sites, *trees):
            events += _events(fitted, row, on, book_uuid, (shut, said))
    if not events:
        raise errors.NothingToShow(
            "no week of any taxon reaches a chance of one in ten, so the calendar file would be empty",
            where=str(book.path),
            remedy="Note more looks, or draw the page: sitebook calendar.",
        )
    return Answer(calendar_file(events, now=now))


def _events(
    fitted: Fitted,
    row: FruitingRow,
    on: datetime.date,
    book_uuid: str,
    beside: tuple[Callable[[datetime.date], Closures], str],
) -> Iterator[Event]:
    """Give an event for the next time each likely window of a row comes, one under way among them."""
    shut, held_out = beside
    for number, weeks in enumerate(windows(row)):
        free = _next_free(weeks, on, lambda day: not shut(day).reason(row.spot))
        if free is None:
            continue
        first, last = free
        best = max((row.weeks[week - 1] for week in weeks), key=lambda week: week.chance.chance).chance
        where = row.spot.where
        books = " It rests mostly on books." if best.mostly_from_books else ""
        span = f"{100 * best.low:.0f} to {100 * best.high:.0f}"
        said = (
            f"At its highest {100 * best.chance:.0f} of 100 looks ({span}); "
            f"{row.looks} looks here so far, {row.looks_with_find} found it.{books} {NO_WORD}{held_out}"
        )
        year = first.isocalendar().year
        key = f"{book_uuid} {fitted.taxon_id} {row.spot.site_id} {row.spot.tree_id} {year} {number}"
        uid = f"{hashlib.sha256(key.encode()).hexdigest()[:32]}@sitebook"
        yield Event(uid, first, last, f"{fitted.taxon_name}: {where}", said, where)


def windows(row: FruitingRow) -> list[list[int]]:
    """Give the runs of likely weeks of a row round the year, each in the order it is lived through."""
    highest = max(week.chance.chance for week in row.weeks)
    least = max(WINDOW_SHARE.value * highest, WINDOW_LEAST.value)
    likely = {week.iso_week for week in row.weeks[:52] if week.chance.chance >= least}
    if len(likely) == len(ISO_WEEKS) - 1:
        return [sorted(likely)]
    starts = sorted(week for week in likely if (week - 2) % 52 + 1 not in likely)
    return [_run(start, likely) for start in starts]


def _run(start: int, likely: set[int]) -> list[int]:
    run = [start]
    while run[-1] % 52 + 1 in likely:
        run.append(run[-1] % 52 + 1)
    return run


def _next_free(
    weeks: Sequence[int], on: datetime.date, is_free: Callable[[datetime.date], bool]
) -> tuple[datetime.date, datetime.date] | None:
    """Give first and last free day of the next time these weeks come within a year, one under way too."""
    for year in (on.year - 1, on.year, on.year + 1):
        days = window_days(weeks, year)
        if days[0] > on + A_YEAR:
            return None
        free = [day for day in days if is_free(day)]
        if free and free[-1] >= on:
            return free[0], free[-1]
    return None


def window_days(weeks: Sequence[int], year: int) -> list[datetime.date]:
    """Give the days of a likely window that begins in an ISO year.

    A window is of weeks 1 to 52; where it runs over the turn of a year of 53 weeks, the last week of that
    year lies within it, and in one of all 52 weeks too.

    Parameters
    ----------
    weeks
        Weeks of the window, in the order they are lived through.
    year
        ISO year of the first of them.
    """
    begins = datetime.date.fromisocalendar(year, weeks[0], 1)
    ends_in = year + (weeks[-1] < weeks[0] or len(weeks) == len(ISO_WEEKS) - 1)
    last = weeks[-1] if len(weeks) < len(ISO_WEEKS) - 1 else 0
    end = datetime.date.fromisocalendar(ends_in, 1, 1) + datetime.timedelta(weeks=last)
    return [begins + datetime.timedelta(days=ahead) for ahead in range((end - begins).days)]
