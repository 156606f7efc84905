"""The file format: GeoPackage 1.4 bookkeeping, spatial indexes and the functions their triggers call."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

import numpy as np
import shapely
from pyproj import CRS
from shapely.geometry.base import BaseGeometry
from sqlalchemy import Connection, Table, event, text

from sitebook.store import geometry_blob
from sitebook.store.column_types import Geom

APPLICATION_ID = 0x47504B47
FORMAT_VERSION = 10400
BOOKKEEPING_FREE = ("alembic_version",)
"""Tables not listed in gpkg_contents: their key is not an INTEGER (GeoPackage, requirement 119)."""

TRIGGERS = ("insert", "update2", "update4", "update5", "update6", "update7", "delete")
"""What keeps an index true, by the names the standard gives them."""

_RTREE_DEFINITION = "http://www.geopackage.org/spec120/#extension_rtree"

_BASE_TABLES = (
    """CREATE TABLE gpkg_spatial_ref_sys (
    srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL,
    organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT)""",
    """CREATE TABLE gpkg_contents (
    table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE,
    description TEXT DEFAULT '',
    last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
    min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
    CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))""",
    """CREATE TABLE gpkg_geometry_columns (
    table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL,
    srs_id INTEGER NOT NULL, z TINYINT NOT NULL, m TINYINT NOT NULL,
    CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
    CONSTRAINT uk_gc_table_name UNIQUE (table_name),
    CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
    CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id))""",
    """CREATE TABLE gpkg_extensions (
    table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, definition TEXT NOT NULL,
    scope TEXT NOT NULL, CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name))""",
)


def prepare(connection: Connection) -> None:
    """Turn an empty database into an empty GeoPackage."""
    connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version={FORMAT_VERSION}")
    for statement in _BASE_TABLES:
        connection.exec_driver_sql(statement)
    for row in _reference_systems():
        connection.execute(
            text("INSERT INTO gpkg_spatial_ref_sys VALUES (:name, :id, :by, :code, :definition, NULL)"), row
        )


def _reference_systems() -> tuple[dict[str, object], ...]:
    wgs84 = CRS.from_epsg(geometry_blob.SRS_ID)
    undefined = "undefined"
    return (
        {"name": "Undefined Cartesian", "id": -1, "by": "NONE", "code": -1, "definition": undefined},
        {"name": "Undefined geographic", "id": 0, "by": "NONE", "code": 0, "definition": undefined},
        {
            "name": wgs84.name,
            "id": geometry_blob.SRS_ID,
            "by": "EPSG",
            "code": geometry_blob.SRS_ID,
            "definition": wgs84.to_wkt("WKT1_GDAL"),
        },
    )


def register_functions(driver_connection: sqlite3.Connection) -> None:
    """Give a connection the functions that the spatial index's triggers call."""
    for name, place in (("ST_MinX", 0), ("ST_MaxX", 1), ("ST_MinY", 2), ("ST_MaxY", 3)):
        driver_connection.create_function(name, 1, _bound(place), deterministic=True)
    driver_connection.create_function("ST_IsEmpty", 1, _empty, deterministic=True)


def _bound(place: int) -> Callable[[bytes | None], float | None]:
    def give(blob: bytes | None) -> float | None:
        found = geometry_blob.bounds(blob) if blob is not None else None
        return found[place] if found else None

    return give


def _empty(blob: bytes | None) -> int | None:
    return None if blob is None else int(geometry_blob.is_empty(blob))


def index_name(table: str, column: str = "geom") -> str:
    """Give the name of a feature table's R-tree."""
    return f"rtree_{table}_{column}"


