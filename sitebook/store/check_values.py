"""Looks whether every value in the book is one that its column may hold."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from sitebook.records.columns import column_types, meanings
from sitebook.records.kinds import KINDS
from sitebook.records.years import EARLIEST_YEAR, LATEST_YEAR
from sitebook.store import geometry_blob
from sitebook.store.asking import asked, told
from sitebook.store.book import Book
from sitebook.store.photo_rows import SHOWN

_KEPT_AS: dict[type, str] = {
    str: "'text'",
    int: "'integer'",
    bool: "'integer'",
    float: "'real', 'integer'",
    bytes: "'blob'",
    BaseGeometry: "'blob'",
    datetime.date: "'text'",
    datetime.datetime: "'text'",
}
"""How the file keeps each Python type, in SQLite's words."""

_DAY = "date(\"{}\", '+0 days')"
"""The day a value lies in; counting on by nought makes SQLite see that there is no 30 February."""

_LARGEST = "1.7976931348623157e308"
_WORLD_DEG = np.array([-180.0, -90.0, 180.0, 90.0])

_ENDS = {
    "visit": ("local_date", "local_date_end"),
    "find": ("found_on", "found_on_end"),
    "permission": ("valid_from", "valid_to"),
    "track": ("started_at", "ended_at"),
    "number_block": ("first_number", "last_number"),
}
"""Columns of which the second is never before the first."""


def values(book: Book) -> tuple[str, ...]:
    """Give the rows in which a column holds another kind of value than it may."""
    faults: list[str] = []
    for name, column, python in _columns(book):
        wrong = f"typeof(\"{column}\") NOT IN ({_KEPT_AS[python]}, 'null')"
        if python is bool:
            wrong += f' OR "{column}" NOT IN (0, 1)'
        if python is float:
            wrong += f' OR abs("{column}") > {_LARGEST}'
        rows = asked(book, f'SELECT id FROM "{name}" WHERE {wrong}')
        faults += [f"row {row[0]} of {name} holds what cannot be in {column}" for row in rows]
    return told(faults)


def words(book: Book) -> tuple[str, ...]:
    """Give the words that are not in their column's list."""
    faults = []
    for name, record in KINDS.items():
        for column, meaning in meanings(record).items():
            if meaning.words is None:
                continue
            rows = asked(book, f'SELECT DISTINCT "{column}" FROM "{name}" WHERE "{column}" NOTNULL')
            strange = sorted(str(row[0]) for row in rows if row[0] not in meaning.words)
            faults += [f"{column} of {name} holds '{word}', which is not in its list" for word in strange]
    return told(faults)


def dates(book: Book) -> tuple[str, ...]:
    """Give the rows with a date or instant that cannot be, and those that end before they begin."""
    faults: list[str] = []
    for name, column, python in _columns(book):
        if python is datetime.date:
            wrong = f'{_DAY.format(column)} IS NOT "{column}"'
        elif python is datetime.datetime:
            wrong = (
                f"\"{column}\" NOT GLOB '????-??-??T*Z' "
                f'OR {_DAY.format(column)} IS NOT substr("{column}", 1, 10)'
            )
        else:
            continue
        years = f"'{EARLIEST_YEAR.value:.0f}' AND '{LATEST_YEAR.value:.0f}'"
        reach = f'substr("{column}", 1, 4) NOT BETWEEN {years}'
        rows = asked(
            book, f'SELECT id, "{column}" FROM "{name}" WHERE "{column}" NOTNULL AND ({wrong} OR {reach})'
        )
        faults += [f"row {row[0]} of {name} holds '{row[1]}' in {column}, which cannot be" for row in rows]
    for name, (first, last) in _ENDS.items():
        rows = asked(book, f'SELECT id FROM "{name}" WHERE "{last}" < "{first}"')
        faults += [f"row {row[0]} of {name} ends before it begins" for row in rows]
    return told(faults)


def geometries(book: Book) -> tuple[str, ...]:
    """Give the rows whose geometry cannot be read, is of another kind than declared, or is off the world."""
    return told([fault for name, kind in _layers() for fault in _layer_faults(book, name, kind)])


def one_alone(book: Book) -> tuple[str, ...]:
    """Give the rows in which of several columns not exactly one is filled."""
    shows = [f"{kind}_id" for kind in SHOWN]
    faults: list[str] = []
    for name, columns in {"photo_link": shows, "permission_closed_day": ["weekday", "closed_on"]}.items():
        filled = " + ".join(f'("{column}" NOTNULL)' for column in columns)
        rows = asked(book, f'SELECT id, {filled} FROM "{name}" WHERE {filled} <> 1')
        faults += [f"row {row[0]} of {name} says {row[1]} things instead of one" for row in rows]
    return told(faults)


def _columns(book: Book) -> Iterator[tuple[str, str, type]]:
    for name, record in KINDS.items():
        there = {str(row[1]) for row in asked(book, f'PRAGMA table_info("{name}")')}
        for column, kind in column_types(record).items():
            if column in there:
                yield name, column, kind.python


def _layers() -> Iterator[tuple[str, str]]:
    for name, record in KINDS.items():
        for meaning in meanings(record).values():
            if meaning.geometry:
                yield name, meaning.geometry


def _layer_faults(book: Book, name: str, kind: str) -> Iterator[str]:
    ids, geometries_read = [], []
    for key, blob in asked(book, f'SELECT id, geom FROM "{name}" WHERE geom NOTNULL'):
        try:
            geometry = geometry_blob.decode(blob)  # type: ignore[arg-type]
        except (ValueError, TypeError):
            yield f"the geometry of row {key} of {name} cannot be read"
            continue
        if kind not in ("GEOMETRY", geometry.geom_type.upper()):
            yield f"the geometry of row {key} of {name} is a {geometry.geom_type}, not a {kind.capitalize()}"
        if geometry_blob.srs_id(blob) != geometry_blob.SRS_ID:  # type: ignore[arg-type]
            yield f"the geometry of row {key} of {name} is not in WGS 84"
        ids.append(key)
        geometries_read.append(geometry)
    yield from (f"row {key} of {name} lies off the world" for key in _off_the_world(ids, geometries_read))


def _off_the_world(ids: list[object], found: list[BaseGeometry]) -> list[object]:
    if not found:
        return []
    bounds = shapely.bounds(np.array(found))
    inside = (bounds[:, :2] >= _WORLD_DEG[:2]).all(axis=1) & (bounds[:, 2:] <= _WORLD_DEG[2:]).all(axis=1)
    empty = shapely.is_empty(np.array(found))
    return [key for key, wrong in zip(ids, ~(inside | empty), strict=True) if wrong]
