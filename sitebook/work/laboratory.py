"""Gathers what laboratories found at a place, and what is written of the taxa found there."""

from __future__ import annotations

import dataclasses
import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely

from sitebook.analysis.contamination.laboratory import eaters_of, readings
from sitebook.analysis.contamination.species import species_review
from sitebook.ground.outline import ground_of
from sitebook.records.find import Determination, Find, FindHost
from sitebook.records.host_tree import HostTree
from sitebook.records.lab_test import LabTest
from sitebook.records.outing import Visit
from sitebook.records.results.review import PlaceReview
from sitebook.records.results.species import SpeciesReview
from sitebook.records.settings import Settings
from sitebook.records.site import Site
from sitebook.records.taxon import Taxon
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.store.names import standing_determinations
from sitebook.work.asking import find_label
from sitebook.work.bring_in.names import Names, names_in
from sitebook.work.known_ground import OneTest
from sitebook.work.settings import settings_of

ON_WOOD = {"living wood": False, "dead wood": False, "buried wood": None, "wood chip": False,
           "imported chip": True, "treated wood": True}  # fmt: skip
"""Substrates that are wood, and whether the wood is treated or came from elsewhere; None: not known."""


ROAD = "road"
"""Kind of source that carries motor traffic today."""


@dataclass(frozen=True)
class Shelf:
    """What the book holds of tests and names, each part loaded once, when it is first asked for.

    Parameters
    ----------
    book
        The book.
    tests
        Every laboratory test with its results.
    """

    book: Book
    tests: tuple[OneTest, ...]

    @cached_property
    def finds(self) -> dict[int, Find]:
        """Finds by their id."""
        return {find.id or 0: find for find in rows.records(self.book, Find)}

    @cached_property
    def visits(self) -> dict[int, Visit]:
        """Visits by their id."""
        return {visit.id or 0: visit for visit in rows.records(self.book, Visit)}

    @cached_property
    def trees(self) -> dict[int, HostTree]:
        """Host trees by their id."""
        return {tree.id or 0: tree for tree in rows.records(self.book, HostTree)}

    @cached_property
    def taxa(self) -> dict[int, Taxon]:
        """Taxa by their id."""
        return {taxon.id or 0: taxon for taxon in rows.records(self.book, Taxon)}

    @cached_property
    def finds_at(self) -> dict[int | None, list[Find]]:
        """Finds by the site they were made at; those of no site stand under None."""
        found: dict[int | None, list[Find]] = defaultdict(list)
        for find in self.finds.values():
            found[self.site_of(find)].append(find)
        return found

    @cached_property
    def named(self) -> dict[int, Determination]:
        """The standing determination of each find."""
        return {named.find_id: named for named in standing_determinations(self.book)}

    @cached_property
    def names(self) -> Names:
        """How records are called."""
        return names_in(self.book)

    @cached_property
    def settings(self) -> Settings:
        """The settings in force, which say whose soil values hold and whose intakes are counted."""
        return settings_of(self.book)

    def site_of(self, find: Find) -> int | None:
        """Give the site a find was made at by its visit, None where it belongs to none."""
        visit = self.visits.get(find.visit_id or 0)
        return visit.site_id if visit is not None else None

    def taxon_name_of(self, find_id: int | None) -> str:
        """Give the scientific name that stands for a find; "" where it has none."""
        named = self.named.get(find_id or 0) if find_id is not None else None
        taxon = self.taxa.get(named.taxon_id or 0) if named is not None else None
        return taxon.scientific_name if taxon is not None else ""


def of_site(shelf: Shelf, review: PlaceReview, site_id: int) -> PlaceReview:
    """Add to the review of a site its tests, those of its trees and finds, and the taxa found there."""
    finds = shelf.finds_at.get(site_id, [])
    ids = {find.id for find in finds}
    trees = {tree.id for tree in shelf.trees.values() if tree.site_id == site_id}
    tests = [
        pair
        for pair in shelf.tests
        if pair[0].site_id == site_id or pair[0].find_id in ids or pair[0].host_tree_id in trees
    ]
    names = sorted({name for find in finds if (name := shelf.taxon_name_of(find.id))})
    edge_m = road_edge_m(review)
    species = tuple(species_review(name, road_edge_m=edge_m) for name in names)
    return _with(shelf, review, tests, species)


def of_find(shelf: Shelf, review: PlaceReview, find: Find) -> PlaceReview:
    """Add to the review of a find its own tests, those of its trees and site, and its taxon."""
    hosts = rows.table_for(FindHost).c.find_id
    trees = {host.host_tree_id for host in rows.records(shelf.book, FindHost, hosts == find.id)} - {None}
    site_id = shelf.site_of(find)
    tests = [
        pair
        for pair in shelf.tests
        if pair[0].find_id == find.id
        or pair[0].host_tree_id in trees
        or (pair[0].site_id is not None and pair[0].site_id == site_id)
    ]
    name = shelf.taxon_name_of(find.id)
    species = (_species_of(find, name, road_edge_m(review)),) if name else ()
    return _with(shelf, review, tests, species)


def of_position(shelf: Shelf, review: PlaceReview, lon: float, lat: float) -> PlaceReview:
    """Add to the review of a position the tests of every site whose ground holds it."""
    spot, tested = shapely.Point(lon, lat), {test.site_id for test, _ in shelf.tests} - {None}
    known = rows.records(shelf.book, Site, rows.table_for(Site).c.id.in_(tested)) if tested else []
    sites = {site.id for site in known if ground_of(site).covers(spot)}
    return _with(shelf, review, [pair for pair in shelf.tests if pair[0].site_id in sites], ())


def road_edge_m(review: PlaceReview) -> float | None:
    """Give the distance to the edge of the nearest motor road, None where roads are not known [m]."""
    if review.traffic_index is None:
        return None
    return min((source.edge_m for source in review.sources if source.kind == ROAD), default=math.inf)


def _species_of(find: Find, name: str, edge_m: float | None) -> SpeciesReview:
    on_wood = None if find.substrate is None else find.substrate in ON_WOOD
    treated = ON_WOOD.get(find.substrate or "")
    return species_review(name, grows_on_wood=on_wood, road_edge_m=edge_m, treated_or_imported=treated)


def _with(
    shelf: Shelf, review: PlaceReview, tests: Sequence[OneTest], species: tuple[SpeciesReview, ...]
) -> PlaceReview:
    found = readings(
        tests,
        authority=shelf.settings.soil_authority,
        eaters=eaters_of(shelf.settings),
        of_what={test.id or 0: _of_what(shelf, test) for test in _alone(tests)},
        taxon_names={test.id or 0: shelf.taxon_name_of(test.find_id) for test in _alone(tests)},
    )
    return dataclasses.replace(review, tests=found, species=species)


def _alone(tests: Iterable[OneTest]) -> list[LabTest]:
    return [test for test, _ in tests]


def _of_what(shelf: Shelf, test: LabTest) -> str:
    """Say what a test is of."""
    if test.find_id is not None and test.find_id in shelf.finds:
        name = shelf.taxon_name_of(test.find_id)
        label = find_label(shelf.finds[test.find_id], shelf.names)
        return f"find {label}{f' ({name})' if name else ''}"
    if test.host_tree_id is not None and test.host_tree_id in shelf.trees:
        return f"tree {shelf.trees[test.host_tree_id].tag}"
    return "the site"