def _index_statements(table: str, column: str, key: str) -> tuple[str, ...]:
    rtree = index_name(table, column)
    new_holds = f'(NEW."{column}" NOTNULL AND NOT ST_IsEmpty(NEW."{column}"))'
    new_lacks = f'(NEW."{column}" ISNULL OR ST_IsEmpty(NEW."{column}"))'
    old_holds = f'(OLD."{column}" NOTNULL AND NOT ST_IsEmpty(OLD."{column}"))'
    old_lacks = f'(OLD."{column}" ISNULL OR ST_IsEmpty(OLD."{column}"))'
    box = ", ".join(f'{f}(NEW."{column}")' for f in ("ST_MinX", "ST_MaxX", "ST_MinY", "ST_MaxY"))
    put = f'INSERT OR REPLACE INTO "{rtree}" VALUES (NEW."{key}", {box});'
    add = f'INSERT INTO "{rtree}" VALUES (NEW."{key}", {box});'
    reset = (
        f'UPDATE "{rtree}" SET minx = ST_MinX(NEW."{column}"), maxx = ST_MaxX(NEW."{column}"), '
        f'miny = ST_MinY(NEW."{column}"), maxy = ST_MaxY(NEW."{column}") WHERE id = NEW."{key}";'
    )
    take = f'DELETE FROM "{rtree}" WHERE id = OLD."{key}";'
    same, moved = f'OLD."{key}" = NEW."{key}"', f'OLD."{key}" != NEW."{key}"'
    of_column, of_row = f'AFTER UPDATE OF "{column}" ON "{table}"', f'AFTER UPDATE ON "{table}"'
    triggers = (
        ("insert", f'AFTER INSERT ON "{table}" WHEN {new_holds}', put),
        ("update6", f"{of_column} WHEN {same} AND {new_holds} AND {old_holds}", reset),
        ("update7", f"{of_column} WHEN {same} AND {new_holds} AND {old_lacks}", add),
        ("update2", f"{of_column} WHEN {same} AND {new_lacks}", take),
        ("update5", f"{of_row} WHEN {moved} AND {new_holds}", take + " " + put),
        (
            "update4",
            f"{of_row} WHEN {moved} AND {new_lacks}",
            f'DELETE FROM "{rtree}" WHERE id IN (OLD."{key}", NEW."{key}");',
        ),
        ("delete", f'AFTER DELETE ON "{table}" WHEN {old_holds}', take),
    )
    return (
        f'CREATE VIRTUAL TABLE "{rtree}" USING rtree(id, minx, maxx, miny, maxy)',
        *(f'CREATE TRIGGER "{rtree}_{name}" {when} BEGIN {what} END' for name, when, what in triggers),
    )


@event.listens_for(Table, "after_create")
def _book_keep(target: Table, connection: Connection, **_: object) -> None:
    """List every new table in the GeoPackage's own tables, whoever creates it."""
    if target.name in BOOKKEEPING_FREE or connection.dialect.name != "sqlite":
        return
    geometry = [c for c in target.columns if isinstance(c.type, Geom)]
    kind, srs_id = ("features", geometry_blob.SRS_ID) if geometry else ("attributes", None)
    connection.execute(
        text("INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES (:t, :k, :t, :s)"),
        {"t": target.name, "k": kind, "s": srs_id},
    )
    for column in geometry:
        _index(connection, target, column.name, column.type.kind)  # type: ignore[attr-defined]


def _index(connection: Connection, table: Table, column: str, kind: str) -> None:
    (key,) = table.primary_key.columns
    connection.execute(
        text("INSERT INTO gpkg_geometry_columns VALUES (:t, :c, :k, :s, 0, 0)"),
        {"t": table.name, "c": column, "k": kind, "s": geometry_blob.SRS_ID},
    )
    for statement in _index_statements(table.name, column, key.name):
        connection.exec_driver_sql(statement)
    connection.execute(
        text("INSERT INTO gpkg_extensions VALUES (:t, :c, 'gpkg_rtree_index', :d, 'write-only')"),
        {"t": table.name, "c": column, "d": _RTREE_DEFINITION},
    )


@contextmanager
def without_index(connection: Connection, table: str, column: str = "geom") -> Iterator[None]:
    """Let many rows be inserted without a trigger a row; `fill_index` must follow in the transaction.

    The insert trigger is set aside inside the transaction and put back before it ends. An error takes
    the whole transaction back, trigger and rows.
    """
    trigger = f"{index_name(table, column)}_insert"
    statement = connection.execute(
        text("SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = :name"), {"name": trigger}
    ).scalar_one()
    connection.exec_driver_sql(f'DROP TRIGGER "{trigger}"')
    yield
    connection.exec_driver_sql(str(statement))


def fill_index(
    connection: Connection, table: str, ids: Sequence[int], shapes: Sequence[BaseGeometry | None]
) -> None:
    """Put rows into a table's spatial index by their shapes; none and empty ones stay out."""
    bounds = shapely.bounds(np.array(shapes, dtype=object))
    entries = [
        (key, min_x, max_x, min_y, max_y)
        for key, (min_x, min_y, max_x, max_y) in zip(ids, bounds.tolist(), strict=True)
        if min_x == min_x  # noqa: PLR0124 - no bounds are not a number
    ]
    if entries:
        connection.exec_driver_sql(f'INSERT INTO "{index_name(table)}" VALUES (?, ?, ?, ?, ?)', entries)


def tell_extents(connection: Connection) -> None:
    """Write each feature table's bounds and instant of change into gpkg_contents."""
    rows = connection.exec_driver_sql("SELECT table_name, column_name FROM gpkg_geometry_columns").all()
    for table, column in rows:
        connection.exec_driver_sql(
            f"UPDATE gpkg_contents SET (min_x, max_x, min_y, max_y) = "
            f'(SELECT min(minx), max(maxx), min(miny), max(maxy) FROM "{index_name(table, column)}") '
            f"WHERE table_name = ?",
            (table,),
        )
