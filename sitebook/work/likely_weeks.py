"""Answers when in the coming year something is likeliest at her sites and trees, as a calendar file."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from sitebook import errors
from sitebook.analysis.season.baseline import ISO_WEEKS
from sitebook.analysis.season.calendar_rows import rows_of
from sitebook.analysis.season.spots import Fitted
from sitebook.citations import Cited
from sitebook.outgo.calendar_file import Event, calendar_file
from sitebook.records.results.fruiting import FruitingRow
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.closures import Closures, closures_by_day
from sitebook.work.dangers import dangers_of
from sitebook.work.naming import pick_if_named
from sitebook.work.opening import book_row
from sitebook.work.seasons import Seasons, seasons_of

WINDOW_SHARE = Cited(0.5, "1", "ours", "our choice")
"""A likely window is the weeks with at least this share of the year's highest chance."""
NARROW_SHARE = Cited(0.75, "1", "ours", "our choice")
"""The same where half of it is reached in too many weeks for any to stand out."""
WINDOW_LEAST = Cited(0.1, "1", "ours", "our choice")
"""And with a chance of at least this."""
LONGEST = Cited(10.0, "weeks", "ours", "our choice")
"""In a window of more weeks than this no week stands out, and it is no event."""
NAMED = 5
"""Rows without an event that are named, of each reason."""
A_YEAR = datetime.timedelta(days=366)
NO_WORD = "A chance of at least one find in a look of 30 minutes; no word on whether it may be eaten."
OF_ALL = "Of all taxa in this calendar:"
CLASSED = "Left out, as a poisoning class is noted for the name (name one with --taxon to have its weeks): "
UNKNOWN = "Left out, as looks there say too little yet: "
FLAT = "Left out, as no week stands out there: "


@dataclass
class _LeftOut:
    """What has no event, by the reason."""

    classed: list[str] = field(default_factory=list)
    unknown: list[str] = field(default_factory=list)
    flat: list[str] = field(default_factory=list)

    def said(self) -> tuple[str, ...]:
        """Say it, one line a reason."""
        listed = ((CLASSED, self.classed), (UNKNOWN, self.unknown), (FLAT, self.flat))
        return tuple(f"{words}{_some(list(dict.fromkeys(names)))}." for words, names in listed if names)


def _some(names: Sequence[str]) -> str:
    more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
    return f"{'; '.join(names[:NAMED])}{more}"


@dataclass(frozen=True)
class _Asked:
    """What every event of a calendar file needs."""

    on: datetime.date
    book_uuid: str
    shut: Callable[[datetime.date], Closures]
    on_wood: Callable[[int], bool]
    held_out: str


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

    A window begins and ends on a day on which its place is not closed, the first day at the earliest; one
    that has no such day is left away. There is no event where the chance rests mostly on books, none for a
    window of more than ten weeks, and none for a name with a poisoning class unless it is the one asked
    for; the remarks say which were left out.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no taxon or site, or several, bear the name.
    NothingToShow
        When there is no event.
    """
    only_taxon = pick_if_named(book, "taxon", taxon)
    only_site = pick_if_named(book, "site", site)
    seasons = seasons_of(book, taxon_id=only_taxon, day=on, now=now, progress=progress)
    said = f" {OF_ALL} {seasons.held_out_said}" if seasons.held_out_said else ""
    shut = cache(closures_by_day(book))
    asked = _Asked(on, book_row(book).uuid, shut, seasons.on_wood, said)
    dangers, left_out = dangers_of(book), _LeftOut()
    events: list[Event] = []
    for fitted in seasons.fitted:
        poisoning = dangers.words(fitted.taxon_id)
        if poisoning and only_taxon is None:
            left_out.classed.append(fitted.taxon_name)
            continue
        for row in _rows(seasons, fitted, only_site):
            events += _events(fitted, row, asked, poisoning, left_out)
    if not events:
        raise errors.NothingToShow(
            " ".join(("the calendar file would be empty: no week stands out.", *left_out.said())).rstrip("."),
            where=str(book.path),
            remedy="Note more looks, or draw the page: sitebook calendar.",
        )
    return Answer(calendar_file(events, now=now), remarks=left_out.said())


def _rows(seasons: Seasons, fitted: Fitted, site_id: int | None) -> tuple[FruitingRow, ...]:
    """Give the usual year of a taxon at sites, each by itself, and at trees."""
    own = [spot for spot in seasons.spots_of(fitted) if site_id in (None, spot.site_id)]
    _, trees = rows_of(fitted, own)
    sites, _ = rows_of(fitted, [spot for spot in own if spot.tree_id is None])
    return (*sites, *trees)


def _events(
    fitted: Fitted, row: FruitingRow, asked: _Asked, poisoning: str, left_out: _LeftOut
) -> Iterator[Event]:
    """Give an event for the next time each likely window of a row comes, one under way among them."""
    where = row.spot.where
    on_wood = asked.on_wood(fitted.taxon_id)
    for number, weeks in enumerate(windows(row)):
        best = max((row.weeks[week - 1] for week in weeks), key=lambda week: week.chance.chance).chance
        free = _next_free(weeks, asked.on, lambda day: not asked.shut(day).reason(row.spot, on_wood=on_wood))
        if free is None:
            continue
        if best.mostly_from_books or len(weeks) > LONGEST.value:
            reason = left_out.unknown if best.mostly_from_books else left_out.flat
            reason.append(f"{fitted.taxon_name} at {where}")
            continue
        year, first, last = free
        class_said = f"{poisoning[0].upper()}{poisoning[1:]}. " if poisoning else ""
        span = f"{100 * best.low:.0f} to {100 * best.high:.0f}"
        looks = "1 look" if row.looks == 1 else f"{row.looks} looks"
        said = (
            f"{class_said}At its highest {100 * best.chance:.0f} of 100 looks ({span}); "
            f"{looks} here so far, {row.looks_with_find} found it. {NO_WORD}{asked.held_out}"
        )
        key = f"{asked.book_uuid} {fitted.taxon_id} {row.spot.site_id} {row.spot.tree_id} {year} {number}"
        uid = f"{hashlib.sha256(key.encode()).hexdigest()[:32]}@sitebook"
        yield Event(uid, first, last, f"{fitted.taxon_name}: {where}", said, where)


def windows(row: FruitingRow) -> list[list[int]]:
    """Give the runs of likely weeks of a row round the year, each in the order it is lived through."""
    wide = _runs(row, WINDOW_SHARE.value)
    return wide if all(len(run) <= LONGEST.value for run in wide) else _runs(row, NARROW_SHARE.value)


def _runs(row: FruitingRow, share: float) -> list[list[int]]:
    """Give the runs of weeks that reach a share of the row's highest chance."""
    highest = max(week.chance.chance for week in row.weeks)
    least = max(share * highest, WINDOW_LEAST.value)
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
) -> tuple[int, datetime.date, datetime.date] | None:
    """Give the next time these weeks come within a year: the year they begin in, first and last free day.

    Where they have begun already, no day before the one asked for counts.
    """
    for year in (on.year - 1, on.year, on.year + 1):
        days = window_days(weeks, year)
        if days[0] > on + A_YEAR:
            return None
        free = [day for day in days if day >= on and is_free(day)]
        if free:
            return year, free[0], free[-1]
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
