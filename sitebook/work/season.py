"""Answers when a taxon fruits at her sites and trees, by the season model."""

from __future__ import annotations

import datetime

from sitebook import errors
from sitebook.analysis.season import calendar_rows, ends, lasting, parameters
from sitebook.analysis.season.spots import Fitted
from sitebook.pages.fruiting import draw_fruiting
from sitebook.pages.tree_years import draw_tree
from sitebook.records.host_tree import HostTree
from sitebook.records.results.fruiting import (
    SEASON_MODEL,
    FruitingCalendar,
    Spot,
    TaxonSeason,
    TreePage,
    TreeTaxon,
)
from sitebook.records.results.season import Choice
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.dangers import dangers_of
from sitebook.work.naming import pick, pick_if_named
from sitebook.work.opening import book_row
from sitebook.work.season_baseline import nothing_to_show
from sitebook.work.seasons import Lasting, Seasons, seasons_of
from sitebook.work.settings import settings_of

NO_WAY = "Its fruit bodies stand for years, so there is no season to tell."


def calendar(
    book: Book,
    *,
    today: datetime.date,
    taxon: str | None = None,
    site: str | None = None,
    seasons: Seasons | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Answer[FruitingCalendar]:
    """Answer the usual year of taxa at sites and trees.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no taxon or site, or several, bear the name.
    NothingToShow
        When no find with a certain name lies at a site yet, and no look names a taxon.
    """
    result = fruiting_of(
        book, today=today, taxon=taxon, site=site, seasons=seasons, now=now, progress=progress
    )
    if not any(one.sites or one.trees or one.lasting for one in result.taxa):
        raise nothing_to_show(book, taxon, site)
    page = draw_fruiting(
        result,
        title=f"Fruiting calendar: {book_row(book).title}",
        today=today,
        poison_centre=settings_of(book).poison_centre,
        by="spot" if site is not None else "taxon",
    )
    return Answer(result, page)


def tree_page(
    book: Book,
    *,
    today: datetime.date,
    tree: str,
    taxon: str | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Answer[TreePage]:
    """Answer what was looked for at one tree, year by year.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no tree or taxon, or several, bear the name.
    NothingToShow
        When nothing was found or looked for there yet.
    """
    tree_id = pick(book, "host_tree", tree)
    only = pick_if_named(book, "taxon", taxon)
    seasons = seasons_of(book, taxon_id=only, now=now, progress=progress)
    spot = next(spot for spot in seasons.spots.values() if spot.tree_id == tree_id)
    taxa = [_tree_taxon(seasons, one, spot) for one in seasons.fitted if spot in seasons.spots_of(one)]
    standing = [
        (one.taxon_name, row)
        for one in seasons.lasting
        if spot in seasons.spots_of(one)
        for row in lasting.lasting_rows(one.looks, [spot])
    ]
    result = TreePage(
        spot,
        _tree_note(seasons.trees[tree_id]),
        tuple(taxa),
        tuple(standing),
        today,
        seasons.held_out_said,
        dangers_of(book).by_name(
            [one.taxon_id for one in seasons.fitted] + [one.taxon_id for one in seasons.lasting]
        ),
    )
    if not (taxa or standing):
        raise errors.NothingToShow(
            f"nothing was found or looked for at tree '{spot.tag}' yet",
            where=str(book.path),
            remedy="Note looks at it with `sitebook add look`, or on the entry sheet.",
        )
    centre = settings_of(book).poison_centre
    title = f"Tree {spot.tag}: {book_row(book).title}"
    return Answer(result, draw_tree(result, title=title, poison_centre=centre))


def fruiting_of(
    book: Book,
    *,
    today: datetime.date,
    taxon: str | None = None,
    site: str | None = None,
    seasons: Seasons | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> FruitingCalendar:
    """Compute the usual year of taxa at sites and trees, of one taxon or one site where named.

    Parameters
    ----------
    book
        The book.
    today
        Day it is drawn for.
    taxon, site
        Names; None for all.
    seasons
        What was loaded and fitted already; None to do it here.
    now
        Instant noted for fits that are kept, UTC; None to keep none.
    progress
        Hears how far it is.
    """
    only_taxon = pick_if_named(book, "taxon", taxon)
    only_site = pick_if_named(book, "site", site)
    known = seasons or seasons_of(book, taxon_id=only_taxon, now=now, progress=progress)
    taxa = [
        *(_season(known, one, only_site) for one in known.fitted if only_taxon in (None, one.taxon_id)),
        *(_standing(known, one, only_site) for one in known.lasting if only_taxon in (None, one.taxon_id)),
    ]
    shown = [one for one in taxa if one.sites or one.trees or one.lasting]
    shown.sort(key=lambda one: (one.taxon_name.casefold(), one.taxon_id, one.southern))
    poisoning = dangers_of(book).by_name(one.taxon_id for one in shown)
    return FruitingCalendar(tuple(shown), today, choices(), known.held_out_said, poisoning)


def choices() -> tuple[Choice, ...]:
    """Give the numbers that the season model rests on, each with what it does."""
    return tuple(Choice(words, parameters.model()[name]) for name, words in parameters.words().items())


def _wanted(seasons: Seasons, one: Fitted | Lasting, site_id: int | None) -> list[Spot]:
    return [spot for spot in seasons.spots_of(one) if site_id in (None, spot.site_id)]


def _season(seasons: Seasons, one: Fitted, site_id: int | None) -> TaxonSeason:
    """Draw up one taxon that has a season."""
    spots = _wanted(seasons, one, site_id)
    gone = seasons.gone_for(one.taxon_id)
    sites, trees = calendar_rows.rows_of(one, spots, passed_over=gone)
    finds = seasons.finds_of(one)
    return TaxonSeason(
        one.taxon_id,
        one.taxon_name,
        one.southern,
        one.prior.said,
        one.from_memory,
        one.way,
        one.way_said,
        sites,
        trees,
        (),
        ends.season_spans(one, finds) if spots else (),
        calendar_rows.told_of(one.looks, finds, one.made),
    )


def _standing(seasons: Seasons, one: Lasting, site_id: int | None) -> TaxonSeason:
    """Draw up one taxon whose fruit bodies stand for years."""
    finds = seasons.finds_of(one)
    rows = tuple(lasting.lasting_rows(one.looks, _wanted(seasons, one, site_id)))
    return TaxonSeason(
        taxon_id=one.taxon_id,
        taxon_name=one.taxon_name,
        southern=False,
        books=NO_WAY,
        from_memory=False,
        way=SEASON_MODEL,
        way_said=NO_WAY,
        sites=(),
        trees=(),
        lasting=rows,
        spans=(),
        told=calendar_rows.told_of(one.looks, finds),
    )


def _tree_taxon(seasons: Seasons, one: Fitted, spot: Spot) -> TreeTaxon:
    (row,) = calendar_rows.rows_of(one, [spot])[1]
    return TreeTaxon(
        one.taxon_id,
        one.taxon_name,
        row,
        calendar_rows.years_at(one, spot),
        one.prior.said,
        one.from_memory,
        one.way,
        one.way_said,
        calendar_rows.told_of(one.looks, seasons.finds_of(one), one.made),
    )


def _tree_note(tree: HostTree) -> str:
    """Say what is noted of a tree, in one line."""
    girth = f"girth {tree.girth_cm:g} cm" if tree.girth_cm is not None else ""
    if girth and tree.girth_on is not None:
        girth += f" on {tree.girth_on.isoformat()}"
    felled = f"felled or fallen on {tree.felled_on.isoformat()}" if tree.felled_on else ""
    parts = (tree.tree_condition or "", girth, felled, tree.note or "")
    return "; ".join(part for part in parts if part)
