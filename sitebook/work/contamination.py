"""Answers what is known of the sources of pollution round a place."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Callable, Collection, Sequence

import numpy as np
import shapely

from sitebook import errors
from sitebook.analysis.contamination.ground_questions import questions_for_manager
from sitebook.analysis.contamination.place import Place, TreeAt
from sitebook.analysis.contamination.review import review_place
from sitebook.analysis.contamination.sampling import sampling_plan
from sitebook.ground.projection import refuse_impossible
from sitebook.ground.sampling import points_of
from sitebook.pages.contamination import draw_review
from sitebook.pages.contamination_all import draw_all
from sitebook.records.find import Find
from sitebook.records.host_tree import HostTree
from sitebook.records.map_data import Extract
from sitebook.records.outing import Visit
from sitebook.records.results.review import PlaceReview, Question
from sitebook.records.site import Site
from sitebook.records.taxon import Taxon
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work import laboratory
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.asking import find_label
from sitebook.work.bring_in.names import names_in
from sitebook.work.known_ground import Ground, ground_of
from sitebook.work.naming import pick
from sitebook.work.opening import book_row
from sitebook.work.settings import settings_of

Fill = Callable[[laboratory.Shelf, PlaceReview], PlaceReview]
"""Adds tests and species to a review."""

GROWS_ON = {"treated wood": "treated timber"}
"""Substrates of a find that are a kind of source with a rule of its own."""

ASKED_OF_SUBSTRATE = {
    "imported chip": Question(
        "where the chip or mulch came from, and whether it was treated", "whoever laid it"
    ),
    "made ground": Question("what the made ground it grew on is made of", "the town or parish archive"),
}

ASKED_OF_VISIT = Question("how far from the place of the visit it stood", "whoever found it")


def review_at(
    book: Book,
    lon: float,
    lat: float,
    *,
    today: datetime.date,
    uncertainty_m: float | None = None,
    with_page: bool = False,
) -> Answer[PlaceReview]:
    """Review one position.

    Raises
    ------
    PositionImpossible
        When it is not on the globe.
    """
    refuse_impossible(lon, lat)
    name, point = f"{lon:.5f},{lat:.5f}", shapely.Point(lon, lat)
    asks = _turned_round(book, lon, lat)
    place = Place(name, np.array([[lon, lat]]), point, uncertainty_m=uncertainty_m, asks=asks)
    return _answered(
        book,
        place,
        today,
        lambda shelf, found: laboratory.of_position(shelf, found, lon, lat),
        with_page=with_page,
    )


def _turned_round(book: Book, lon: float, lat: float) -> tuple[Question, ...]:
    """Ask about a position that lies on no map, where one with its numbers changed over does."""
    covered = [extract.geom for extract in rows.records(book, Extract)]
    here, there = shapely.Point(lon, lat), shapely.Point(lat, lon)
    if any(ground.covers(here) for ground in covered) or not any(g.covers(there) for g in covered):
        return ()
    said = "whether longitude and latitude stand in this order: changed over, the position lies on the map"
    return (Question(said, f"say --at {lat:g},{lon:g}"),)


def review_site(
    book: Book, name: str, *, today: datetime.date, with_page: bool = False
) -> Answer[PlaceReview]:
    """Review one site: the worst point of its outline and of its trees stands.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When none, or several, bear the name.
    """
    key = pick(book, "site", name)
    (site,) = rows.records(book, Site, rows.table_for(Site).c.id == key)
    place = _place_of(site, rows.records(book, HostTree), _tree_kinds(book))
    return _answered(
        book, place, today, lambda shelf, found: laboratory.of_site(shelf, found, key), with_page=with_page
    )


def review_find(
    book: Book, label: str, *, today: datetime.date, with_page: bool = False
) -> Answer[PlaceReview]:
    """Review where one find was made, within the uncertainty of its position.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When none, or several, bear the label.
    NothingToShow
        When neither the find nor its visit says where it was.
    """
    key = pick(book, "find", label)
    (find,) = rows.records(book, Find, rows.table_for(Find).c.id == key)
    place = _place_of_find(book, find)
    return _answered(
        book, place, today, lambda shelf, found: laboratory.of_find(shelf, found, find), with_page=with_page
    )


def review_all(
    book: Book, *, today: datetime.date, with_page: bool = False, progress: Progress = silent
) -> Answer[tuple[PlaceReview, ...]]:
    """Review every site, by name.

    Raises
    ------
    NothingToShow
        When the book holds no site.
    """
    reviews = reviews_by_site(book, today=today, with_drawings=with_page, progress=progress)
    if not reviews:
        raise errors.NothingToShow(
            "the book holds no site yet",
            where=str(book.path),
            remedy="Say `sitebook add site` or `sitebook import`, or ask for a position with --at LON,LAT.",
        )
    ordered = tuple(sorted(reviews.values(), key=lambda review: review.name.casefold()))
    return Answer(ordered, page_of_all(book, ordered, today=today) if with_page else None)


def page_of_all(book: Book, reviews: Sequence[PlaceReview], *, today: datetime.date) -> str:
    """Draw the page of the reviews of all sites."""
    title = f"Contamination review: {book_row(book).title}"
    return draw_all(reviews, title=title, today=today, poison_centre=settings_of(book).poison_centre)


def reviews_by_site(
    book: Book,
    *,
    today: datetime.date,
    only: Collection[int] | None = None,
    with_drawings: bool = False,
    progress: Progress = silent,
) -> dict[int, PlaceReview]:
    """Give the review of each site by its id; of all, or only of those named by their ids."""
    sites = [site for site in rows.records(book, Site) if only is None or site.id in only]
    trees, kinds = rows.records(book, HostTree), _tree_kinds(book)
    ground, reviews = ground_of(book), {}
    shelf = laboratory.Shelf(book, ground.tests)
    for done, site in enumerate(sites):
        progress(f"reviewing {site.name}", done, len(sites))
        place = _place_of(site, trees, kinds)
        review = _review(ground, place, today, with_drawings=with_drawings)
        reviews[site.id or 0] = laboratory.of_site(shelf, review, site.id or 0)
    progress("reviewing sites", len(sites), len(sites))
    return reviews


def _review(ground: Ground, place: Place, today: datetime.date, *, with_drawings: bool) -> PlaceReview:
    return review_place(place, ground.round(place), today=today, with_drawings=with_drawings)


def _answered(
    book: Book, place: Place, today: datetime.date, fill: Fill, *, with_page: bool
) -> Answer[PlaceReview]:
    ground = ground_of(book)
    review = _review(ground, place, today, with_drawings=with_page)
    review = fill(laboratory.Shelf(book, ground.tests), review)
    if not with_page:
        return Answer(review)
    page = draw_review(
        review,
        title=f"Contamination review: {review.name}",
        today=today,
        plan=sampling_plan(review),
        questions=questions_for_manager(review),
        poison_centre=settings_of(book).poison_centre,
    )
    return Answer(review, page)


def _tree_kinds(book: Book) -> dict[int, str]:
    return {taxon.id or 0: taxon.scientific_name for taxon in rows.records(book, Taxon)}


def _place_of(site: Site, trees: Sequence[HostTree], kinds: dict[int, str]) -> Place:
    own = tuple(
        TreeAt(tree.tag, kinds.get(tree.taxon_id or 0, ""), tree.geom.centroid.x, tree.geom.centroid.y)
        for tree in trees
        if tree.site_id == site.id
    )
    return Place(site.name, points_of(site.geom, site.radius_m), site.geom, own, site_id=site.id)


def _place_of_find(book: Book, find: Find) -> Place:
    """Give the place of a find: its own position, or else the whole site of its visit, or where that was."""
    label = find_label(find, names_in(book))
    grows_on = frozenset({GROWS_ON[find.substrate]} if find.substrate in GROWS_ON else ())
    asks = (ASKED_OF_SUBSTRATE[find.substrate],) if find.substrate in ASKED_OF_SUBSTRATE else ()
    if find.geom is not None:
        points = shapely.get_coordinates(find.geom)
        return Place(label, points, find.geom, (), find.uncertainty_m, grows_on, asks)
    visits = rows.records(book, Visit, rows.table_for(Visit).c.id == find.visit_id)
    sites = [s for v in visits for s in rows.records(book, Site, rows.table_for(Site).c.id == v.site_id)]
    if not sites and visits and visits[0].geom is not None:
        spot = visits[0].geom
        return Place(label, shapely.get_coordinates(spot), spot, (), None, grows_on, (ASKED_OF_VISIT, *asks))
    if not sites:
        raise errors.NothingToShow(
            f"find {label} has no position and belongs to no site",
            where=str(book.path),
            remedy="Give it one with `sitebook change find`, or ask for a position with --at LON,LAT.",
        )
    asked = Question("where in the site it stood", "whoever found it")
    place = _place_of(sites[0], (), {})
    return dataclasses.replace(place, name=label, grows_on=grows_on, asks=(asked, *asks), site_id=None)
