"""Tests that a review looks at the roads, counts and extracts that stand, and at every tree of a site."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sitebook import errors
from sitebook.records.results.review import PlaceReview
from sitebook.work import contamination, opened
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return town.built(tmp_path)


def _all(path: Path) -> dict[str, PlaceReview]:
    with opened(path) as book:
        return {r.name: r for r in contamination.review_all(book, today=books.TODAY).result}


def _index(review: PlaceReview) -> float:
    assert review.traffic_index is not None
    return review.traffic_index.central


def test_every_site_is_reviewed_by_name(book: Path) -> None:
    reviews = _all(book)
    assert list(reviews) == ["Mill Park", "Quay Wood"]
    assert _index(reviews["Mill Park"]) > _index(reviews["Quay Wood"])
    assert all(review.data_date == town.NEW_DAY for review in reviews.values())


def test_one_site_alone_is_reviewed_the_same(book: Path) -> None:
    with opened(book) as found:
        alone = contamination.review_site(found, "quay  wood", today=books.TODAY).result
    assert alone == _all(book)["Quay Wood"]


def test_a_count_of_hers_is_used(book: Path, tmp_path: Path) -> None:
    before = _index(_all(book)["Mill Park"])
    head = "lon,lat,vehicles_per_day,counted_on,source"
    heavy = books.table(
        tmp_path, "traffic_count", head, "-19.395,48.6000,40000,2025-09-30,own count", name="heavy"
    )
    town.bring(book, heavy)
    assert _index(_all(book)["Mill Park"]) > before


def test_a_road_that_is_gone_does_not_count(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    with_road = town.old_map(tmp_path)
    town.bring(path, town.sites(tmp_path), with_road)
    before = _index(_all(path)["Mill Park"])
    without = town.new_map(tmp_path)
    text = without.read_text("utf-8")
    start = text.index('<way id="11"')
    without.write_text(text[:start] + text[text.index("</way>", start) + len("</way>") :], "utf-8")
    town.bring(path, without)
    assert _index(_all(path)["Mill Park"]) < before


def test_the_worst_tree_of_a_site_stands(book: Path, tmp_path: Path) -> None:
    before = _all(book)["Quay Wood"]
    tree = books.table(
        tmp_path, "host_tree", "site,tag,lon,lat", "Quay Wood,Z9,-19.3950,48.6001", name="kerb"
    )
    town.bring(book, tree)
    after = _all(book)["Quay Wood"]
    assert _index(after) > _index(before)
    assert after.points_looked_at == before.points_looked_at + 1
    assert (after.lon, after.lat) == pytest.approx((-19.3950, 48.6001), abs=1e-6)


def test_a_place_off_every_map_has_no_class(book: Path) -> None:
    with opened(book) as found:
        review = contamination.review_at(found, -25.0, 40.0, today=books.TODAY).result
    assert (review.place_class, review.traffic_index) == (None, None)
    assert review.unknown


def test_a_book_without_a_map_knows_nothing(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    town.bring(path, town.sites(tmp_path))
    for review in _all(path).values():
        assert review.place_class is None
        assert review.unknown


@pytest.mark.parametrize(
    ("lon", "lat"), [(200.0, 0.0), (0.0, -91.0), (float("nan"), 0.0), (0.0, float("inf"))]
)
def test_a_position_off_the_globe_is_refused(lon: float, lat: float, book: Path) -> None:
    with opened(book) as found, pytest.raises(errors.PositionImpossible):
        contamination.review_at(found, lon, lat, today=books.TODAY)


def test_a_book_without_a_site_says_so(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as found, pytest.raises(errors.NothingToShow, match="--at"):
        contamination.review_all(found, today=books.TODAY)


def test_an_old_map_says_its_age(book: Path) -> None:
    with opened(book) as found:
        later = contamination.review_site(found, "Mill Park", today=datetime.date(2040, 1, 1)).result
    assert later.data_date == town.NEW_DAY


def test_changed_over_numbers_of_a_position_are_asked_about(book: Path) -> None:
    with opened(book) as found:
        turned = contamination.review_at(found, 48.6, -19.4, today=books.TODAY).result
        plain = contamination.review_at(found, -25.0, 40.0, today=books.TODAY).result
    assert any("in this order" in what for what in turned.unknown)
    assert not any("in this order" in what for what in plain.unknown)
