"""Answers when a taxon fruits at her sites by the first, simple way: looks laid over each other."""

from __future__ import annotations

import dataclasses
import datetime

from sitebook import errors
from sitebook.analysis.season import baseline, looks
from sitebook.pages.calendar import draw_calendar
from sitebook.pages.poison_words import with_class
from sitebook.records.find import Find
from sitebook.records.outing import Look, Visit
from sitebook.records.results.season import Calendar
from sitebook.records.site import Site
from sitebook.records.taxon import Taxon
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.dangers import dangers_of
from sitebook.work.naming import pick_if_named
from sitebook.work.opening import book_row
from sitebook.work.settings import settings_of


def calendar(
    book: Book,
    *,
    today: datetime.date,
    taxon: str | None = None,
    site: str | None = None,
    progress: Progress = silent,
) -> Answer[Calendar]:
    """Answer the chance of at least one find in a 30-minute look, by site, taxon and ISO week.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no taxon or site, or several, bear the name.
    NothingToShow
        When no find with a certain name lies at a site yet.
    """
    result = of_book(book, taxon=taxon, site=site, progress=progress)
    if not result.rows:
        raise nothing_to_show(book, taxon, site)
    title = f"Fruiting calendar: {book_row(book).title}"
    poison_centre = settings_of(book).poison_centre
    dangers = dangers_of(book)
    classed = [
        dataclasses.replace(row, taxon_name=with_class(row.taxon_name, dangers.words(row.taxon_id)))
        for row in result.rows
    ]
    shown = dataclasses.replace(result, rows=tuple(classed))
    return Answer(result, draw_calendar(shown, title=title, today=today, poison_centre=poison_centre))


def nothing_to_show(book: Book, taxon: str | None, site: str | None) -> errors.NothingToShow:
    """Give the error that says why there is no calendar of a taxon, a site or a whole book."""
    remedy = "Ask for another, or bring in visits and finds with `sitebook import`."
    if taxon is None and site is None:
        what, remedy = _why_none(book), "Bring in visits and finds with `sitebook import`."
    elif site is None:
        what = f"{taxon} was never found or looked for at a site"
    else:
        what = f"{taxon or 'no fungus'} was {'never' if taxon else 'yet'} found or looked for at {site}"
    return errors.NothingToShow(what, where=str(book.path), remedy=remedy)


def _why_none(book: Book) -> str:
    """Say what the finds of a book lack that a calendar needs."""
    finds, named = rows.records(book, Find), standing_determinations(book)
    if not finds:
        return "the book holds no finds yet"
    certain = sum(d.taxon_id is not None and d.qualifier in looks.CERTAIN_QUALIFIERS for d in named)
    at_sites = sum(find.visit_id is not None for find in finds)
    return (
        f"no calendar can be drawn: of {len(finds)} finds {at_sites} belong to a visit, {len(named)} bear a "
        f"name, and {certain} a name without cf., aff., sp. or a question mark"
    )


def of_book(
    book: Book, *, taxon: str | None = None, site: str | None = None, progress: Progress = silent
) -> Calendar:
    """Compute the calendars of a book, of one taxon or one site where named."""
    taxa, sites = rows.records(book, Taxon), rows.records(book, Site)
    only_taxon = pick_if_named(book, "taxon", taxon)
    only_site = pick_if_named(book, "site", site)
    progress("reading visits", 0, 2)
    gathered = looks.gather(
        rows.records(book, Visit),
        rows.records(book, Look),
        rows.records(book, Find),
        standing_determinations(book),
        taxa,
    )
    progress("computing calendars", 1, 2)
    whole = baseline.calendar(
        gathered.looks,
        gathered.finds,
        site_names={s.id: s.name for s in sites if s.id is not None},
        taxon_names={t.id: t.scientific_name for t in taxa if t.id is not None},
    )
    progress("computing calendars", 2, 2)
    kept = tuple(
        row for row in whole.rows if only_taxon in (None, row.taxon_id) and only_site in (None, row.site_id)
    )
    return dataclasses.replace(whole, rows=kept)
