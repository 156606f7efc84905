"""Looks whether the history speaks of rows that are there, and whether the book's own row makes sense."""

from __future__ import annotations

import uuid
import zoneinfo

from sitebook.records.columns import meanings
from sitebook.records.kinds import KINDS
from sitebook.records.standing import Mapped
from sitebook.store.asking import asked, told
from sitebook.store.book import Book

_TELLING = ("change", "conflict")


def changes(book: Book) -> tuple[str, ...]:
    """Give the changes and conflicts that speak of a table, column or row that is not there.

    Rows of the map may go with their extract, and rows without a UUID cannot be looked up.
    """
    return told([fault for telling in _TELLING for fault in _of_table(book, telling)])


def _of_table(book: Book, telling: str) -> list[str]:
    faults: list[str] = []
    for name, column in asked(
        book, f'SELECT DISTINCT table_name, column_name FROM "{telling}" ORDER BY 1, 2'
    ):
        if name not in KINDS:
            faults.append(f"{telling} speaks of a table {name} that is not there")
        elif column not in meanings(KINDS[str(name)]):
            faults.append(f"{telling} speaks of a column {column} of {name} that is not there")
    for (name,) in asked(book, f'SELECT DISTINCT table_name FROM "{telling}" ORDER BY 1'):
        record = KINDS.get(str(name))
        if record is None or "uuid" not in meanings(record) or issubclass(record, Mapped):
            continue
        rows = asked(
            book,
            f'SELECT id, row_uuid FROM "{telling}" WHERE table_name = ? '
            f'AND row_uuid NOT IN (SELECT uuid FROM "{name}") AND row_uuid NOT IN '
            "(SELECT row_uuid FROM change WHERE table_name = ? AND column_name = 'uuid')",
            name,
            name,
        )
        faults += [f"row {row[0]} of {telling} speaks of {name} {row[1]}, which is not there" for row in rows]
    return faults


def own_row(book: Book) -> tuple[str, ...]:
    """Give what is wrong with the one row that says what this book is."""
    rows = asked(book, "SELECT uuid, zone, revision FROM book")
    if len(rows) != 1:
        return (f"the book has {len(rows)} rows about itself instead of one",)
    ((key, zone, revision),) = rows
    faults = []
    if not _is_uuid(str(key)):
        faults.append(f"its key '{key}' is no UUID")
    if not _is_zone(str(zone)):
        faults.append(f"its time zone '{zone}' is not known")
    if not isinstance(revision, int) or revision < 0:
        faults.append(f"its count of changes is '{revision}'")
    return tuple(faults)


def _is_uuid(text: str) -> bool:
    try:
        return str(uuid.UUID(text)) == text.lower()
    except ValueError:
        return False


def _is_zone(name: str) -> bool:
    try:
        zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
