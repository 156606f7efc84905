"""Rows in, records out: what holds for every table alike."""

from __future__ import annotations

import functools
from collections.abc import Iterable, Mapping, Sequence
from contextlib import nullcontext
from typing import TypeVar

from sqlalchemy import (
    ColumnClause,
    ColumnElement,
    Table,
    and_,
    bindparam,
    column,
    false,
    func,
    not_,
    or_,
    select,
    text,
)
from sqlalchemy import table as named_table

from sitebook import errors
from sitebook.records.columns import meanings
from sitebook.records.hanging import ENDS, READ_THROUGH
from sitebook.records.kinds import KINDS, table_name
from sitebook.records.standing import Row
from sitebook.store.book import Book
from sitebook.store.geopackage import fill_index, index_name, without_index
from sitebook.store.tables import TABLES

R = TypeVar("R", bound=Row)
Window = tuple[float, float, float, float]
"""West, south, east, north [deg]."""

_CHUNK = 500
MANY_ROWS = 1000
"""From so many rows on, filling the spatial index once after them is quicker than a trigger a row."""


def table_for(kind: type[Row]) -> Table:
    """Give the table a record kind is kept in."""
    return TABLES[table_name(kind)]


def values_of(record: Row) -> dict[str, object]:
    """Give a record's columns and values."""
    return {name: getattr(record, name) for name in meanings(type(record))}


def insert(book: Book, records: Sequence[Row]) -> list[int]:
    """Keep records of one kind; gives their ids, which run on from the table's highest."""
    if not records:
        return []
    table = table_for(type(records[0]))
    highest = book.connection.execute(select(func.max(table.c.id))).scalar() or 0
    ids = list(range(highest + 1, highest + 1 + len(records)))
    rows = [values_of(record) | {"id": key} for key, record in zip(ids, records, strict=True)]
    many = len(rows) >= MANY_ROWS and "geom" in table.c
    with without_index(book.connection, table.name) if many else nullcontext():
        book.connection.execute(table.insert(), rows)
        if many:
            fill_index(book.connection, table.name, ids, [row["geom"] for row in rows])  # type: ignore[misc]
    return ids


def update(book: Book, kind: type[Row], key: int, values: Mapping[str, object]) -> None:
    """Set columns of one row."""
    table = table_for(kind)
    book.connection.execute(table.update().where(table.c.id == key).values(dict(values)))


def update_all(
    book: Book, kind: type[Row], columns: Sequence[str], sets: Sequence[Mapping[str, object]]
) -> None:
    """Set the same columns of many rows; each set holds the row's `id` beside them."""
    if not sets:
        return
    table = table_for(kind)
    new = {name: bindparam(f"new_{name}", type_=table.c[name].type) for name in columns}
    statement = table.update().where(table.c.id == bindparam("row_id")).values(new)
    given = [{"row_id": one["id"]} | {f"new_{name}": one[name] for name in columns} for one in sets]
    book.connection.execute(statement, given)


def delete(book: Book, kind: type[Row], ids: Sequence[int]) -> None:
    """Take rows out for good: settings and kept results alone, never a record of hers."""
    table = table_for(kind)
    book.connection.execute(table.delete().where(table.c.id.in_(ids)))


@functools.cache
def out_of_view(name: str) -> ColumnElement[bool]:
    """Give the condition that a row was withdrawn, or hangs on a row that is out of view."""
    table, said = TABLES[name], meanings(KINDS[name])
    ends: list[ColumnElement[bool]] = [table.c.withdrawn_at.is_not(None)] if "withdrawn_at" in table.c else []
    for hanging in READ_THROUGH.get(name, ()):
        gone = select(TABLES[said[hanging].refers or ""].c.id).where(_gone(said[hanging].refers or ""))
        ends.append(and_(table.c[hanging].is_not(None), table.c[hanging].in_(gone)))
    return or_(false(), *ends)


def _gone(name: str) -> ColumnElement[bool]:
    return TABLES[name].c[ENDS[name]].is_not(None) if name in ENDS else out_of_view(name)


def in_view(name: str) -> ColumnElement[bool]:
    """Give the condition that a row stands, and everything it hangs on."""
    return not_(out_of_view(name))


def records(book: Book, kind: type[R], *conditions: ColumnElement[bool], withdrawn: bool = False) -> list[R]:
    """Give the records of a kind that meet all conditions, by id; those out of view only when asked for."""
    table = table_for(kind)
    statement = select(table).where(*conditions).order_by(table.c.id)
    if not withdrawn:
        statement = statement.where(in_view(table.name))
    try:
        return [kind(**row) for row in book.connection.execute(statement).mappings()]
    except (ValueError, TypeError) as error:
        raise errors.BookDamaged(
            f"table {table.name} holds a value that cannot be read ({error})",
            where=str(book.path),
            remedy="Run `sitebook check`, which names the row, and go back to your last copy.",
        ) from error


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


def ids_by(book: Book, kind: type[Row], columns: Sequence[str]) -> dict[tuple[object, ...], int]:
    """Give the id of each row of a kind by some of its columns, withdrawn rows among them.

    Rows in which one of the columns is empty are left out.
    """
    table = table_for(kind)
    chosen = [table.c[name] for name in columns]
    statement = select(*chosen, table.c.id).where(*(c.is_not(None) for c in chosen))
    return {tuple(row[:-1]): row[-1] for row in book.connection.execute(statement)}


def how_many(book: Book, kind: type[Row]) -> int:
    """Count the rows of a kind that are in view."""
    table = table_for(kind)
    statement = select(func.count()).select_from(table).where(in_view(table.name))
    return book.connection.execute(statement).scalar_one()


def bounds_of_all(book: Book) -> list[Window]:
    """Give the bounds of every row in view of every feature table: where the book has anything.

    Photos are left away: one of a journey, kept though it lies far off, draws no others after it.
    """
    boxes: list[Window] = []
    for table in TABLES.values():
        if "geom" in table.c and table.name != "photo":
            edges: list[ColumnClause[float]] = [column(name) for name in ("minx", "miny", "maxx", "maxy")]
            index = named_table(index_name(table.name), column("id"), *edges)
            hidden = select(table.c.id).where(out_of_view(table.name))
            found = book.connection.execute(
                select(*edges).select_from(index).where(index.c.id.not_in(hidden))
            )
            boxes.extend((row[0], row[1], row[2], row[3]) for row in found)
    return boxes
