"""Tests that the map is gathered from all that stands in the book, in words a person reads."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from pathlib import Path

import pytest
import shapely

from sitebook import errors
from sitebook.records.find import Find, FindHost
from sitebook.records.results.map_view import MapView
from sitebook.work import map as work_map
from sitebook.work import opened
from sitebook.work.permission_words import permission_words
from tests.work import books
from tests.work.bring_in import town


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MapView]:
    with opened(town.built(tmp_path_factory.mktemp("map"))) as book:
        yield work_map.view_of(book, today=books.TODAY)


def _find(**more: object) -> Find:
    return Find(uuid="f", created_at=books.NOW, changed_at=books.NOW, collector_id=1, **more)  # type: ignore[arg-type]


def test_every_place_is_on_the_map(view: MapView) -> None:
    assert {site.name for site in view.sites} == {"Mill Park", "Quay Wood"}
    assert [tree.tag for tree in view.trees] == ["B1", "B1", "O2"]
    assert len(view.finds) == 3
    assert all(site.review is not None for site in view.sites)


def test_the_ground_is_that_of_the_newest_map(view: MapView) -> None:
    assert sorted(way.kind for way in view.ground.ways) == ["primary", "service", "tertiary"]
    assert view.ground.data_date == town.NEW_DAY
    assert view.ground.attributions
    assert view.ground.covered is not None
    assert view.ground.covered.covers(shapely.Point(-19.4, 48.6))


def test_a_find_says_its_name_its_finder_and_its_host(view: MapView) -> None:
    finds = {find.label: find for find in view.finds}
    one = finds["OV 1"]
    assert one.taxon_name == "Leccinum scabrum"
    assert "named by OV" in one.name_words
    assert one.date_words == "2025-09-01"
    assert any("under B1" in host for host in one.hosts)
    assert "cf." in finds["TH 1"].name_words
    assert (finds["OV 2"].lon, finds["OV 2"].lat) == (None, None)


def test_a_tree_counts_its_looks_and_finds(view: MapView) -> None:
    mill = next(t for t in view.trees if t.tag == "B1" and t.taxon_name == "Betula pendula")
    assert (mill.looks, mill.finds, mill.last_look) == (1, 1, datetime.date(2025, 9, 1))


def test_every_class_is_explained_once(view: MapView) -> None:
    signs = [sign for sign, _ in view.class_meanings]
    assert signs == ["4", "3", "2", "1", "0", "U"]
    assert all(words.strip() for _, words in view.class_meanings)


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (None, None, "date not known"),
        ("2025-09-01", None, "2025-09-01"),
        ("2025-09-01", "2025-09-01", "2025-09-01"),
        ("1994-10-01", "1994-10-31", "1994-10-01 to 1994-10-31"),
    ],
)
def test_a_date_is_told_as_exactly_as_it_is_known(first: str | None, last: str | None, said: str) -> None:
    days = [None if day is None else datetime.date.fromisoformat(day) for day in (first, last)]
    assert work_map.date_words(_find(found_on=days[0], found_on_end=days[1])) == said


def test_counts_are_told_in_words() -> None:
    assert work_map.count_words(_find()) == ""
    words = work_map.count_words(_find(individual_count=5, taken_count=3, fresh_mass_g=120.5))
    assert words == "5 bodies, 3 taken, 120.5 g fresh"


def test_a_host_without_tree_or_kind_says_so() -> None:
    host = FindHost(uuid="h", created_at=books.NOW, changed_at=books.NOW, find_id=1, role="possible")
    assert work_map.host_words(host, {}, {}) == "possible kind not named; not known"


def test_a_permission_is_told_on_its_sites(tmp_path: Path) -> None:
    path = town.built(tmp_path)
    permission = books.table(
        tmp_path,
        "permission",
        "manager,basis,daily_limit,limit_unit,sites,valid_from",
        "Island forestry,public right,2,kg,Mill Park; Quay Wood,2024-01-01",
    )
    town.bring(path, permission)
    with opened(path) as book:
        words = permission_words(book)
    assert len(words) == 2
    for (line,) in words.values():
        assert line.startswith("Island forestry: public right")
        assert "at most 2 kg a day" in line
        assert "not checked" in line


def test_the_page_shows_the_places(tmp_path: Path) -> None:
    with opened(town.built(tmp_path)) as book:
        answer = work_map.draw(book, today=books.TODAY)
    assert answer.page is not None
    assert "Mill Park" in answer.page


def test_an_empty_book_has_no_map(tmp_path: Path) -> None:
    with opened(books.fresh(tmp_path)) as book, pytest.raises(errors.NothingToShow, match="sitebook import"):
        work_map.draw(book, today=books.TODAY)
