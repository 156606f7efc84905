"""Loads what seasons rest on and fits each taxon, once for every question about a book."""

from __future__ import annotations

import datetime
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from sitebook.analysis.season import book_months, lasting, spots
from sitebook.analysis.season.design import WEATHER
from sitebook.analysis.season.held_out import Way, book_words
from sitebook.analysis.season.looks import accepted_names
from sitebook.analysis.season.prior import SeasonPrior, season_prior
from sitebook.analysis.season.spot_looks import FindDay, SpotLook, SpotLooks, gather
from sitebook.analysis.season.spots import Fitted, WeatherSeen
from sitebook.analysis.season.wood import grows_on_wood
from sitebook.analysis.weather.station_weather import weather_on
from sitebook.records.find import Find, FindHost
from sitebook.records.host_tree import HostTree
from sitebook.records.outing import Look, Visit
from sitebook.records.results.fruiting import Spot
from sitebook.records.site import Site
from sitebook.records.taxon import Taxon, TaxonTrait
from sitebook.records.weather import WeatherDay
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.answer import Progress, silent
from sitebook.work.felled import down_words, may_lie
from sitebook.work.kept_seasons import Shelf
from sitebook.work.stations import SiteWeather, stations_of, weather_of_sites

Key = tuple[int | None, int | None]
"""Site and tree of a spot, by their ids."""


@dataclass(frozen=True)
class Lasting:
    """A taxon whose fruit bodies stand for years, with its looks."""

    taxon_id: int
    taxon_name: str
    looks: tuple[SpotLook, ...]


@dataclass(frozen=True)
class Seasons:
    """Everything the season questions of a book rest on.

    Parameters
    ----------
    fitted
        Taxa with a season, by name; a taxon on both sides of the equator twice.
    lasting
        Taxa whose fruit bodies stand for years, by name.
    spots
        Every site, and every tree that stands, by site and tree.
    finds
        Dated finds with a certain name, by taxon.
    weather
        Weather by site.
    sites
        Sites by id.
    trees
        Trees by id.
    held_out_said
        How the chances of these taxa did in the years held out; "" where none could be.
    names
        Names of each taxon, the accepted one first and synonyms behind it.
    """

    fitted: tuple[Fitted, ...]
    lasting: tuple[Lasting, ...]
    spots: Mapping[Key, Spot]
    finds: Mapping[int, tuple[FindDay, ...]]
    weather: Mapping[int, SiteWeather]
    sites: Mapping[int, Site]
    trees: Mapping[int, HostTree]
    held_out_said: str = ""
    names: Mapping[int, tuple[str, ...]] = field(default_factory=dict)

    def on_wood(self, taxon_id: int) -> bool:
        """Tell whether a taxon is known to grow on wood, so that a fallen tree is a place for it."""
        return grows_on_wood(self.names.get(taxon_id, ()))

    def gone_for(self, taxon_id: int) -> frozenset[int]:
        """Give the trees that are no place for a taxon any more, as they were felled or fell."""
        on_wood = self.on_wood(taxon_id)
        down = {key: tree for key, tree in self.trees.items() if down_words(tree)}
        return frozenset(key for key, tree in down.items() if not (on_wood and may_lie(tree)))

    def weather_of(self, site_id: int | None, dates: Sequence[datetime.date]) -> WeatherSeen:
        """Give the anomalies of a site on some dates (k, 3), and the days from known weather to each (k,)."""
        return _weather_of(self.weather, site_id, dates)

    def spots_of(self, taxon: Fitted | Lasting) -> list[Spot]:
        """Give the sites and trees where a taxon was found, or looked for by its name, sites first."""
        return spots_with(taxon.looks, self.finds_of(taxon), self.spots, self.is_there(taxon))

    def finds_of(self, taxon: Fitted | Lasting) -> tuple[FindDay, ...]:
        """Give the dated finds of a taxon, those at sites on the other side of the equator left away."""
        there = self.is_there(taxon)
        return tuple(f for f in self.finds.get(taxon.taxon_id, ()) if f.site_id is None or f.site_id in there)

    def is_there(self, taxon: Fitted | Lasting) -> frozenset[int]:
        """Give the sites on the side of the equator that a taxon's answer is for."""
        southern = isinstance(taxon, Fitted) and taxon.southern
        either = isinstance(taxon, Lasting)
        return frozenset(key for key, site in self.sites.items() if either or is_southern(site) == southern)


