"""Answers what the roads round a place may have left on it."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from sitebook import errors
from sitebook.analysis.contamination import flag, parameters
from sitebook.ground.projection import refuse_impossible
from sitebook.ground.sampling import points_of
from sitebook.records.host_tree import HostTree
from sitebook.records.map_data import Extract, TrafficCount, Way
from sitebook.records.results.review import PlaceReview
from sitebook.records.site import Site
from sitebook.store import map_data, rows
from sitebook.store.book import Book
from sitebook.work.answer import Answer, Progress, silent
from sitebook.work.naming import pick


def review_at(book: Book, lon: float, lat: float, *, today: datetime.date) -> Answer[PlaceReview]:
    """Review the roads round one position.

    Raises
    ------
    PositionImpossible
        When it is not on the globe.
    """
    refuse_impossible(lon, lat)
    return Answer(_review(book, f"{lon:.5f},{lat:.5f}", np.array([[lon, lat]]), today))


def review_site(book: Book, name: str, *, today: datetime.date) -> Answer[PlaceReview]:
    """Review the roads round one site: the worst point of its outline and of its trees stands.

    Raises
    ------
    RecordMissing, NameAmbiguous
        When none, or several, bear the name.
    """
    key = pick(book, "site", name)
    (site,) = rows.records(book, Site, rows.table_for(Site).c.id == key)
    return Answer(_review(book, site.name, _points(site, rows.records(book, HostTree)), today))


def review_all(
    book: Book, *, today: datetime.date, progress: Progress = silent
) -> Answer[tuple[PlaceReview, ...]]:
    """Review the roads round every site, by name.

    Raises
    ------
    NothingToShow
        When the book holds no site.
    """
    reviews = reviews_by_site(book, today=today, progress=progress)
    if not reviews:
        raise errors.NothingToShow(
            "the book holds no site yet",
            where=str(book.path),
            remedy="Bring sites in with `sitebook import`, or ask for a position with --at LON,LAT.",
        )
    return Answer(tuple(sorted(reviews.values(), key=lambda review: review.name.casefold())))


def reviews_by_site(
    book: Book, *, today: datetime.date, progress: Progress = silent
) -> dict[int, PlaceReview]:
    """Give the review of each site by its id."""
    sites, trees = rows.records(book, Site), rows.records(book, HostTree)
    reviews = {}
    for done, site in enumerate(sites):
        progress(f"reviewing {site.name}", done, len(sites))
        reviews[site.id or 0] = _review(book, site.name, _points(site, trees), today)
    progress("reviewing sites", len(sites), len(sites))
    return reviews


def _points(site: Site, trees: Sequence[HostTree]) -> NDArray[np.float64]:
    own = [shapely.get_coordinates(tree.geom) for tree in trees if tree.site_id == site.id]
    return np.vstack([points_of(site.geom, site.radius_m), *own])


def _review(book: Book, name: str, points: NDArray[np.float64], today: datetime.date) -> PlaceReview:
    windows = flag.needs(points)
    extracts = [e for window in windows for e in rows.in_window(book, Extract, window)]
    dates = [e.data_date for e in extracts if e.data_date is not None and e.superseded_by is None]
    return flag.review_place(
        name,
        points,
        [way for window in windows for way in map_data.standing_in_window(book, Way, window)],
        [count for window in windows for count in rows.in_window(book, TrafficCount, window)],
        [extract.geom for extract in extracts],
        today=today,
        data_date=min(dates, default=None),
        motor_roads_in_extract=map_data.how_many_of_classes(book, parameters.classes_to_load()),
    )
