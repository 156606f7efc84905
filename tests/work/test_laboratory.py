"""Tests which laboratory tests and taxa belong to a place, and how far the nearest traffic of today is."""

from __future__ import annotations

import dataclasses
import math
from pathlib import Path
from typing import Any

import pytest

from sitebook.records.results.contamination import NearSource
from sitebook.records.results.review import PlaceReview
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work import laboratory
from tests.work import books, told_book
from tests.work.bring_in import town


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return told_book.told(tmp_path)


@pytest.fixture
def review(book: Path) -> PlaceReview:
    return told_book.site(book, "Mill Park")


def _past(source: NearSource) -> NearSource:
    return dataclasses.replace(source, kind="old main road", edge_m=1.0)


def test_a_position_loads_only_the_sites_that_have_a_test(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = "Far Wood,-19.39,48.61,50"
    town.bring(book, books.table(tmp_path, "site", "name,lon,lat,radius_m", line, name="far"))
    loaded: list[str] = []
    records = rows.records

    def noting(opened: Book, kind: type[Any], *conditions: Any, **more: Any) -> list[Any]:  # noqa: ANN401
        found = records(opened, kind, *conditions, **more)
        loaded.extend(kind.__name__ for _ in found)
        return found

    monkeypatch.setattr(rows, "records", noting)
    assert told_book.reports(told_book.at(book, -19.4, 48.602)) == ["R1"]
    assert loaded.count("Site") == 2
    assert not {"Find", "Visit", "HostTree", "Taxon"} & set(loaded)


def test_the_nearest_road_is_one_of_today(review: PlaceReview) -> None:
    nearest = min(source.edge_m for source in review.sources)
    assert laboratory.road_edge_m(review) == nearest
    with_past = dataclasses.replace(review, sources=(_past(review.sources[0]), *review.sources))
    assert laboratory.road_edge_m(with_past) == nearest


def test_no_road_in_reach_is_told_from_roads_not_known(review: PlaceReview) -> None:
    assert laboratory.road_edge_m(dataclasses.replace(review, sources=())) == math.inf
    assert laboratory.road_edge_m(dataclasses.replace(review, traffic_index=None)) is None


def test_a_tree_of_a_find_brings_its_test(book: Path) -> None:
    assert "R2" in told_book.reports(told_book.find(book, "OV 31"))
    assert "R2" not in told_book.reports(told_book.find(book, "OV 33"))


def test_a_test_says_what_it_is_of(review: PlaceReview) -> None:
    assert {test.report_number: test.of_what for test in review.tests} == {
        "R1": "the site",
        "R2": "tree B1",
        "R3": "find OV 31 (Agaricus campestris)",
    }


@pytest.mark.parametrize(("east_deg", "reports"), [(0.0, ["R1"]), (0.0007, ["R1"]), (0.0009, [])])
def test_a_round_site_holds_a_position_as_far_as_it_reaches(
    east_deg: float, reports: list[str], book: Path
) -> None:
    assert told_book.reports(told_book.at(book, -19.4 + east_deg, 48.602)) == reports
