"""Loads what a book knows that bears on the sites of a day."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from sitebook import vocabulary
from sitebook.analysis.foray.value import Wanted
from sitebook.analysis.season.looks import CERTAIN_QUALIFIERS, accepted_names
from sitebook.records.find import Find, FindHost
from sitebook.records.foray import TaxonWeight
from sitebook.records.outing import Visit
from sitebook.records.photo import Photo, PhotoLink
from sitebook.records.results.day_plan import LookAlikeLine
from sitebook.records.results.review import PlaceReview
from sitebook.records.site import Permission
from sitebook.records.taxon import LookAlike, TaxonTrait
from sitebook.store import photo_rows, rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work import contamination
from sitebook.work.answer import Progress, silent
from sitebook.work.closures import REST, Closures, closures, holds
from sitebook.work.dangers import Dangers, dangers_of
from sitebook.work.day_limits import Limit, limits_of, taken_by_site
from sitebook.work.opening import owner
from sitebook.work.permission_words import permission_words, permissions_by_site
from sitebook.work.seasons import Seasons

PROTECTION = "legal protection"
"""Trait by which a taxon is told to be protected by law somewhere."""
BY_WEIGHTS = "Finds count by your weights; a taxon without one that you took before counts 1."
NO_WEIGHTS = "No weights are set: a taxon that you took before counts 1 (`sitebook add taxon_weight`)."
NOTHING_TAKEN = "No weights are set and nothing was noted as taken: every taxon found before counts 1."
NO_POISON = "A name with a poisoning class noted counts nothing unless you gave it a weight."


@dataclass(frozen=True)
class DayKnown:
    """What a book knows that bears on the sites of a day.

    Parameters
    ----------
    seasons
        Seasons of every taxon.
    ruled_out
        What the day rules out.
    reviews
        Contamination review of each site, by its id.
    permission_said
        What is allowed at a site, one line each, by its id.
    permissions
        Permissions that are valid on the day, by the site's id.
    limits
        Limits of each permission held against what was taken, by the permission's id.
    dangers
        Poisoning classes.
    protected
        Why a taxon is not to be gathered, by its id.
    look_alikes
        What a taxon may be mistaken for, by its id.
    wanted
        What a worthwhile find of a taxon is, by its id.
    wanted_said
        Where that comes from.
    counts
        Fruit bodies of each counted find of a taxon, by its id.
    pictures
        SHA-256 of the photos of a tree and of finds at it, newest first, by the tree's id.
    """

    seasons: Seasons
    ruled_out: Closures
    reviews: Mapping[int, PlaceReview]
    permission_said: Mapping[int, tuple[str, ...]]
    permissions: Mapping[int, tuple[Permission, ...]]
    limits: Mapping[int, tuple[Limit, ...]]
    dangers: Dangers
    protected: Mapping[int, str]
    look_alikes: Mapping[int, tuple[LookAlikeLine, ...]]
    wanted: Mapping[int, Wanted]
    wanted_said: tuple[str, ...]
    counts: Mapping[int, tuple[int, ...]]
    pictures: Mapping[int, tuple[str, ...]]

    def limits_at(self, site_id: int) -> list[Limit]:
        """Give the limits that hold at a site on the day."""
        return [
            limit for one in self.permissions.get(site_id, ()) for limit in self.limits.get(one.id or 0, ())
        ]


def day_known(
    book: Book,
    seasons: Seasons,
    *,
    on: datetime.date,
    sites: Collection[int] | None = None,
    progress: Progress = silent,
) -> DayKnown:
    """Load what bears on the sites of a day.

    Parameters
    ----------
    book, seasons
        The book, and the seasons of all its taxa.
    on
        The day.
    sites
        Ids of the only sites whose contamination is reviewed; None: all that do not rest on the day.
    progress
        Hears how far it is.
    """
    dangers = dangers_of(book)
    by_site = permissions_by_site(book)
    protected = _protected(book, dangers)
    finds = _finds_before(book, on)
    accepted = accepted_names(dangers.taxa.values())
    named = _taxon_of_find(book, accepted)
    weights = {accepted.get(key, key): one for key, one in _weights(book).items()}
    wanted, said = _wanted(seasons, dangers, weights, _taken(finds, named))
    wanted = {key: one for key, one in wanted.items() if key not in protected}
    ruled_out = closures(book, on)
    wanted_sites = [
        key for key in seasons.sites if ruled_out.rules.get(key) != REST and (sites is None or key in sites)
    ]
    return DayKnown(
        seasons,
        ruled_out,
        contamination.reviews_by_site(book, today=on, only=wanted_sites, progress=progress),
        permission_words(book),
        {key: tuple(p for p in own if holds(p, on)) for key, own in by_site.items()},
        _limits(book, by_site, on),
        dangers,
        protected,
        _look_alikes(book, dangers),
        wanted,
        said,
        _counts(finds, named),
        _pictures(book, finds),
    )


def _taxon_of_find(book: Book, accepted: Mapping[int, int]) -> dict[int, int]:
    """Give the taxon of each find that has a name without doubt, synonyms under the name they stand for."""
    return {
        one.find_id: accepted.get(one.taxon_id, one.taxon_id)
        for one in standing_determinations(book)
        if one.taxon_id is not None and one.qualifier in CERTAIN_QUALIFIERS
    }


def _finds_before(book: Book, on: datetime.date) -> dict[int, Find]:
    """Give the finds that are not known to be of the day or later."""
    days = {visit.id: visit.local_date for visit in rows.records(book, Visit)}
    dated = [(find, find.found_on or days.get(find.visit_id)) for find in rows.records(book, Find)]
    return {find.id or 0: find for find, day in dated if day is None or day < on}


def _taken(finds: Mapping[int, Find], named: Mapping[int, int]) -> set[int]:
    took = {key for key, find in finds.items() if find.taken_count or find.fresh_mass_g}
    return {taxon_id for key, taxon_id in named.items() if key in took}


def _counts(finds: Mapping[int, Find], named: Mapping[int, int]) -> dict[int, tuple[int, ...]]:
    counts: dict[int, list[int]] = defaultdict(list)
    for key, taxon_id in named.items():
        find = finds.get(key)
        if find is not None and find.individual_count and find.count_of == "bodies":
            counts[taxon_id].append(find.individual_count)
    return {taxon_id: tuple(own) for taxon_id, own in counts.items()}


def _weights(book: Book) -> dict[int, Wanted]:
    """Give the owner's weights."""
    owner_id = owner(book).id
    return {
        one.taxon_id: Wanted(one.weight, one.fewest_bodies or 1)
        for one in rows.records(book, TaxonWeight)
        if one.person_id == owner_id
    }


