"""Rows in, records out: what holds for every table alike."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

from sqlalchemy import ColumnElement, Table, func, select, text

from sitebook.records.kinds import table_name
from sitebook.records.standing import Row
from sitebook.store.book import Book
from sitebook.store.geopackage import index_name
from sitebook.store.tables import TABLES

R = TypeVar("R", bound=Row)
Window = tuple[float, float, float, float]
"""West, south, east, north [deg]."""

_CHUNK = 500


def table_for(kind: type[Row]) -> Table:
    """Give the table a record kind is kept in."""
    return TABLES[table_name(kind)]


def values_of(record: Row) -> dict[str, object]:
    """Give a record's columns and values."""
    return {f.name: getattr(record, f.name) for f in dataclasses.fields(record)}


def insert(book: Book, records: Sequence[Row]) -> list[int]:
    """Keep records of one kind; gives their ids, which run on from the table's highest."""
    if not records:
        return []
    table = table_for(type(records[0]))
    highest = book.connection.execute(select(func.max(table.c.id))).scalar() or 0
    ids = list(range(highest + 1, highest + 1 + len(records)))
    rows = [values_of(record) | {"id": key} for key, record in zip(ids, records, strict=True)]
    book.connection.execute(table.insert(), rows)
    return ids


def update(book: Book, kind: type[Row], key: int, values: Mapping[str, object]) -> None:
    """Set columns of one row."""
    table = table_for(kind)
    book.connection.execute(table.update().where(table.c.id == key).values(dict(values)))


def delete(book: Book, kind: type[Row], ids: Sequence[int]) -> None:
    """Take rows out for good: settings and kept results alone, never a record of hers."""
    table = table_for(kind)
    book.connection.execute(table.delete().where(table.c.id.in_(ids)))


def records(book: Book, kind: type[R], *conditions: ColumnElement[bool], withdrawn: bool = False) -> list[R]:
    """Give the records of a kind that meet all conditions, by id; withdrawn ones only when asked for."""
    table = table_for(kind)
    statement = select(table).where(*conditions).order_by(table.c.id)
    if not withdrawn and "withdrawn_at" in table.c:
        statement = statement.where(table.c.withdrawn_at.is_(None))
    return [kind(**row) for row in book.connection.execute(statement).mappings()]


def in_window(book: Book, kind: type[R], window: Window, *conditions: ColumnElement[bool]) -> list[R]:
    """Give the records whose bounds touch a window, through the spatial index."""
    table = table_for(kind)
    west, south, east, north = window
    touching = (
        text(
            f'SELECT id FROM "{index_name(table.name)}" '
            "WHERE maxx >= :west AND minx <= :east AND maxy >= :south AND miny <= :north"
        )
        .bindparams(west=west, east=east, south=south, north=north)
        .columns(table.c.id)
    )
    return records(book, kind, table.c.id.in_(touching.scalar_subquery()), *conditions)


def by_uuid(book: Book, kind: type[R], uuids: Iterable[str]) -> dict[str, R]:
    """Give the records that bear one of the UUIDs, withdrawn ones among them."""
    table, wanted, found = table_for(kind), list(uuids), {}
    for start in range(0, len(wanted), _CHUNK):
        part = wanted[start : start + _CHUNK]
        for record in records(book, kind, table.c.uuid.in_(part), withdrawn=True):
            found[record.uuid] = record  # type: ignore[attr-defined]
    return found


def how_many(book: Book, kind: type[Row]) -> int:
    """Count the rows of a kind, withdrawn ones left out."""
    table = table_for(kind)
    statement = select(func.count()).select_from(table)
    if "withdrawn_at" in table.c:
        statement = statement.where(table.c.withdrawn_at.is_(None))
    return book.connection.execute(statement).scalar_one()


def bounds_of_all(book: Book) -> list[Window]:
    """Give the bounds of every row of every feature table: where the book has anything."""
    boxes: list[Window] = []
    for table in TABLES.values():
        if "geom" in table.c:
            found = book.connection.exec_driver_sql(
                f'SELECT minx, miny, maxx, maxy FROM "{index_name(table.name)}"'
            )
            boxes.extend((row[0], row[1], row[2], row[3]) for row in found)
    return boxes
