"""Ranks the trees and sites worth another visit on a day, with the reasons."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from sitebook import errors
from sitebook.analysis.season import revisit as weighing
from sitebook.analysis.season.calendar_rows import chance_of
from sitebook.analysis.season.ends import usual_curve
from sitebook.analysis.season.revisit_words import Told, reasons
from sitebook.analysis.season.spots import Fitted, on_days, usual_year
from sitebook.analysis.season.weather_effect import effect
from sitebook.citations import Cited
from sitebook.pages.revisit import draw_revisit
from sitebook.records.results.fruiting import Spot
from sitebook.records.results.outlook import Revisit, RevisitRow
from sitebook.store.book import Book
from sitebook.work import contamination
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.closures import NOT_ASKED, Closures, closed_day_words, closures, not_proposed
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.naming import pick_if_named
from sitebook.work.opening import book_row
from sitebook.work.permission_words import permission_words
from sitebook.work.seasons import Key, Seasons, seasons_of
from sitebook.work.settings import settings_of

SHOWN = Cited(25.0, "rows", "ours", "our choice")
"""Rows a ranking shows; the lowest are left away."""
SCOUTED = Cited(12.0, "rows", "ours", "our choice")
"""Little-known spots it names at most."""
WORTH_SHOWING = Cited(0.05, "1", "ours", "our choice")
"""A row whose worth is below this is left away."""
NOBODY = "Nobody gave permission yet."
ONE_DAY = datetime.timedelta(days=1)


@dataclass(frozen=True)
class _Beside:
    """What stands beside every row of a site."""

    class_said: Mapping[int, str]
    permission: Mapping[int, tuple[str, ...]]
    dangers: Dangers


def revisit(
    book: Book,
    *,
    on: datetime.date,
    taxon: str | None = None,
    site: str | None = None,
    seasons: Seasons | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Answer[Revisit]:
    """Answer which trees and sites are worth another visit on a day.

    Rows are ranked by the chance of at least one find in a look of 30 minutes that day, what was picked
    lately taken off. The tree's own record and its empty looks are in that chance already; how much it
    bears and whether it still holds the taxon are told beside it and counted no second time. Fungi whose
    fruit bodies stand for years are not ranked: they are there or not, which the calendar tells. What was
    seen after the day is left out.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no taxon or site, or several, bear the name.
    NothingToShow
        When there is no spot to rank.
    """
    only_taxon = pick_if_named(book, "taxon", taxon)
    only_site = pick_if_named(book, "site", site)
    known = seasons or seasons_of(book, taxon_id=only_taxon, day=on, now=now, progress=progress)
    result = revisit_of(book, known, on=on, site_id=only_site, progress=progress)
    if not (result.rows or result.scouting or result.not_proposed):
        raise errors.NothingToShow(
            "there is no tree or site to rank yet",
            where=str(book.path),
            remedy="Bring in visits and finds with `sitebook import`, or ask for another site or taxon.",
        )
    page = draw_revisit(
        result,
        title=f"Worth another visit: {book_row(book).title}",
        poison_centre=settings_of(book).poison_centre,
    )
    return Answer(result, page)


def revisit_of(
    book: Book,
    seasons: Seasons,
    *,
    on: datetime.date,
    site_id: int | None = None,
    progress: Progress = silent,
) -> Revisit:
    """Rank the spots of a book on a day, of one site where named."""
    ruled_out = closures(book, on)
    spots = [s for s in seasons.spots.values() if s.tree_id is not None or s.site_id is not None]
    wanted = [spot for spot in spots if site_id in (None, spot.site_id)]
    reviews = contamination.reviews_by_site(book, today=on, progress=progress)
    class_said = {key: review.class_said for key, review in reviews.items()}
    beside = _Beside(class_said, _permission(book, ruled_out), dangers_of(book))
    open_spots = {
        on_wood: {_key(s) for s in wanted if not ruled_out.reason(s, on_wood=on_wood)}
        for on_wood in (False, True)
    }
    known: list[RevisitRow] = []
    unknown: list[RevisitRow] = []
    for fitted in seasons.fitted:
        on_wood = seasons.on_wood(fitted.taxon_id)
        rows, scouting = _of_taxon(seasons, fitted, on, open_spots[on_wood], beside)
        known += rows
        unknown += scouting
    known.sort(key=lambda row: (-row.worth, row.taxon_name, row.spot.name.casefold()))
    shown = [row for row in known if row.worth >= WORTH_SHOWING.value][: round(SHOWN.value)]
    return Revisit(
        on,
        tuple(shown),
        _worth_scouting(unknown, shown),
        not_proposed(ruled_out, _ever_found(seasons, wanted, ruled_out)),
        {key: weather.used for key, weather in seasons.weather.items()},
        seasons.held_out_said,
    )


def _permission(book: Book, ruled_out: Closures) -> dict[int, tuple[str, ...]]:
    """Say what is allowed at each site and when it is closed; that nobody allowed anything stands first."""
    words, closed = permission_words(book), closed_day_words(book, ruled_out.on)
    return {
        key: (
            *([NOBODY] if NOT_ASKED in heed else []),
            *words.get(key, ()),
            *closed.get(key, ()),
        )
        for key, heed in ruled_out.to_heed.items()
    }


def _ever_found(seasons: Seasons, wanted: Sequence[Spot], ruled_out: Closures) -> list[Spot]:
    """Give the spots ruled out: where something was found or looked for by name, sites, trees in no site."""
    held = {(s.site_id, s.tree_id) for one in seasons.fitted for s in seasons.spots_of(one)}
    return [
        spot
        for spot in wanted
        if _key(spot) in held or spot.site_id in ruled_out.sites or spot.site_id is None
    ]


def _of_taxon(
    seasons: Seasons, fitted: Fitted, on: datetime.date, open_spots: set[Key], beside: _Beside
) -> tuple[list[RevisitRow], list[RevisitRow]]:
    """Weigh the spots of one taxon: those where it was found or looked for, and those little known."""
    records = weighing.records_of(fitted, seasons.finds_of(fitted), on + ONE_DAY)
    own = seasons.spots_of(fitted)
    others = weighing.little_known_kin(records, own, seasons.spots.values())
    spots = [spot for spot in (*own, *others) if _key(spot) in open_spots]
    if not spots:
        return [], []
    chances = on_days(fitted, spots, [on], seasons.weather_of)
    bearing = weighing.bearings(records, spots, seasons.spots.values())
    at_height = usual_year(fitted, spots).chance.max(axis=1)
    seeing, curve = weighing.detection(records), usual_curve(fitted)
    rows: dict[Key, RevisitRow] = {}
    for number, spot in enumerate(spots):
        record = records.get(_key(spot))
        crop = weighing.crop_of(fitted.taxon_name, record, on)
        chance = chance_of(chances, (number, 0))
        left = weighing.thinned(chance, crop.share) if crop else chance
        still = weighing.still_there(record, seeing)
        anomalies = seasons.weather_of(spot.site_id, [on])[0][0]
        weather = effect(fitted.fit, anomalies, irrigated=bool(spot.irrigated))
        height = float(at_height[number])
        told = Told(curve, record, still, bearing[_key(spot)], crop, weather, on, height)
        rows[_key(spot)] = RevisitRow(
            fitted.taxon_id,
            fitted.taxon_name,
            spot,
            left,
            left.chance,
            bearing[_key(spot)],
            crop,
            still,
            weighing.is_little_known(record),
            reasons(told, mostly_from_books=left.mostly_from_books),
            beside.class_said.get(spot.site_id or 0, "not known"),
            beside.permission.get(spot.site_id or 0, (NOBODY,)),
            beside.dangers.words(fitted.taxon_id),
        )
    little = {_key(spot) for spot in others} | {
        key
        for key, row in rows.items()
        if row.scouting and key[1] is not None and not row.bearing.looks_with_find
    }
    known = [replace(row, scouting=False) for key, row in rows.items() if key not in little]
    return known, [row for key, row in rows.items() if key in little]


def _key(spot: Spot) -> Key:
    return (spot.site_id, spot.tree_id)


def _worth_scouting(rows: Sequence[RevisitRow], shown: Sequence[RevisitRow]) -> tuple[RevisitRow, ...]:
    """Pick the little-known spots whose chance may well be among the best, one row a tree."""
    bar = sorted((row.worth for row in shown), reverse=True)[:10]
    least = min(bar, default=0.0)
    best: dict[Key, RevisitRow] = {}
    for row in sorted(rows, key=lambda row: -row.chance.high):
        if row.chance.high >= least:
            best.setdefault(_key(row.spot), row)
    return tuple(best.values())[: round(SCOUTED.value)]