def _wanted(
    seasons: Seasons, dangers: Dangers, weights: Mapping[int, Wanted], taken: set[int]
) -> tuple[dict[int, Wanted], tuple[str, ...]]:
    """Give what a find of each taxon is worth: the weights set, else 1 for what was taken before."""
    fitted = {one.taxon_id for one in seasons.fitted}
    counted = taken & fitted or (set() if weights else fitted)
    wanted = {key: Wanted(1.0) for key in counted if not dangers.of(key)} | dict(weights)
    said = BY_WEIGHTS if weights else NO_WEIGHTS if taken else NOTHING_TAKEN
    return wanted, (said, NO_POISON)


def _protected(book: Book, dangers: Dangers) -> dict[int, str]:
    """Say of each taxon what is noted of it, the name it stands for or its genus as protected by law."""
    table = rows.table_for(TaxonTrait)
    noted: dict[int, str] = {}
    for row in rows.records(book, TaxonTrait, table.c.trait == PROTECTION):
        where = f", {row.qualifier}" if row.qualifier else ""
        noted[row.taxon_id] = f"legal protection noted: {row.value_text}{where} ({row.mark})"
    found = {key: noted.get(dangers.at(key, noted) or 0, "") for key in dangers.taxa}
    return {key: words for key, words in found.items() if words}


def _look_alikes(book: Book, dangers: Dangers) -> dict[int, tuple[LookAlikeLine, ...]]:
    """Give what each taxon may be mistaken for, noted at any of its names, the most dangerous first."""
    found: dict[int, list[LookAlikeLine]] = defaultdict(list)
    for row in rows.records(book, LookAlike):
        other = dangers.taxa.get(row.other_id)
        if other is not None:
            line = LookAlikeLine(
                other.scientific_name, row.danger or "", row.excluding_character or "", row.mark
            )
            found[row.taxon_id].append(line)
    order = (*vocabulary.DANGER.all, "")
    by_name = {
        key: dict.fromkeys(line for name in dangers.names_of(key) for line in found.get(name, ()))
        for key in dangers.taxa
    }
    return {
        key: tuple(sorted(own, key=lambda line: (order.index(line.danger), line.name)))
        for key, own in by_name.items()
        if own
    }


def _limits(
    book: Book, by_site: Mapping[int, Sequence[Permission]], on: datetime.date
) -> dict[int, tuple[Limit, ...]]:
    taken, owner_id = taken_by_site(book), owner(book).id or 0
    sites: dict[int, list[int]] = defaultdict(list)
    permissions: dict[int, Permission] = {}
    for site_id, own in by_site.items():
        for permission in own:
            sites[permission.id or 0].append(site_id)
            permissions[permission.id or 0] = permission
    return {
        key: tuple(limits_of(one, [t for s in sites[key] for t in taken.get(s, ())], on, owner_id))
        for key, one in permissions.items()
        if holds(one, on)
    }


def _pictures(book: Book, finds: Collection[int]) -> dict[int, tuple[str, ...]]:
    """Give the photos of trees, and of finds at them, newest first."""
    shown: dict[int, set[int]] = defaultdict(set)
    trees_of: dict[int, set[int]] = defaultdict(set)
    for host in rows.records(book, FindHost):
        if host.host_tree_id is not None:
            trees_of[host.find_id].add(host.host_tree_id)
    for link in rows.records(book, PhotoLink):
        if link.find_id is not None and link.find_id not in finds:
            continue
        for tree_id in {link.host_tree_id, *trees_of.get(link.find_id or 0, ())} - {None}:
            shown[tree_id or 0].add(link.photo_id)
    photos = list(reversed(photo_rows.in_order(rows.records(book, Photo))))
    return {
        tree_id: tuple(photo.sha256 for photo in photos if photo.id in own) for tree_id, own in shown.items()
    }
