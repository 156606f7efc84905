"""Tests that the spatial index follows every change of its table, and what the format asks of the file."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry
from sqlalchemy import Column, Integer, MetaData, Table, create_engine

from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.store import geometry_blob, geopackage
from sitebook.store.column_types import Geom
from tests.work import books

PLACES = [
    None,
    "POINT EMPTY",
    "POINT (-19.4 48.6)",
    "POINT (170.25 -45.5)",
    "LINESTRING (-19.4 48.6, -19.3 48.7)",
    "POLYGON ((-19.4 48.6, -19.3 48.6, -19.3 48.7, -19.4 48.6))",
    "POLYGON EMPTY",
]
RTREE = geopackage.index_name("place")

Change = tuple[str, int, int, str | None]
"""What is done, to which id, the id it gets, the geometry it gets."""

CHANGES = st.lists(
    st.tuples(
        st.sampled_from(["insert", "geometry", "id", "both", "delete"]),
        st.integers(1, 5),
        st.integers(1, 5),
        st.sampled_from(PLACES),
    ),
    max_size=14,
)


@pytest.fixture(scope="module")
def places(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """Give a connection to a GeoPackage with one feature table, made as the book's tables are."""
    path = tmp_path_factory.mktemp("places") / "places.gpkg"
    engine = create_engine(f"sqlite:///{path}")
    metadata = MetaData()
    Table("place", metadata, Column("id", Integer, primary_key=True), Column("geom", Geom("GEOMETRY")))
    with engine.begin() as connection:
        geopackage.prepare(connection)
        metadata.create_all(connection)
    engine.dispose()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        geopackage.register_functions(connection)
        yield connection


def _blob(text: str | None) -> bytes | None:
    return None if text is None else geometry_blob.encode(shapely.from_wkt(text))


def _apply(places: sqlite3.Connection, change: Change) -> None:
    what, key, other, text = change
    there = {i for (i,) in places.execute("SELECT id FROM place")}
    if what == "insert" and key not in there:
        places.execute("INSERT INTO place VALUES (?, ?)", (key, _blob(text)))
    elif what == "geometry":
        places.execute("UPDATE place SET geom = ? WHERE id = ?", (_blob(text), key))
    elif what == "id" and other not in there:
        places.execute("UPDATE place SET id = ? WHERE id = ?", (other, key))
    elif what == "both" and (other not in there or other == key):
        places.execute("UPDATE place SET id = ?, geom = ? WHERE id = ?", (other, _blob(text), key))
    elif what == "delete":
        places.execute("DELETE FROM place WHERE id = ?", (key,))


def _index(places: sqlite3.Connection) -> dict[int, tuple[float, ...]]:
    return {row[0]: tuple(row[1:]) for row in places.execute(f"SELECT * FROM {RTREE}")}  # noqa: S608


def _recomputed(places: sqlite3.Connection) -> dict[int, BaseGeometry]:
    rows = places.execute("SELECT id, geom FROM place WHERE geom NOTNULL")
    shapes = {key: geometry_blob.decode(blob) for key, blob in rows}
    return {key: shape for key, shape in shapes.items() if not shape.is_empty}


def _require_equal(places: sqlite3.Connection) -> None:
    index, shapes = _index(places), _recomputed(places)
    assert set(index) == set(shapes)
    for key, shape in shapes.items():
        west, south, east, north = shape.bounds
        found = index[key]
        assert found == pytest.approx((west, east, south, north), rel=1e-6)
        assert found[0] <= west <= east <= found[1]
        assert found[2] <= south <= north <= found[3]


@given(CHANGES)
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
def test_the_index_equals_a_recomputation_after_every_change(
    places: sqlite3.Connection, changes: list[Change]
) -> None:
    places.execute("DELETE FROM place")
    for change in changes:
        _apply(places, change)
        _require_equal(places)


@pytest.mark.parametrize("before", PLACES)
@pytest.mark.parametrize("after", PLACES)
@pytest.mark.parametrize("what", ["geometry", "both"])
def test_the_index_follows_each_turn_of_a_geometry(
    places: sqlite3.Connection, before: str | None, after: str | None, what: str
) -> None:
    places.execute("DELETE FROM place")
    assert not _index(places)
    _apply(places, ("insert", 1, 1, before))
    _require_equal(places)
    _apply(places, (what, 1, 2, after))
    _require_equal(places)


def test_an_update_of_another_row_leaves_the_index_alone(places: sqlite3.Connection) -> None:
    places.execute("DELETE FROM place")
    for key in (1, 2):
        _apply(places, ("insert", key, key, PLACES[3]))
    _apply(places, ("geometry", 1, 1, None))
    assert set(_index(places)) == {2}


@pytest.mark.source(
    item="",
    what="application id and version of a GeoPackage file",
    value="0x47504B47 ('GPKG') and 10400",
    source="GeoPackage Encoding Standard 1.4, OGC 12-128r19, requirement 2",
    mark="memory",
)
def test_the_file_says_that_it_is_a_geopackage(tmp_path: Path) -> None:
    head = books.fresh(tmp_path).read_bytes()[:72]
    assert head[68:72] == b"GPKG"
    assert int.from_bytes(head[60:64], "big") == 10400


def test_every_table_is_listed_once_and_the_revision_never(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    listed = books.asked(path, "SELECT table_name, data_type, srs_id FROM gpkg_contents ORDER BY table_name")
    with_shape = {name for name, kind in KINDS.items() if any(m.geometry for m in meanings(kind).values())}
    wanted = [
        (name, "features", 4326) if name in with_shape else (name, "attributes", None)
        for name in sorted(KINDS)
    ]
    assert listed == wanted


def test_every_geometry_column_has_its_index_and_kind(tmp_path: Path) -> None:
    path = books.fresh(tmp_path)
    wanted = {
        (name, column, meaning.geometry)
        for name, kind in KINDS.items()
        for column, meaning in meanings(kind).items()
        if meaning.geometry
    }
    found = books.asked(path, "SELECT table_name, column_name, geometry_type_name FROM gpkg_geometry_columns")
    assert set(found) == wanted
    extensions = books.asked(path, "SELECT table_name, column_name, extension_name FROM gpkg_extensions")
    assert set(extensions) == {(name, column, "gpkg_rtree_index") for name, column, _ in wanted}
    triggers = books.asked(path, "SELECT tbl_name FROM sqlite_master WHERE type = 'trigger'")
    assert {name: triggers.count((name,)) for name, _, _ in wanted} == {name: 7 for name, _, _ in wanted}
