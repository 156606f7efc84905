"""Looks whether the book's file is whole and its tables agree with each other."""

from __future__ import annotations

import dataclasses

from sitebook.records.kinds import KINDS
from sitebook.records.results.listing import CheckLine
from sitebook.store.book import Book
from sitebook.store.geopackage import index_name
from sitebook.store.tables import TABLES

MOST_TOLD = 20


def look_over(book: Book) -> tuple[CheckLine, ...]:
    """Look at the file, the references, the GeoPackage's own tables, the indexes and the look-alikes."""
    return (
        CheckLine("the file itself", _integrity(book)),
        CheckLine("references between tables", _references(book)),
        CheckLine("tables as this sitebook knows them", _columns(book)),
        CheckLine("GeoPackage bookkeeping", _bookkeeping(book)),
        CheckLine("spatial indexes", _indexes(book)),
        CheckLine("look-alikes in both directions", _look_alikes(book)),
    )


def _all(book: Book, statement: str) -> list[tuple[object, ...]]:
    return [tuple(row) for row in book.connection.exec_driver_sql(statement)]


def _integrity(book: Book) -> tuple[str, ...]:
    said = [str(row[0]) for row in _all(book, f"PRAGMA integrity_check({MOST_TOLD})")]
    return () if said == ["ok"] else tuple(said)


def _references(book: Book) -> tuple[str, ...]:
    rows = _all(book, "PRAGMA foreign_key_check")[:MOST_TOLD]
    return tuple(f"row {row[1]} of {row[0]} refers to a {row[2]} that is not there" for row in rows)


def _columns(book: Book) -> tuple[str, ...]:
    faults = []
    for name, record in KINDS.items():
        there = {str(row[1]) for row in _all(book, f'PRAGMA table_info("{name}")')}
        wanted = {field.name for field in dataclasses.fields(record)}
        faults += [f"table {name} lacks {column}" for column in sorted(wanted - there)]
    return tuple(faults)


def _bookkeeping(book: Book) -> tuple[str, ...]:
    listed = {str(row[0]) for row in _all(book, "SELECT table_name FROM gpkg_contents")}
    features = {str(row[0]) for row in _all(book, "SELECT table_name FROM gpkg_geometry_columns")}
    faults = [f"table {name} is not listed" for name in sorted(set(TABLES) - listed)]
    with_geometry = {name for name, table in TABLES.items() if "geom" in table.c}
    return tuple(
        faults + [f"the geometry of {name} is not listed" for name in sorted(with_geometry - features)]
    )


def _indexes(book: Book) -> tuple[str, ...]:
    faults = []
    for name, table in TABLES.items():
        if "geom" not in table.c:
            continue
        rtree = index_name(name)
        placed = f'SELECT id FROM "{name}" WHERE geom NOTNULL AND NOT ST_IsEmpty(geom)'
        indexed = f'SELECT id FROM "{rtree}"'
        lacking = _all(book, f"{placed} EXCEPT {indexed}")[:MOST_TOLD]
        too_many = _all(book, f"{indexed} EXCEPT {placed}")[:MOST_TOLD]
        faults += [f"row {row[0]} of {name} is not in its index" for row in lacking]
        faults += [f"the index of {name} holds row {row[0]} that is not there" for row in too_many]
        faults += _off_bounds(book, name, rtree)
    return tuple(faults)


def _off_bounds(book: Book, name: str, rtree: str) -> list[str]:
    """Index bounds are 32-bit and rounded outward, so a true one always lies inside them."""
    rows = _all(
        book,
        f'SELECT t.id FROM "{name}" AS t JOIN "{rtree}" AS r ON r.id = t.id WHERE ST_MinX(t.geom) < r.minx '
        "OR ST_MaxX(t.geom) > r.maxx OR ST_MinY(t.geom) < r.miny OR ST_MaxY(t.geom) > r.maxy",
    )
    return [f"row {row[0]} of {name} lies outside its bounds in the index" for row in rows[:MOST_TOLD]]


def _look_alikes(book: Book) -> tuple[str, ...]:
    rows = _all(
        book,
        "SELECT a.taxon_id, a.other_id FROM look_alike AS a WHERE a.withdrawn_at IS NULL AND NOT EXISTS "
        "(SELECT 1 FROM look_alike AS b WHERE b.taxon_id = a.other_id AND b.other_id = a.taxon_id "
        "AND b.withdrawn_at IS NULL)",
    )
    return tuple(
        f"taxon {row[0]} names {row[1]} as a look-alike, not the reverse" for row in rows[:MOST_TOLD]
    )
