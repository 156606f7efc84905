"""Answers how well the chances told years that were held out, on her own book."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace

from sitebook import errors
from sitebook.analysis.season import held_out
from sitebook.analysis.season.held_out import Told
from sitebook.analysis.season.spots import Fitted, year_label
from sitebook.pages.held_out import draw_held_out
from sitebook.records.results.fruiting import SEASON_MODEL
from sitebook.records.results.held_out import Calibration, HeldOut
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.opening import book_row
from sitebook.work.seasons import seasons_of
from sitebook.work.settings import settings_of

ONE_YEAR = "looks of fewer than two years"
NOTHING_FOUND = "no look found it; its finds were seen first, or told of"


@dataclass(frozen=True)
class _Pair:
    fitted: Fitted
    told: Told


def calibration(
    book: Book,
    *,
    today: datetime.date,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Answer[Calibration]:
    """Answer how well each taxon's years were told from its other years.

    Raises
    ------
    NothingToShow
        When no taxon has looks of two years and a find among them.
    """
    seasons = seasons_of(book, now=now, progress=progress)
    pairs: list[_Pair] = []
    too_few: list[tuple[str, str]] = []
    for one in seasons.fitted:
        found = held_out.told(one.made, one.prior)
        if found is not None:
            pairs.append(_Pair(one, found))
        elif one.fit.looks:
            too_few.append((one.taxon_name, NOTHING_FOUND if _years(one) > 1 else ONE_YEAR))
    if not pairs:
        raise errors.NothingToShow(
            "no year can be held out yet: no taxon has looks of two years and a find among them",
            where=str(book.path),
            remedy="Note looks, the empty ones too, over a second year.",
        )
    everything = held_out.together(pair.told for pair in pairs)
    result = Calibration(
        tuple(_held_out(pair) for pair in pairs),
        held_out.shares((pair.told.used(pair.fitted.way), pair.told.found) for pair in pairs),
        tuple(too_few),
        held_out.gains(everything),
        len(everything.years),
        int(everything.with_find.sum()),
        held_out.book_words(held_out.way_of(pair.told) for pair in pairs),
        held_out.by_year(held_out.together(_shown(pair) for pair in pairs)),
    )
    page = draw_held_out(
        result,
        title=f"Did the chances come true: {book_row(book).title}",
        today=today,
        poison_centre=settings_of(book).poison_centre,
    )
    return Answer(result, page)


def _shown(pair: _Pair) -> Told:
    """Give the held-out looks of a taxon with the chances of the way in use as those of the model."""
    told = pair.told
    return replace(told, chances={**told.chances, SEASON_MODEL: told.used(pair.fitted.way)})


def _years(one: Fitted) -> int:
    return len({int(year) for year in one.made.at.year})


def _held_out(pair: _Pair) -> HeldOut:
    one, told = pair.fitted, pair.told
    return HeldOut(
        one.taxon_id,
        one.taxon_name,
        one.southern,
        tuple(year_label(year, one.prior) for year in told.years),
        int(told.with_find.sum()),
        int(told.found.size),
        int(told.found.sum()),
        held_out.gains(told),
        held_out.shares([(told.used(one.way), told.found)]),
        one.way,
        one.way_said,
        held_out.chosen_way(told, every_year=True)[0],
    )
