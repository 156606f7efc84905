"""Tests that a record comes back from its table as it went in, and that a window finds what touches it."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Iterator
from typing import TypeVar

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.exc import StatementError

from sitebook.records.find import Find
from sitebook.records.outing import Visit
from sitebook.records.person import Person
from sitebook.records.site import Site
from sitebook.records.standing import Row
from sitebook.store import rows
from sitebook.store.book import Book, opened, writing
from tests.work import books

R = TypeVar("R", bound=Row)
INSTANTS = st.datetimes(
    datetime.datetime(1900, 1, 1),  # noqa: DTZ001 - hypothesis adds the zone
    datetime.datetime(2200, 1, 1),  # noqa: DTZ001 - the same
    timezones=st.just(datetime.UTC),
).map(lambda at: at.replace(microsecond=at.microsecond // 1000 * 1000))
TEXTS = st.none() | st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=20)
NUMBERS = st.none() | st.floats(allow_nan=False, allow_infinity=False)
PLACES = st.none() | st.builds(shapely.Point, st.floats(-180, 180), st.floats(-90, 90))


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with opened(books.fresh(tmp_path_factory.mktemp("rows"))) as found:
        yield found


def _kept_and_back(book: Book, record: R) -> R:
    back: list[R] = []
    with books.taken_back(book):
        (key,) = rows.insert(book, [record])
        kind = type(record)
        back = rows.records(book, kind, rows.table_for(kind).c.id == key, withdrawn=True)
    (found,) = back
    return dataclasses.replace(found, id=None)


FINDS = st.builds(
    Find,
    uuid=st.uuids().map(str),
    created_at=INSTANTS,
    changed_at=INSTANTS,
    withdrawn_at=st.none() | INSTANTS,
    collector_id=st.just(1),
    collection_number=st.none() | st.integers(1, 2**40),
    found_on=st.none() | st.dates(),
    found_at=st.none() | INSTANTS,
    uncertainty_m=NUMBERS,
    note=TEXTS,
    geom=PLACES,
)


@given(FINDS)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
def test_a_record_comes_back_as_it_went_in(book: Book, find: Find) -> None:
    assert _kept_and_back(book, find) == find


@pytest.mark.parametrize("truth", [True, False])
def test_a_truth_comes_back_as_a_truth(book: Book, truth: bool) -> None:
    visit = Visit(
        uuid="v",
        created_at=books.NOW,
        changed_at=books.NOW,
        local_date=books.TODAY,
        reason="planned",
        looked_for_all=truth,
    )
    assert _kept_and_back(book, visit).looked_for_all is truth


def test_an_instant_of_another_zone_is_kept_in_utc(book: Book) -> None:
    east = datetime.timezone(datetime.timedelta(hours=5, minutes=30))
    at = datetime.datetime(2025, 3, 1, 2, 15, tzinfo=east)
    back = _kept_and_back(book, Person(uuid="p", created_at=at, changed_at=at, name="A", initials="A"))
    assert back.created_at == at
    assert back.created_at.utcoffset() == datetime.timedelta(0)


def test_an_instant_without_a_zone_is_refused(book: Book) -> None:
    bare = datetime.datetime(2025, 3, 1)  # noqa: DTZ001
    person = Person(uuid="p", created_at=bare, changed_at=bare, name="A", initials="A")
    with pytest.raises(StatementError, match="time zone"), writing(book):
        rows.insert(book, [person])


def _site(number: int, west: float, south: float, side: float) -> Site:
    return Site(
        uuid=f"s{number}",
        created_at=books.NOW,
        changed_at=books.NOW,
        name=f"Site {number}",
        geom=shapely.box(west, south, west + side, south + side),
    )


@pytest.fixture
def ten_sites(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with opened(books.fresh(tmp_path_factory.mktemp("ten"))) as book:
        with writing(book):
            rows.insert(book, [_site(n, -19.4 + n / 100, 48.6, 0.005) for n in range(10)])
        yield book


@given(st.floats(-19.5, -19.2), st.floats(48.5, 48.7), st.floats(0, 0.2), st.floats(0, 0.2))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
def test_a_window_gives_what_touches_it(
    ten_sites: Book, west: float, south: float, width: float, height: float
) -> None:
    window = (west, south, west + width, south + height)
    found = {site.name for site in rows.in_window(ten_sites, Site, window)}
    all_sites = rows.records(ten_sites, Site)
    touching = {s.name for s in all_sites if s.geom.intersects(shapely.box(*window))}
    grown = shapely.box(*window).buffer(1e-5, join_style="mitre")
    assert touching <= found
    assert found <= {s.name for s in all_sites if s.geom.intersects(grown)}


def test_ids_run_on_and_are_given_in_order(ten_sites: Book) -> None:
    with writing(ten_sites):
        assert rows.insert(ten_sites, [_site(20, 0, 0, 1), _site(21, 0, 0, 1)]) == [11, 12]
        assert rows.insert(ten_sites, []) == []
    assert [s.id for s in rows.records(ten_sites, Site)] == list(range(1, 13))


def test_withdrawn_records_are_given_only_when_asked_for(ten_sites: Book) -> None:
    with writing(ten_sites):
        rows.update(ten_sites, Site, 3, {"withdrawn_at": books.LATER})
    assert rows.how_many(ten_sites, Site) == 9
    assert 3 not in {s.id for s in rows.records(ten_sites, Site)}
    assert 3 in {s.id for s in rows.records(ten_sites, Site, withdrawn=True)}
    assert rows.by_uuid(ten_sites, Site, ["s2"])["s2"].id == 3
    assert 3 not in {s.id for s in rows.in_window(ten_sites, Site, (-180, -90, 180, 90))}


def test_many_uuids_are_looked_up_in_parts(ten_sites: Book) -> None:
    wanted = [f"x{n}" for n in range(1200)] + ["s4", "s9"]
    assert set(rows.by_uuid(ten_sites, Site, wanted)) == {"s4", "s9"}


def test_bounds_of_all_hold_every_place(ten_sites: Book) -> None:
    boxes = rows.bounds_of_all(ten_sites)
    assert len(boxes) == 10
    west, south, east, north = shapely.union_all([shapely.box(*box) for box in boxes]).bounds
    assert (west, south, east, north) == pytest.approx((-19.4, 48.6, -19.305, 48.605), abs=1e-4)
