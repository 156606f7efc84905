"""Makes the question of a day out of names and of the settings in force."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping

from sitebook.store.book import Book
from sitebook.work.bring_in.names import names_in
from sitebook.work.day_asked import DayAsked, LonLat, mode_named
from sitebook.work.naming import pick
from sitebook.work.settings import settings_of


def day_asked(
    book: Book,
    *,
    on: datetime.date,
    start: LonLat,
    end: LonLat | None,
    starts_min: float,
    ends_min: float,
    mode: str,
    car_at: LonLat | None,
    searchers: int,
    stay_min: float | None,
    scouting_share: float | None,
    sites: Mapping[str, Iterable[str]],
    pins: Iterable[tuple[str, float]],
    found: Iterable[str],
    seed: int,
) -> DayAsked:
    """Make the question of a day.

    Parameters
    ----------
    book
        The book.
    on, start, end, starts_min, ends_min, mode, car_at, searchers, seed
        As DayAsked has them.
    stay_min, scouting_share
        The same; None for the setting.
    sites
        Names of sites by what is asked of them: "force", "bar", "look_only" or "done".
    pins
        Names of sites, each with the minute of the day at which work there must begin.
    found
        Names of taxa of which enough was found that day.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When no site or taxon, or several, bear a name.
    BadArgument
        When the way of getting about is none.
    """
    settings, names = settings_of(book), names_in(book)

    def ids(what: str) -> tuple[int, ...]:
        return tuple(pick(book, "site", name, names) for name in sites.get(what, ()))

    return DayAsked(
        on=on,
        start=start,
        starts_min=starts_min,
        latest_end_min=ends_min,
        mode=mode_named(mode),
        stay_min=settings.stay_min.value if stay_min is None else stay_min,
        scouting_share=settings.scouting_share.value if scouting_share is None else scouting_share,
        look_only_from=settings.look_only_from_class.value,
        end=end,
        car_at=car_at,
        searchers=searchers,
        force=frozenset(ids("force")),
        bar=frozenset(ids("bar")),
        look_only=frozenset(ids("look_only")),
        at_min={pick(book, "site", name, names): minute for name, minute in pins},
        done=ids("done"),
        found=frozenset(pick(book, "taxon", name, names) for name in found),
        seed=seed,
    )