def is_southern(site: Site) -> bool:
    """Tell whether a site lies south of the equator."""
    return bool(site.geom.centroid.y < 0.0)


def spots_with(
    looks: Iterable[SpotLook], finds: Iterable[FindDay], known: Mapping[Key, Spot], sites: frozenset[int]
) -> list[Spot]:
    """Give the spots where a taxon was found, or looked for by its name, sites first."""
    keys: set[Key] = {(f.site_id, f.tree_id) for f in finds} | {(f.site_id, None) for f in finds}
    named = {(k.site_id, k.tree_id) for k in looks if k.names_taxon or k.found}
    keys |= named | {(site_id, None) for site_id, _ in named}
    there = [known[key] for key in keys if key in known and (key[0] is None or key[0] in sites)]
    return sorted(there, key=lambda s: (s.tree_id is not None, s.site_name.casefold(), s.tag.casefold()))


def seasons_of(
    book: Book,
    *,
    taxon_id: int | None = None,
    day: datetime.date | None = None,
    now: datetime.datetime | None = None,
    progress: Progress = silent,
) -> Seasons:
    """Load what seasons rest on, and fit every taxon, or one.

    Parameters
    ----------
    book
        The book.
    taxon_id
        The one taxon wanted; None for all.
    day
        Last day of which anything is known: looks, finds and weather after it are left out, as for
        somebody who asks on that day. None for all that the book holds.
    now
        Instant noted for fits that are kept for the next question, UTC; None to keep none.
    progress
        Hears how far it is.
    """
    sites = {site.id or 0: site for site in rows.records(book, Site)}
    taxa = {taxon.id or 0: taxon for taxon in rows.records(book, Taxon)}
    trees = {tree.id or 0: tree for tree in rows.records(book, HostTree)}
    gathered, is_cut = _gathered(book, taxa, day)
    weather = weather_of_sites(book, stations=stations_of(book, to=day))
    known, names = all_spots(sites, trees, taxa), _names(taxa)
    seasons = Seasons((), (), known, gathered.finds, weather, sites, trees, names=names)
    wanted = [key for key, own in gathered.looks.items() if own and taxon_id in (None, key) and key in taxa]
    wanted.sort(key=lambda key: (taxa[key].scientific_name.casefold(), key))
    parted = {is_long: [key for key in wanted if _lasts(names[key]) == is_long] for is_long in (True, False)}
    standing = (Lasting(key, taxa[key].scientific_name, gathered.looks[key]) for key in parted[True])
    shelf = Shelf(book, now, is_of_past_day=is_cut or _weather_goes_on(book, day))
    months = book_months.by_taxon(parted[False], taxa, rows.records(book, TaxonTrait))
    fitted: list[tuple[Fitted, Way]] = []
    for done, key in enumerate(parted[False]):
        progress("fitting seasons", done, len(parted[False]))
        for southern, own in _by_side(gathered.looks[key], sites):
            prior = season_prior(months[key], southern=southern)
            from_memory = bool(months[key]) and all(span.from_memory for span in months[key])
            about = (key, taxa[key].scientific_name, southern, from_memory)
            fitted.append(_fitted(seasons, about, prior, own, shelf))
    shelf.close()
    progress("fitting seasons", len(parted[False]), len(parted[False]))
    said = book_words(way for _, way in fitted)
    return replace(
        seasons, fitted=tuple(one for one, _ in fitted), lasting=tuple(standing), held_out_said=said
    )


def _names(taxa: Mapping[int, Taxon]) -> dict[int, tuple[str, ...]]:
    """Give the names of each taxon that is no synonym, its own first."""
    found = {key: [taxon.scientific_name] for key, taxon in taxa.items()}
    for key, stands_for in accepted_names(taxa.values()).items():
        if stands_for != key and stands_for in found:
            found[stands_for].append(taxa[key].scientific_name)
    return {key: tuple(names) for key, names in found.items()}


