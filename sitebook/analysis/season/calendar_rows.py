"""Draws up the calendar of one taxon: its usual year at each site and tree."""

from __future__ import annotations

import datetime
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sitebook.analysis.season.baseline import ISO_WEEKS
from sitebook.analysis.season.design import Looks
from sitebook.analysis.season.prediction import Chances
from sitebook.analysis.season.spot_looks import FindDay, SpotLook
from sitebook.analysis.season.spots import Fitted, season_year, usual_year, year_label
from sitebook.records.results.fruiting import (
    Chance,
    FruitingRow,
    FruitingWeek,
    LookDay,
    LooksTold,
    Spot,
    TreeYear,
)

Floats = NDArray[np.float64]


def rows_of(
    fitted: Fitted, spots: Sequence[Spot], *, passed_over: Collection[int | None] = ()
) -> tuple[tuple[FruitingRow, ...], tuple[FruitingRow, ...]]:
    """Give the usual year of a taxon at sites and at trees.

    The row of a site is that of its likeliest tree, where a tree of the site among the spots is likelier
    than the rest of the site; its looks are all those made at the site.

    Parameters
    ----------
    fitted
        The taxon.
    spots
        Sites and trees wanted.
    passed_over
        Trees that speak for no site, as they stand no more, by their ids.
    """
    chances = usual_year(fitted, spots)
    at_site: dict[int | None, list[SpotLook]] = defaultdict(list)
    at_tree: dict[int | None, list[SpotLook]] = defaultdict(list)
    for look in fitted.looks:
        if not look.effort_assumed:
            at_site[look.site_id].append(look)
            if look.tree_id is not None:
                at_tree[look.tree_id].append(look)
    sites = [
        _site_row(spots, number, chances, at_site[spot.site_id], passed_over)
        for number, spot in enumerate(spots)
        if spot.tree_id is None
    ]
    trees = [
        _row(spot, chances, number, at_tree[spot.tree_id])
        for number, spot in enumerate(spots)
        if spot.tree_id is not None
    ]
    return tuple(sites), tuple(trees)


def likeliest(
    spots: Sequence[Spot], site_number: int, chance: Floats, passed_over: Collection[int | None] = ()
) -> int:
    """Give the number of the spot of a site, itself among them, that is likeliest to give a find."""
    site_id = spots[site_number].site_id
    here = [
        number
        for number, spot in enumerate(spots)
        if spot.site_id == site_id and spot.tree_id not in passed_over
    ]
    return max(here, key=lambda number: (float(chance[number].mean()), number == site_number))


def told_of(looks: Iterable[SpotLook], finds: Iterable[FindDay], made: Looks | None = None) -> LooksTold:
    """Count what the answer about a taxon rests on.

    Parameters
    ----------
    looks, finds
        Its looks, those that decide nothing among them, and its dated finds.
    made
        The looks as a fit read them; None where none was made.
    """
    own = list(looks)
    counting = [look for look in own if look.found is not None and look.local_date is not None]
    noted = [look for look in counting if not look.effort_assumed]
    dates = [look.local_date for look in counting if look.local_date is not None]
    first, last = min(dates, default=None), max(dates, default=None)
    return LooksTold(
        looks=len(noted),
        looks_with_find=sum(bool(look.found) for look in noted),
        finds=sum(1 for _ in finds),
        minutes_assumed=sum(look.minutes is None for look in noted),
        effort_assumed=len(counting) - len(noted),
        weather_known=0 if made is None else int(np.isfinite(made.at.weather).all(axis=1).sum()),
        left_out=sum(look.found is None and look.local_date is not None for look in own),
        undated=sum(look.local_date is None for look in own),
        first_year=first.year if first else None,
        last_year=last.year if last else None,
    )


def years_at(fitted: Fitted, spot: Spot) -> tuple[TreeYear, ...]:
    """Give the looks for a taxon at one tree, by season-year, the newest first."""
    own = [look for look in _looks_at(fitted.looks, spot) if look.local_date is not None]
    by_year: dict[int, list[LookDay]] = {}
    for look in sorted(own, key=lambda look: look.local_date or datetime.date.min):
        if look.local_date is not None:
            day = LookDay(look.local_date, _outcome(look), look.minutes)
            by_year.setdefault(season_year(look.local_date, fitted.prior), []).append(day)
    newest_first = sorted(by_year, reverse=True)
    return tuple(TreeYear(year_label(year, fitted.prior), tuple(by_year[year])) for year in newest_first)


def _outcome(look: SpotLook) -> str:
    if look.found is None:
        return "only remains" if look.remains else "doubtful"
    return "found" if look.found else "not seen"


def _site_row(
    spots: Sequence[Spot],
    number: int,
    chances: Chances,
    looks: Sequence[SpotLook],
    passed_over: Collection[int | None],
) -> FruitingRow:
    best = likeliest(spots, number, chances.chance, passed_over)
    return _row(spots[number], chances, best, looks, at=spots[best].tag)


def _looks_at(looks: Iterable[SpotLook], spot: Spot) -> list[SpotLook]:
    """Give the looks made at a tree; a tree's site may since be another."""
    return [look for look in looks if look.tree_id == spot.tree_id and not look.effort_assumed]


def _row(spot: Spot, chances: Chances, number: int, looks: Sequence[SpotLook], at: str = "") -> FruitingRow:
    made = [look.local_date for look in looks if look.local_date is not None and look.found is not None]
    found = [look.local_date for look in looks if look.local_date is not None and look.found]
    weeks, with_find = Counter(map(_week_of, made)), Counter(map(_week_of, found))
    return FruitingRow(
        spot,
        tuple(
            FruitingWeek(week, chance_of(chances, (number, week - 1)), weeks[week], with_find[week])
            for week in ISO_WEEKS
        ),
        len(made),
        len(found),
        max(made, default=None),
        max(found, default=None),
        at,
    )


@cache
def _week_of(date: datetime.date) -> int:
    return date.isocalendar().week


def chance_of(chances: Chances, at: tuple[int, ...]) -> Chance:
    """Pick one chance with its interval."""
    return Chance(
        float(chances.chance[at]),
        float(chances.low[at]),
        float(chances.high[at]),
        bool(chances.mostly_from_books[at]),
    )
