"""Tests that a book which breaks a rule of the GeoPackage is found out."""

# ruff: noqa: S608

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.breaking import BOUNDS, POINT, SITE, broken, faults
from tests.work import books


@pytest.mark.parametrize(
    ("statement", "told"),
    [
        ("PRAGMA user_version = 7", "user_version is 7"),
        ("DELETE FROM gpkg_contents WHERE table_name = 'setting'", "table setting is not listed"),
        (
            "INSERT INTO gpkg_contents (table_name, data_type) VALUES ('gone', 'attributes')",
            "table gone is listed and is not there",
        ),
        (
            "UPDATE gpkg_contents SET data_type = 'attributes' WHERE table_name = 'find'",
            "table find is listed as attributes",
        ),
        ("UPDATE gpkg_contents SET srs_id = 0 WHERE table_name = 'find'", "with reference system 0"),
        (
            "UPDATE gpkg_contents SET last_change = 'yesterday' WHERE table_name = 'find'",
            "last change of find is no instant",
        ),
        (
            "DELETE FROM gpkg_geometry_columns WHERE table_name = 'find'",
            "the geometry of find is not listed",
        ),
        (
            "UPDATE gpkg_geometry_columns SET geometry_type_name = 'POLYGON' WHERE table_name = 'find'",
            "the geometry of find is listed as geom POLYGON 4326 0 0",
        ),
        ("UPDATE gpkg_geometry_columns SET z = 1 WHERE table_name = 'find'", "listed as geom POINT 4326 1 0"),
        ("DELETE FROM gpkg_extensions WHERE table_name = 'find'", "the index of find is not listed"),
        ("DROP TRIGGER rtree_find_geom_update6", "trigger rtree_find_geom_update6 is not there"),
        ("DELETE FROM gpkg_spatial_ref_sys WHERE srs_id = -1", "reference system -1 is not described"),
        (
            "UPDATE gpkg_spatial_ref_sys SET organization = 'nobody' WHERE srs_id = 4326",
            "reference system 4326 is described as ('NOBODY', 4326)",
        ),
        ("ALTER TABLE derived ADD COLUMN more JSON", "of type JSON"),
    ],
)
def test_a_broken_rule_is_found_and_nothing_else(statement: str, told: str, tmp_path: Path) -> None:
    found = faults(broken(books.fresh(tmp_path), statement))
    (fault,) = found.pop("GeoPackage bookkeeping")
    assert told in fault
    assert found == {}


@pytest.mark.parametrize(
    "bounds",
    [
        "min_x = 1, max_x = 1, min_y = 2, max_y = 2",
        "min_x = -180, max_x = 180, min_y = -90, max_y = 90",
    ],
)
def test_bounds_that_hold_the_layer_are_right(bounds: str, tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), SITE.format(POINT), f"UPDATE gpkg_contents SET {bounds}")
    assert faults(path) == {}


@pytest.mark.parametrize("change", ["min_x = 1.1", "max_x = 0.9", "min_y = NULL"])
def test_bounds_that_leave_something_out_are_found(change: str, tmp_path: Path) -> None:
    path = broken(books.fresh(tmp_path), SITE.format(POINT), BOUNDS, f"UPDATE gpkg_contents SET {change}")
    assert faults(path) == {"GeoPackage bookkeeping": ("the bounds told of site leave out some of it",)}