def _lasts(names: tuple[str, ...]) -> bool:
    return lasting.is_lasting(*names)


def all_spots(
    sites: Mapping[int, Site], trees: Mapping[int, HostTree], taxa: Mapping[int, Taxon]
) -> dict[Key, Spot]:
    """Give every site and every tree as a spot, by site and tree."""
    known: dict[Key, Spot] = {}
    for site_id, site in sites.items():
        known[site_id, None] = Spot(site_id, None, site.name, irrigated=site.irrigated)
    for tree_id, tree in trees.items():
        at = sites.get(tree.site_id or 0)
        host = taxa.get(tree.taxon_id or 0)
        known[tree.site_id, tree_id] = Spot(
            tree.site_id,
            tree_id,
            at.name if at else "",
            tree.tag,
            tree.taxon_id,
            host.scientific_name if host else "",
            at.irrigated if at else None,
            down_words(tree),
        )
    return known


def _gathered(book: Book, taxa: Mapping[int, Taxon], day: datetime.date | None) -> tuple[SpotLooks, bool]:
    """Gather looks and finds to a day, and tell whether any later ones were left out."""
    every, finds = rows.records(book, Visit), rows.records(book, Find)
    visits = [visit for visit in every if _is_known(day, visit.local_date, visit.local_date_end)]
    later = {visit.id for visit in every} - {visit.id for visit in visits}
    known = [
        find
        for find in finds
        if find.visit_id not in later and _is_known(day, find.found_on, find.found_on_end)
    ]
    looks = [look for look in rows.records(book, Look) if look.visit_id not in later]
    gathered = gather(
        visits,
        looks,
        finds=known,
        hosts=rows.records(book, FindHost),
        standing_names=standing_determinations(book),
        taxa=taxa.values(),
    )
    return gathered, bool(later) or len(known) < len(finds)


def _is_known(day: datetime.date | None, first: datetime.date | None, last: datetime.date | None) -> bool:
    """Tell whether something is known on a day: what has no date is, what may lie after it is not."""
    dates = [date for date in (first, last) if date is not None]
    return day is None or not dates or max(dates) <= day


def _weather_goes_on(book: Book, day: datetime.date | None) -> bool:
    table = rows.table_for(WeatherDay)
    return day is not None and bool(rows.records(book, WeatherDay, table.c.local_date > day))


def _by_side(looks: Sequence[SpotLook], sites: Mapping[int, Site]) -> list[tuple[bool, tuple[SpotLook, ...]]]:
    """Part looks by the side of the equator; those at no site go with most of the sites."""
    sides = {key: is_southern(site) for key, site in sites.items()}
    mostly = Counter(sides.values()).most_common(1)[0][0] if sides else False
    parted: dict[bool, list[SpotLook]] = defaultdict(list)
    for look in looks:
        parted[sides.get(look.site_id or 0, mostly)].append(look)
    return [(southern, tuple(parted[southern])) for southern in sorted(parted)]


def _fitted(
    seasons: Seasons,
    about: tuple[int, str, bool, bool],
    prior: SeasonPrior,
    looks: tuple[SpotLook, ...],
    shelf: Shelf,
) -> tuple[Fitted, Way]:
    """Fit one taxon, and settle which way is used for it."""
    made = spots.made_looks(looks, seasons.spots, prior, seasons.weather_of)
    taxon_id, _, southern, _ = about
    kept = shelf.fit(f"{taxon_id}{' south' if southern else ''}", made, prior)
    fitted = Fitted(*about, prior, looks, made, kept.fit, kept.way.name, kept.way.said)
    return fitted, kept.way


def _weather_of(
    weather: Mapping[int, SiteWeather], site_id: int | None, dates: Sequence[datetime.date]
) -> WeatherSeen:
    known = weather.get(site_id or 0)
    station = known.weather if known else None
    if station is None:
        return np.full((len(dates), len(WEATHER)), np.nan), np.zeros(len(dates), np.int64)
    return weather_on(station, dates)
