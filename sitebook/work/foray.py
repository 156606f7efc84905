"""Answers what became of a foray: planned against done, what it taught, and what waits."""

from __future__ import annotations

import datetime

from sitebook.pages.foray_done import draw_foray_done
from sitebook.records.foray import Foray
from sitebook.records.results.day_plan import ForayDone
from sitebook.records.results.forays import ForayLine
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.dangers import dangers_of
from sitebook.work.day_asked import minute_of
from sitebook.work.foray_day import ForayDay, foray_day, kilometres
from sitebook.work.foray_learned import learned_on
from sitebook.work.foray_stops import looks_of, stops_done
from sitebook.work.foray_waiting import waiting_of
from sitebook.work.foray_way import planned_km
from sitebook.work.forays_named import in_time
from sitebook.work.opening import book_row
from sitebook.work.seasons import Seasons, seasons_of
from sitebook.work.settings import settings_of


def forays(book: Book) -> Answer[tuple[ForayLine, ...]]:
    """Answer every foray that the book keeps, the latest first."""
    kept = sorted(rows.records(book, Foray), key=in_time, reverse=True)
    return Answer(tuple(_line(foray_day(book, foray)) for foray in kept))


def _line(day: ForayDay) -> ForayLine:
    foray = day.foray
    planned = [stop for stop in day.stops if stop.turn is not None]
    return ForayLine(
        foray.uuid,
        foray.local_date,
        foray.starts_at,
        foray.ends_at,
        foray.mode,
        len(planned),
        sum(bool(day.visits.get(stop.site_id)) for stop in planned),
        sum(stop.turn is None and bool(day.visits.get(stop.site_id)) for stop in day.stops),
        len(day.every_find),
    )


def foray_done(
    book: Book,
    foray: Foray,
    *,
    now: datetime.datetime | None = None,
    seasons: Seasons | None = None,
    progress: Progress = silent,
) -> Answer[ForayDone]:
    """Answer what became of a foray, with its page.

    Parameters
    ----------
    book
        The book.
    foray
        The foray.
    now
        Instant noted for fits that are kept for the next question, UTC; None to keep none.
    seasons
        What was loaded and fitted already; None to do it here, where anything was visited.
    progress
        Hears how far it is.
    """
    day = foray_day(book, foray)
    sites = frozenset(day.visits)
    known = seasons
    if known is None and sites:
        known = seasons_of(book, now=now, progress=progress)
    looks, empty = looks_of(day, day.every_visit)
    result = ForayDone(
        foray_uuid=foray.uuid,
        on=foray.local_date,
        mode=foray.mode,
        stops=stops_done(book, day),
        kilometres=kilometres(day.tracks),
        planned_kilometres=planned_km(book, day, now=now, progress=progress),
        finds=len(day.every_find),
        looks=looks,
        looks_empty=empty,
        hours_planned=(minute_of(foray.ends_at) - minute_of(foray.starts_at)) / 60.0,
        hours_out=_hours_out(day),
        learned=learned_on(known, foray.local_date, sites, dangers_of(book)) if known is not None else (),
        waiting=waiting_of(book, day),
    )
    page = draw_foray_done(
        result,
        title=f"A day out: {book_row(book).title}",
        hours=(foray.starts_at, foray.ends_at),
        poison_centre=settings_of(book).poison_centre,
    )
    return Answer(result, page)


def _hours_out(day: ForayDay) -> float | None:
    noted = day.instants()
    return (max(noted) - min(noted)).total_seconds() / 3600.0 if len(noted) > 1 else None
