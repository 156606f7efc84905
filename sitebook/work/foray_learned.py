"""Says what the looks of one day moved in the season model, at the spots that were looked at."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import replace

from sitebook.analysis.season import model
from sitebook.analysis.season.spot_looks import SpotLook
from sitebook.analysis.season.spots import Fitted, made_looks, on_days
from sitebook.citations import Cited
from sitebook.records.results.day_plan import Learned
from sitebook.work.dangers import Dangers
from sitebook.work.seasons import Seasons

TOLD = Cited(12.0, "rows", "ours", "our choice")
"""Rows told at most; those that moved least are left away."""
MOVED_FROM = Cited(0.005, "1", "ours", "our choice")
"""A chance that moved less than this is not told."""


def learned_on(
    seasons: Seasons, on: datetime.date, sites: frozenset[int], dangers: Dangers
) -> tuple[Learned, ...]:
    """Compare the chance of the day without and with its looks, at each spot where they were made.

    Both are the chance of at least one find in a look of 30 minutes on that day, in the way the book uses
    for the taxon; one fit leaves out the looks of that day at these sites, the other has everything the
    book holds.

    Parameters
    ----------
    seasons
        What was loaded and fitted.
    on
        Local date.
    sites
        Sites that were visited.
    dangers
        What is noted of poison.
    """
    found = [
        replace(one, poisoning=dangers.words(fitted.taxon_id))
        for fitted in seasons.fitted
        for one in _of_taxon(seasons, fitted, on, sites)
    ]
    moved = [one for one in found if abs(one.after - one.before) >= MOVED_FROM.value]
    moved.sort(key=lambda one: (-abs(one.after - one.before), one.taxon_name, one.spot.where))
    return tuple(moved[: round(TOLD.value)])


def _of_taxon(
    seasons: Seasons, fitted: Fitted, on: datetime.date, sites: frozenset[int]
) -> Iterator[Learned]:
    fresh = [look for look in fitted.looks if look.local_date == on and look.site_id in sites]
    spots = {(look.site_id, look.tree_id): look for look in fresh if look.found is not None}
    where = [seasons.spots[key] for key in sorted(spots, key=str) if key in seasons.spots]
    if not where:
        return
    days = [on]
    before = on_days(_without(seasons, fitted, fresh), where, days, seasons.weather_of).chance[:, 0]
    after = on_days(fitted, where, days, seasons.weather_of).chance[:, 0]
    for number, spot in enumerate(where):
        first, last = float(before[number]), float(after[number])
        look = spots[spot.site_id, spot.tree_id]
        said = _said(fitted.taxon_name, spot.where, (first, last), is_found=bool(look.found))
        yield Learned(fitted.taxon_name, spot, first, last, said)


def _without(seasons: Seasons, fitted: Fitted, fresh: list[SpotLook]) -> Fitted:
    """Fit a taxon again as if some looks had not been made; its way stays."""
    left_away = {id(look) for look in fresh}
    looks = tuple(look for look in fitted.looks if id(look) not in left_away)
    made = made_looks(looks, seasons.spots, fitted.prior, seasons.weather_of)
    return replace(fitted, looks=looks, made=made, fit=model.fit(made, fitted.prior))


def _said(taxon: str, where: str, chances: tuple[float, float], *, is_found: bool) -> str:
    before, after = (f"{100.0 * chance:.0f}" for chance in chances)
    seen = "it was found" if is_found else "it was not seen"
    if before == after:
        return f"{taxon}, {where}: {seen}; still {after} of 100 looks."
    return f"{taxon}, {where}: {seen}; {before} of 100 looks before, {after} now."
