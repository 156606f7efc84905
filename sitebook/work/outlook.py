"""Answers what the coming days may bring at her sites and trees."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator, Sequence

from sitebook import errors
from sitebook.analysis.season.calendar_rows import chance_of
from sitebook.analysis.season.revisit import crop_of, records_of, thinned
from sitebook.analysis.season.revisit_words import weather_words
from sitebook.analysis.season.spots import Fitted, on_days
from sitebook.analysis.season.weather_effect import effect
from sitebook.citations import Cited
from sitebook.pages.outlook import draw_outlook
from sitebook.records.results.fruiting import Chance, Spot
from sitebook.records.results.outlook import DayChance, Outlook, OutlookRow, StandingCrop
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.closures import Closures, closures_by_day, not_proposed
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.naming import pick_if_named
from sitebook.work.opening import book_row
from sitebook.work.seasons import Key, Seasons, seasons_of
from sitebook.work.settings import settings_of

MOST_DAYS = Cited(40.0, "d", "ours", "our choice")
"""Days an outlook may reach: by then no rain that has fallen counts any more."""
ONE_DAY = datetime.timedelta(days=1)
SHOWN_FROM = Cited(0.02, "1", "ours", "our choice")
"""Rows whose chance reaches this on no day are left away."""
SHOWN = Cited(60.0, "rows", "ours", "our choice")
"""Rows an outlook shows at most."""


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
    ruled_out = [*map(closures_by_day(book), dates)]
    dangers = dangers_of(book)
    rows: list[OutlookRow] = []
    left: list[Spot] = []
    for fitted in seasons.fitted:
        own = [spot for spot in seasons.spots_of(fitted) if site_id in (None, spot.site_id)]
        on_wood = seasons.on_wood(fitted.taxon_id)
        shut = [spot for spot in own if _shut_throughout(ruled_out, spot, on_wood=on_wood)]
        left += shut
        there = [spot for spot in own if spot not in shut]
        rows += _rows(seasons, fitted, there, ruled_out, dangers)
    rows.sort(key=lambda row: (-_best(row), row.taxon_name, row.spot.name.casefold()))
    if most is not None:
        rows = [row for row in rows if _best(row) >= SHOWN_FROM.value][:most]
    used = {key: weather.used for key, weather in seasons.weather.items() if site_id in (None, key)}
    away = not_proposed(ruled_out[0], left)
    return Outlook(on, dates[-1], tuple(rows), used, away, seasons.held_out_said)


def _best(row: OutlookRow) -> float:
    return row.best.chance.chance


def _shut_throughout(ruled_out: Sequence[Closures], spot: Spot, *, on_wood: bool) -> bool:
    return all(day.reason(spot, on_wood=on_wood) for day in ruled_out)


def _rows(
    seasons: Seasons, fitted: Fitted, spots: Sequence[Spot], ruled_out: Sequence[Closures], dangers: Dangers
) -> Iterator[OutlookRow]:
    if not spots:
        return
    dates = [day.on for day in ruled_out]
    chances = on_days(fitted, spots, dates, seasons.weather_of)
    on_wood = seasons.on_wood(fitted.taxon_id)
    made, with_find = _looks_by_spot(fitted)
    records = records_of(fitted, seasons.finds_of(fitted), dates[0] + ONE_DAY)
    for number, spot in enumerate(spots):
        anomalies, ahead = seasons.weather_of(spot.site_id, dates)
        station = seasons.weather.get(spot.site_id or 0)
        known = station.weather if station else None
        record = records.get((spot.site_id, spot.tree_id))
        crops = [crop_of(fitted.taxon_name, record, date) for date in dates]
        first = effect(fitted.fit, anomalies[0], irrigated=bool(spot.irrigated))
        yield OutlookRow(
            fitted.taxon_id,
            fitted.taxon_name,
            spot,
            tuple(
                DayChance(
                    day.on,
                    _left(chance_of(chances, (number, at)), crops[at]),
                    None if known is None else int(ahead[at]),
                    day.reason(spot, on_wood=on_wood),
                )
                for at, day in enumerate(ruled_out)
            ),
            made[spot.site_id, spot.tree_id],
            with_find[spot.site_id, spot.tree_id],
            " ".join(weather_words(first)),
            fitted.way,
            dangers.words(fitted.taxon_id),
            crops[0].picked_on if crops[0] else None,
        )


def _left(chance: Chance, crop: StandingCrop | None) -> Chance:
    """Take what was picked lately off a chance."""
    return thinned(chance, crop.share) if crop else chance


def _looks_by_spot(fitted: Fitted) -> tuple[Counter[Key], Counter[Key]]:
    """Count the looks at each spot, and those that found the taxon."""
    own = [look for look in fitted.looks if look.found is not None and not look.effort_assumed]
    made = Counter((look.site_id, look.tree_id) for look in own)
    return made, Counter((look.site_id, look.tree_id) for look in own if look.found)
