"""Looks whether the book's file is whole and its tables agree with each other."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from sqlalchemy.exc import DBAPIError

from sitebook.records.kinds import KINDS
from sitebook.records.results.listing import CheckLine
from sitebook.store import check_format, check_history, check_photos, check_values
from sitebook.store.asking import MOST_TOLD, asked, told
from sitebook.store.book import Book
from sitebook.store.geopackage import index_name
from sitebook.store.tables import TABLES

Look = Callable[[Book], tuple[str, ...]]


def look_over(book: Book, progress: check_photos.Progress = check_photos.silent) -> tuple[CheckLine, ...]:
    """Look at the file, the references, the GeoPackage's own tables, the values, the history and the photos.

    A part of a damaged file that cannot be read is a fault told on its line; the other lines stand.
    """
    return (
        *(_looked(looked_at, look, book) for looked_at, look in _LOOKS.items()),
        _photos(book, progress),
    )


def _looked(looked_at: str, look: Look, book: Book) -> CheckLine:
    try:
        return CheckLine(looked_at, look(book))
    except DBAPIError as error:
        return CheckLine(looked_at, (_not_looked_at(error),))


def _photos(book: Book, progress: check_photos.Progress) -> CheckLine:
    looked_at = "photos in the folder beside the book"
    try:
        faults, remarks = check_photos.originals(book, progress)
    except DBAPIError as error:
        return CheckLine(looked_at, (_not_looked_at(error),))
    return CheckLine(looked_at, faults, remarks)


def _not_looked_at(error: DBAPIError) -> str:
    return f"could not be looked at ({error.orig})"


def _integrity(book: Book) -> tuple[str, ...]:
    said = [str(row[0]) for row in asked(book, f"PRAGMA integrity_check({MOST_TOLD})")]
    return () if said == ["ok"] else tuple(said)


def _references(book: Book) -> tuple[str, ...]:
    rows = asked(book, "PRAGMA foreign_key_check")
    return told([f"row {row[1]} of {row[0]} refers to a {row[2]} that is not there" for row in rows])


def _columns(book: Book) -> tuple[str, ...]:
    faults = []
    for name, record in KINDS.items():
        there = {str(row[1]) for row in asked(book, f'PRAGMA table_info("{name}")')}
        wanted = {field.name for field in dataclasses.fields(record)}
        faults += [f"table {name} lacks {column}" for column in sorted(wanted - there)]
    return tuple(faults)


def _indexes(book: Book) -> tuple[str, ...]:
    faults = []
    for name, table in TABLES.items():
        if "geom" not in table.c:
            continue
        rtree = index_name(name)
        placed = f'SELECT id FROM "{name}" WHERE geom NOTNULL AND NOT ST_IsEmpty(geom)'
        indexed = f'SELECT id FROM "{rtree}"'
        lacking = asked(book, f"{placed} EXCEPT {indexed}")
        too_many = asked(book, f"{indexed} EXCEPT {placed}")
        faults += [f"row {row[0]} of {name} is not in its index" for row in lacking]
        faults += [f"the index of {name} holds row {row[0]} that is not there" for row in too_many]
        faults += _off_bounds(book, name, rtree)
    return told(faults)


def _off_bounds(book: Book, name: str, rtree: str) -> list[str]:
    """Index bounds are 32-bit and rounded outward, so a true one always lies inside them."""
    rows = asked(
        book,
        f'SELECT t.id FROM "{name}" AS t JOIN "{rtree}" AS r ON r.id = t.id WHERE ST_MinX(t.geom) < r.minx '
        "OR ST_MaxX(t.geom) > r.maxx OR ST_MinY(t.geom) < r.miny OR ST_MaxY(t.geom) > r.maxy",
    )
    return [f"row {row[0]} of {name} lies outside its bounds in the index" for row in rows]


def _look_alikes(book: Book) -> tuple[str, ...]:
    rows = asked(
        book,
        "SELECT a.taxon_id, a.other_id FROM look_alike AS a WHERE a.withdrawn_at IS NULL AND NOT EXISTS "
        "(SELECT 1 FROM look_alike AS b WHERE b.taxon_id = a.other_id AND b.other_id = a.taxon_id "
        "AND b.withdrawn_at IS NULL)",
    )
    return told([f"taxon {row[0]} names {row[1]} as a look-alike, not the reverse" for row in rows])


_LOOKS: dict[str, Look] = {
    "the file itself": _integrity,
    "references between tables": _references,
    "tables as this sitebook knows them": _columns,
    "GeoPackage bookkeeping": check_format.bookkeeping,
    "spatial indexes": _indexes,
    "look-alikes in both directions": _look_alikes,
    "geometries": check_values.geometries,
    "values of every column": check_values.values,
    "controlled words": check_values.words,
    "dates and instants": check_values.dates,
    "rows that say one thing alone": check_values.one_alone,
    "history": check_history.changes,
    "the book's own row": check_history.own_row,
}
