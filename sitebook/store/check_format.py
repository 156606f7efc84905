"""Looks whether the file keeps the rules of a GeoPackage that its own tables must keep."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Table

from sitebook.store import geometry_blob
from sitebook.store.asking import asked, told
from sitebook.store.book import Book
from sitebook.store.column_types import Geom
from sitebook.store.geopackage import APPLICATION_ID, FORMAT_VERSION, TRIGGERS, index_name
from sitebook.store.tables import TABLES

_TYPES = {
    "BOOLEAN", "TINYINT", "SMALLINT", "MEDIUMINT", "INT", "INTEGER", "FLOAT", "DOUBLE", "REAL", "TEXT",
    "BLOB", "DATE", "DATETIME", "GEOMETRY", "POINT", "LINESTRING", "POLYGON", "MULTIPOINT", "MULTILINESTRING",
    "MULTIPOLYGON", "GEOMETRYCOLLECTION",
}  # fmt: skip
"""Column types a GeoPackage may hold (OGC 12-128, table 1, and its geometry types)."""

_SYSTEMS = {-1: ("NONE", -1), 0: ("NONE", 0), geometry_blob.SRS_ID: ("EPSG", geometry_blob.SRS_ID)}
_ROUNDED_DEG = 1e-4
"""The index rounds outward to 32 bits; bounds written from exact coordinates lie inside its own."""

_INSTANT = "[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9]*Z"


def bookkeeping(book: Book) -> tuple[str, ...]:
    """Give what is wrong with the file's marks and with the tables that list its layers."""
    looks = (_marks, _systems, _contents, _layers, _extensions, _triggers, _extents, _types)
    return told([fault for look in looks for fault in look(book)])


def _with_geometry() -> Iterator[tuple[str, Table, Geom]]:
    for name, table in TABLES.items():
        if "geom" in table.c:
            kind = table.c.geom.type
            assert isinstance(kind, Geom)  # noqa: S101 - the column is made so
            yield name, table, kind


def _marks(book: Book) -> Iterator[str]:
    for pragma, wanted in (("application_id", APPLICATION_ID), ("user_version", FORMAT_VERSION)):
        ((found,),) = asked(book, f"PRAGMA {pragma}")
        if found != wanted:
            yield f"the file's {pragma} is {found}, not {wanted}"


def _systems(book: Book) -> Iterator[str]:
    rows = asked(
        book, "SELECT srs_id, upper(organization), organization_coordsys_id FROM gpkg_spatial_ref_sys"
    )
    found = {row[0]: row[1:] for row in rows}
    yield from (f"reference system {key} is not described" for key in sorted(_SYSTEMS.keys() - found.keys()))
    for key, said in _SYSTEMS.items():
        if key in found and found[key] != said:
            yield f"reference system {key} is described as {found[key]}"


def _contents(book: Book) -> Iterator[str]:
    rows = asked(book, "SELECT table_name, data_type, srs_id FROM gpkg_contents")
    listed = {str(row[0]): row[1:] for row in rows}
    there = {
        str(row[0]) for row in asked(book, "SELECT name FROM sqlite_master WHERE type IN ('table', 'view')")
    }
    yield from (f"table {name} is not listed" for name in sorted(TABLES.keys() - listed.keys()))
    yield from (f"table {name} is listed and is not there" for name in sorted(listed.keys() - there))
    for name, table in TABLES.items():
        wanted = ("features", geometry_blob.SRS_ID) if "geom" in table.c else ("attributes", None)
        if name in listed and listed[name] not in (wanted, (wanted[0], wanted[1] or 0)):
            yield f"table {name} is listed as {listed[name][0]} with reference system {listed[name][1]}"
    undated = f"SELECT table_name FROM gpkg_contents WHERE last_change NOT GLOB '{_INSTANT}'"
    yield from (f"the last change of {row[0]} is no instant in UTC" for row in asked(book, undated))


def _layers(book: Book) -> Iterator[str]:
    rows = asked(
        book,
        "SELECT table_name, column_name, upper(geometry_type_name), srs_id, z, m FROM gpkg_geometry_columns",
    )
    listed = {str(row[0]): row[1:] for row in rows}
    for name, _, kind in _with_geometry():
        if name not in listed:
            yield f"the geometry of {name} is not listed"
        elif listed[name] != ("geom", kind.kind, kind.srs_id, 0, 0):
            yield f"the geometry of {name} is listed as {' '.join(map(str, listed[name]))}"


def _extensions(book: Book) -> Iterator[str]:
    listed = "SELECT table_name FROM gpkg_extensions WHERE extension_name = 'gpkg_rtree_index'"
    rows = asked(book, f"{listed} AND column_name = 'geom'")
    indexed = {str(row[0]) for row in rows}
    yield from (
        f"the index of {name} is not listed" for name, _, _ in _with_geometry() if name not in indexed
    )


def _triggers(book: Book) -> Iterator[str]:
    there = {str(row[0]) for row in asked(book, "SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    for name, _, _ in _with_geometry():
        wanted = {f"{index_name(name)}_{trigger}" for trigger in TRIGGERS}
        yield from (f"trigger {trigger} is not there" for trigger in sorted(wanted - there))


def _extents(book: Book) -> Iterator[str]:
    """Hold the bounds told of a layer to its index: they may be wider than what it holds, never narrower."""
    for name, _, _ in _with_geometry():
        held = (
            "SELECT min(minx) AS west, min(miny) AS south, max(maxx) AS east, max(maxy) AS north "
            f'FROM "{index_name(name)}"'
        )
        wide = (
            "c.min_x <= r.west + ?2 AND c.min_y <= r.south + ?2 "
            "AND c.max_x >= r.east - ?2 AND c.max_y >= r.north - ?2"
        )
        narrow = f"c.table_name = ?1 AND r.west NOTNULL AND NOT coalesce({wide}, 0)"
        if asked(book, f"SELECT 1 FROM gpkg_contents AS c, ({held}) AS r WHERE {narrow}", name, _ROUNDED_DEG):
            yield f"the bounds told of {name} leave out some of it"


def _types(book: Book) -> Iterator[str]:
    for name in TABLES:
        for row in asked(book, f'PRAGMA table_info("{name}")'):
            if str(row[2]).upper().split("(")[0] not in _TYPES:
                yield f"column {row[1]} of {name} is of type {row[2]}, which map programs do not read"
