"""Tests that the SpatiaLite database is a genuine one, by SpatiaLite's own functions."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pyogrio
import pytest
import shapely

from sitebook.outgo.spatialite import spatialite
from tests.outgo import sample_features as sample


@pytest.fixture
def database(tmp_path: Path) -> Path:
    path = tmp_path / "places.sqlite"
    path.write_bytes(
        spatialite(
            {"site": [sample.SITE, sample.ROUND], "find": [sample.FIND, sample.AT_ITS_SITE], "visit": []}
        )
    )
    return path


def _asked(path: Path, sql: str) -> list[object]:
    *_, data = pyogrio.raw.read(path, sql=sql, sql_dialect="SQLITE")
    return [column[0] for column in data]


@pytest.mark.source(
    item="",
    what="CheckSpatialMetaData gives 3 for the current layout of SpatiaLite's own tables",
    value="3",
    source="SpatiaLite 5.1 inside GDAL",
    mark="confirmed",
)
def test_spatialite_calls_it_its_own(database: Path) -> None:
    assert _asked(database, "SELECT CheckSpatialMetaData()") == [3]


def test_its_functions_find_the_find_in_the_site(database: Path) -> None:
    filled = "ST_MakePolygon(ST_ExteriorRing(s.geometry))"
    sql = f"SELECT count(*) FROM find AS f JOIN site AS s ON ST_Within(f.geometry, {filled}) = 1"  # noqa: S608
    assert _asked(database, sql) == [1]


def test_spatial_indexes_are_right(database: Path) -> None:
    for table in ("site", "find"):
        assert _asked(database, f"SELECT CheckSpatialIndex('{table}', 'geometry')") == [1]


def test_types_and_missing_values_are_kept(database: Path) -> None:
    with closing(sqlite3.connect(database)) as plain:
        finds = plain.execute(
            "SELECT uuid, collection_number, found_on, found_at, note FROM find ORDER BY collection_number"
        ).fetchall()
        sites = plain.execute("SELECT name, radius_m, wooded FROM site ORDER BY name").fetchall()
    assert finds == [
        (sample.FIND.uuid, 12, "2025-09-14", "2025-09-14T12:00:00Z", "=1"),
        (sample.AT_ITS_SITE.uuid, 13, None, None, None),
    ]
    assert sites == [("Mill & <old>", None, 1), ("Pond", 30.0, None)]


def test_geometries_are_the_same(database: Path) -> None:
    _, _, shapes, _ = pyogrio.raw.read(database, layer="site")
    assert list(shapely.from_wkb(shapes)) == [sample.SITE.geometry, sample.ROUND.geometry]


def test_a_kind_without_a_record_gets_no_table(database: Path) -> None:
    assert {name for name, _ in pyogrio.list_layers(database)} == {"site", "find"}
